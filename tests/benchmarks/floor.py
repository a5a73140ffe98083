"""The floor: Django answering with nothing, without middleware. What a page costs is said in multiples of it."""

from __future__ import annotations

import django
from django.conf import settings
from django.core.handlers.wsgi import WSGIHandler
from django.http import HttpRequest, HttpResponse
from django.urls import path


def nothing(_request: HttpRequest) -> HttpResponse:
    return HttpResponse()


urlpatterns = [path("", nothing)]


def application() -> WSGIHandler:
    """Return the floor as a WSGI application; gunicorn calls this once."""
    settings.configure(ROOT_URLCONF=__name__, ALLOWED_HOSTS=["127.0.0.1"], SECRET_KEY="floor", MIDDLEWARE=[])
    django.setup()
    return WSGIHandler()
