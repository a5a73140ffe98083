"""Addresses of the office pages."""

from __future__ import annotations

from django.urls import path

from repairs.office import board, search

app_name = "office"

urlpatterns = [
    path("", board.board, name="board"),
    path("search/", search.search, name="search"),
]
