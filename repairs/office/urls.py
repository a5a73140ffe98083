"""Addresses of the office pages."""

from __future__ import annotations

from django.urls import path

from repairs.office import board, people, search

app_name = "office"

urlpatterns = [
    path("", board.board, name="board"),
    path("search/", search.search, name="search"),
    path("people/", people.people, name="people"),
    path("people/<int:pk>/", people.person, name="person"),
    path("people/<int:pk>/password/", people.person_password, name="person_password"),
    path("me/", people.me, name="me"),
]
