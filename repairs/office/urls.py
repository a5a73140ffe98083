"""Addresses of the office pages."""

from __future__ import annotations

from django.urls import URLPattern

app_name = "office"

urlpatterns: list[URLPattern] = []
