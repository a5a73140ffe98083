"""Addresses of the re-checks."""

from __future__ import annotations

from django.urls import path

from repairs.office import rechecks

urlpatterns = [
    path("rechecks/", rechecks.recheck_list, name="recheck_list"),
    path("rechecks/start/", rechecks.recheck_start, name="recheck_start"),
    path("rechecks/<int:pk>/", rechecks.recheck, name="recheck"),
    path("rechecks/<int:pk>/seen/", rechecks.recheck_rest_seen, name="recheck_rest_seen"),
    path("rechecks/changes/<int:pk>/", rechecks.recheck_change, name="recheck_change"),
    path("rechecks/changes/<int:pk>/seen/", rechecks.recheck_change_seen, name="recheck_change_seen"),
]
