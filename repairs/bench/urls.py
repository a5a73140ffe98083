"""Addresses of the shop tablet."""

from __future__ import annotations

from django.urls import path

from repairs.bench import (
    enrolling,
    going_on,
    home,
    items,
    kept_pages,
    laying_out,
    outbox,
    parts,
    photos,
    readings,
    recorder,
    scanning,
    seats,
    signing_in,
    stack_files,
    steps,
)

app_name = "bench"

urlpatterns = [
    path("", home.home, name="home"),
    path("sw.js", kept_pages.worker, name="worker"),
    path("today/", kept_pages.today, name="today"),
    path("not-kept/", kept_pages.not_kept, name="not_kept"),
    path("outbox/", outbox.outbox, name="outbox"),
    path("outbox/token/", outbox.outbox_token, name="outbox_token"),
    path("enrol/", enrolling.enrol, name="enrol"),
    path("people/", signing_in.people, name="people"),
    path("people/<int:pk>/", signing_in.pin, name="pin"),
    path("people/<int:pk>/password/", signing_in.pin_password, name="pin_password"),
    path("switch/", signing_in.switch, name="switch"),
    path("go-on/", going_on.go_on, name="go_on"),
    path("new-pin/", going_on.new_pin, name="new_pin"),
    path("scan/", scanning.scan, name="scan"),
    path("jobs/<str:number>/", steps.job, name="job"),
    path("jobs/<str:number>/steps/<int:step_id>/", steps.step, name="step"),
    path("jobs/<str:number>/reading/", readings.reading, name="reading"),
    path("jobs/<str:number>/reading/<int:reading_id>/", readings.correct, name="reading_correct"),
    path("jobs/<str:number>/seats/", seats.seats, name="seats"),
    path("jobs/<str:number>/seats/new/", seats.new_seat, name="new_seat"),
    path("jobs/<str:number>/seats/verdict/", seats.seat_verdict, name="seat_verdict"),
    path("jobs/<str:number>/seats/<int:pk>/", seats.seat, name="seat"),
    path("jobs/<str:number>/seats/<int:pk>/correct/", seats.correct_seat, name="correct_seat"),
    path("jobs/<str:number>/hand-over/", steps.hand_over, name="hand_over"),
    path("jobs/<str:number>/photos/", photos.photos, name="photos"),
    path("jobs/<str:number>/photos/<int:place_id>/", photos.photo, name="photo"),
    path("jobs/<str:number>/parts/", parts.parts, name="parts"),
    path("jobs/<str:number>/lay-out/", laying_out.lay_out, name="lay_out"),
    path("jobs/<str:number>/stack-wall/", laying_out.stack_wall, name="stack_wall"),
    path("jobs/<str:number>/compare/", recorder.compare, name="compare"),
    path("jobs/<str:number>/stack/<str:stage>/", recorder.stack, name="stack"),
    path("jobs/<str:number>/stack/<str:stage>/start/", recorder.stack_start, name="stack_start"),
    path("jobs/<str:number>/stack/<str:stage>/act/", recorder.stack_act, name="stack_act"),
    path("jobs/<str:number>/stack/<str:stage>/add/", items.stack_add, name="stack_add"),
    path("jobs/<str:number>/stack/<str:stage>/add-rating/", items.stack_add_rating, name="stack_add_rating"),
    path("jobs/<str:number>/stack/<str:stage>/new/<str:kind>/", items.stack_new_item, name="stack_new_item"),
    path("jobs/<str:number>/stack/<str:stage>/item/<str:uid>/", items.stack_item, name="stack_item"),
    path("jobs/<str:number>/stack/<str:stage>/guide/", items.stack_guide, name="stack_guide"),
    path("jobs/<str:number>/stack/<str:stage>/file/", stack_files.stack_file, name="stack_file"),
]
