"""Keep what somebody sent after a pause, in the page that asks for the PIN, and send it on afterwards."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from django.core import signing
from django.http import HttpRequest

SALT: Final = "form kept while the PIN is asked"
HOLDS_SECONDS: Final = 12 * 3600
NOT_KEPT: Final = {"csrfmiddlewaretoken", "password", "pin"}


@dataclass(frozen=True, slots=True)
class KeptForm:
    """A form as it was sent: where to, and its fields in their order."""

    url: str
    fields: list[tuple[str, str]]


def keep_form(request: HttpRequest) -> str:
    """Return a form in signed text: nobody can put another one in its place, and only its author gets it back."""
    fields = [
        (name, value) for name, values in request.POST.lists() if name not in NOT_KEPT for value in values
    ]
    kept = {"person": request.user.pk, "url": request.get_full_path(), "fields": fields}
    return signing.dumps(kept, salt=SALT, compress=True)


def read_kept_form(text: str, person_id: int) -> KeptForm | None:
    """Return the form that a person sent, or nothing where it is not theirs, was touched, or is of another day."""
    try:
        kept = signing.loads(text, salt=SALT, max_age=HOLDS_SECONDS)
    except signing.BadSignature:
        return None
    if kept["person"] != person_id:
        return None
    return KeptForm(kept["url"], [(name, value) for name, value in kept["fields"]])
