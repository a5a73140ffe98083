"""Addresses of customers, motors and jobs."""

from __future__ import annotations

from django.urls import path

from repairs.office import (
    customers,
    job_history,
    job_motor,
    job_work,
    jobs,
    merges,
    motors,
    opening,
    seats,
    thrust,
)

urlpatterns = [
    path("customers/", customers.customer_list, name="customer_list"),
    path("customers/new/", customers.new_customer, name="new_customer"),
    path("customers/names/", motors.customer_names, name="customer_names"),
    path("customers/<int:pk>/", customers.customer, name="customer"),
    path("customers/<int:pk>/edit/", customers.edit_customer, name="edit_customer"),
    path("customers/<int:pk>/merge/", merges.merge_customer, name="merge_customer"),
    path("customers/<int:pk>/sites/new/", customers.new_site, name="new_site"),
    path("customers/<int:pk>/contacts/new/", customers.new_contact, name="new_contact"),
    path("sites/<int:pk>/", customers.site, name="site"),
    path("contacts/<int:pk>/", customers.contact, name="contact"),
    path("open-a-job/", opening.open_job, name="open_job"),
    path("jobs/<str:number>/", jobs.job, name="job"),
    path("jobs/<str:number>/edit/", jobs.edit_job, name="edit_job"),
    path("jobs/<str:number>/motor/", job_motor.job_motor, name="job_motor"),
    path("jobs/<str:number>/history/", job_history.job_history, name="job_history"),
    path("jobs/<str:number>/hold/", jobs.job_hold, name="job_hold"),
    path("jobs/<str:number>/route/", jobs.job_route, name="job_route"),
    path("jobs/<str:number>/sign/", jobs.job_sign, name="job_sign"),
    path("jobs/<str:number>/end/", jobs.job_end, name="job_end"),
    path("jobs/<str:number>/reopen/", jobs.job_reopen, name="job_reopen"),
    path("jobs/<str:number>/leaves/", jobs.job_leaves, name="job_leaves"),
    path("jobs/<str:number>/seats/", seats.seats, name="seats"),
    path("jobs/<str:number>/seats/<int:pk>/accept/", seats.accept_seat, name="accept_seat"),
    path("jobs/<str:number>/work/", job_work.job_work, name="job_work"),
    path("motors/", motors.motor_list, name="motor_list"),
    path("motors/new/", motors.new_motor, name="new_motor"),
    path("motors/<int:pk>/", motors.motor, name="motor"),
    path("motors/<int:pk>/edit/", motors.edit_motor, name="edit_motor"),
    path("motors/<int:pk>/merge/", merges.merge_motor, name="merge_motor"),
    path("merges/<int:pk>/undo/", merges.merge_undo, name="merge_undo"),
    path("motors/<int:pk>/plate-photo/", motors.plate_photo, name="plate_photo"),
    path("motors/<int:pk>/thrust/", thrust.thrust_sheet, name="thrust_sheet"),
    path("motors/<int:pk>/thrust/<int:revision>/", thrust.thrust_sheet, name="thrust_revision"),
    path("motors/<int:pk>/thrust/edit/", thrust.edit_thrust_sheet, name="edit_thrust_sheet"),
    path("motors/<int:pk>/thrust/working/", thrust.thrust_working, name="thrust_working"),
    path("motors/<int:pk>/thrust/sign/", thrust.sign_thrust_sheet, name="sign_thrust_sheet"),
    path("motors/<int:pk>/thrust/use/", thrust.use_thrust, name="use_thrust"),
]
