"""Who acts in this request, in which language and units."""

from __future__ import annotations

from collections.abc import Callable

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.utils import translation

from repairs.ledger.services import Actor


class PersonMiddleware:
    """Give the signed-in person's language to the request, and keep private pages out of caches."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        language = request.user.language if request.user.is_authenticated else None
        if language in dict(settings.LANGUAGES) and language != translation.get_language():
            translation.activate(language)
            request.LANGUAGE_CODE = language
        response = self.get_response(request)
        response.headers.setdefault("Permissions-Policy", "camera=(self), geolocation=(), microphone=()")
        if "Cache-Control" not in response.headers:
            response.headers["Cache-Control"] = "private, no-store"
        return response


def actor_of(request: HttpRequest) -> Actor:
    """Return the acting person and device of a request."""
    user = request.user
    return Actor(
        user_id=user.pk,
        name=str(user),
        role=getattr(user, "role", ""),
        device=request.session.get("device_name", "") if hasattr(request, "session") else "",
    )
