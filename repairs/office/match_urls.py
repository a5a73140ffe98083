"""Addresses of the match."""

from __future__ import annotations

from django.urls import path

from repairs.office import matching

urlpatterns = [
    path("match/", matching.match, name="match"),
    path("match/compare/", matching.match_compare, name="match_compare"),
    path("match/use/", matching.match_use, name="match_use"),
    path("jobs/<str:number>/stacks/<int:pk>/match/", matching.match_record, name="match_record"),
]
