"""Addresses of the portal pages."""

from __future__ import annotations

from django.urls import path

from repairs.portal import pages, start_up

app_name = "portal"

urlpatterns = [
    path("<str:token>/", pages.job, name="job"),
    path("<str:token>/report.pdf", pages.report, name="report"),
    path("<str:token>/commissioning/", start_up.sheet, name="start_up"),
    path("<str:token>/commissioning.pdf", start_up.paper, name="start_up_paper"),
    path("<str:token>/photos/<uuid:photo_id>/", pages.photo, name="photo"),
]
