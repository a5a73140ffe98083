"""Addresses of the bench pages."""

from __future__ import annotations

from django.urls import URLPattern

app_name = "bench"

urlpatterns: list[URLPattern] = []
