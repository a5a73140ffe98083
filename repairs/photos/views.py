"""Hand out photos to people who may see the shop."""

from __future__ import annotations

from pathlib import Path
from uuid import UUID

from django.conf import settings
from django.http import FileResponse, Http404, HttpRequest, HttpResponseBase
from django.shortcuts import get_object_or_404
from django.views.decorators.http import require_GET

from repairs.people.permissions import Permission, allow
from repairs.photos.models import Photo

SIZES = {"print": "print_size", "thumbnail": "thumbnail"}


def photo_response(photo: Photo, size: str) -> HttpResponseBase:
    """Return a derivative of a photo as a private picture; originals stay in the shop folder."""
    if size not in SIZES:
        raise Http404
    path = Path(settings.MEDIA_ROOT) / getattr(photo, SIZES[size])
    if not path.exists():
        raise Http404
    response = FileResponse(path.open("rb"), content_type="image/jpeg")
    response.headers["Content-Security-Policy"] = "sandbox; default-src 'none'"
    response.headers["Cache-Control"] = "private, max-age=86400, immutable"
    return response


@require_GET
@allow(Permission.VIEW_SHOP)
def photo_file(request: HttpRequest, photo_id: UUID, size: str) -> HttpResponseBase:
    """Show one size of one photo."""
    return photo_response(get_object_or_404(Photo, pk=photo_id), size)
