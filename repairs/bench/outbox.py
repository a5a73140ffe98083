"""What a tablet kept while the network was gone: each entry is answered in JSON, under its author's name alone.

The forms are the ordinary ones of the bench. An entry that carries the header ``X-Outbox`` gets no page but an answer
that says whether it was carried out, refused, or written against something that somebody changed meanwhile.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import wraps
from typing import Any, Final, cast

from django.contrib.messages import get_messages
from django.core.exceptions import PermissionDenied
from django.forms import Form
from django.http import Http404, HttpResponse, HttpResponseBase, JsonResponse
from django.middleware.csrf import get_token
from django.shortcuts import render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET

from repairs.bench.late_entries import kept_after_the_end
from repairs.edge.answers import OUTBOX_HEADER
from repairs.people.permissions import Permission, allow
from repairs.people.requests import ShopRequest

# "at-once": the author waits at the form and gets a refused page back; "later": nobody looks at the form any more.
HEADER: Final = OUTBOX_HEADER
AUTHOR_HEADER: Final = "X-Outbox-Person"
AT_ONCE: Final = "at-once"
STATUS: Final = {"done": 200, "refused": 422, "conflict": 409, "signed_out": 401, "other_person": 403}

View = Callable[..., HttpResponseBase]


@dataclass(slots=True)
class Note:
    """What a view says beside its page: why it refused, what stands against what, which version it made."""

    words: str = ""
    conflict: bool = False
    mine: Sequence[str] = ()
    theirs: Sequence[str] = ()
    version: int | None = None
    files: Mapping[int, str] | None = None


class OutboxRequest(ShopRequest):
    """A request on its way through the outbox. For type checks only."""

    outbox_note: Note


def _note(request: ShopRequest) -> Note:
    carrier = cast(OutboxRequest, request)
    if not hasattr(carrier, "outbox_note"):
        carrier.outbox_note = Note()
    return carrier.outbox_note


def note_refusal(
    request: ShopRequest,
    words: str,
    *,
    conflict: bool = False,
    mine: Sequence[str] = (),
    theirs: Sequence[str] = (),
    version: int | None = None,
) -> None:
    """Say why an entry is not carried out, and what stands against it; ``version`` is what it could be sent for."""
    note = _note(request)
    note.words, note.conflict, note.version = words or _("Not accepted."), conflict, version
    note.mine, note.theirs = [one for one in mine if one], [one for one in theirs if one]


def note_version(request: ShopRequest, version: int | None) -> None:
    """Say which version of a record an entry made, so that its author's next one can follow it."""
    _note(request).version = version


def note_files(request: ShopRequest, refused: Mapping[int, str]) -> None:
    """Say which files of an entry that was carried out were refused, by their place in it, and why.

    The tablet keeps those files for their author; the rest is stored.
    """
    _note(request).files = refused


def refusal_words(form: Form) -> str:
    """Say every mistake of a form in one line, each with the label of its field."""
    lines = []
    for name, errors in form.errors.items():
        label = f"{form.fields[name].label}: " if name in form.fields else ""
        lines += [f"{label}{error}" for error in errors]
    return " ".join(lines)


def through_outbox(view: View) -> View:
    """Let a view of the bench be answered in JSON where the outbox of a tablet asks; put it outside ``allow()``."""

    @wraps(view)
    def answering(request: ShopRequest, *args: Any, **kwargs: Any) -> HttpResponseBase:
        if HEADER not in request.headers:
            return view(request, *args, **kwargs)
        if not request.user.is_authenticated:
            return _answer("signed_out", words=_("No one is signed in on this tablet."))
        if request.method != "POST":
            return view(request, *args, **kwargs)
        # The session may have changed hands between the question who is signed in and this entry.
        if request.headers.get(AUTHOR_HEADER, "") != str(request.user.pk):
            return _answer(
                "other_person",
                words=_("Someone else is signed in. This entry waits for the person who made it."),
            )
        return _carry_out(view, request, *args, **kwargs)

    return answering


def _carry_out(view: View, request: ShopRequest, *args: Any, **kwargs: Any) -> HttpResponseBase:
    """Ask the view, and translate its page into an answer."""
    page: HttpResponseBase | None = None
    if request.headers[HEADER] != AT_ONCE and (
        waits := kept_after_the_end(request, kwargs.get("number", ""))
    ):
        return _answer("done", words=waits, url=request.path)
    try:
        page = view(request, *args, **kwargs)
    except Http404:
        note_refusal(request, _("What this entry belongs to no longer exists."))
    except PermissionDenied:
        note_refusal(request, _("Your role does not allow this."))
    note, at_once = _note(request), request.headers[HEADER] == AT_ONCE
    # A form that was carried out leads to another page; any page in its place means that it was not.
    if page is not None and not 300 <= page.status_code < 400 and not note.words:
        note_refusal(request, _("The server did not accept this entry and gave no reason."))
    if not note.words:
        # Whoever waits at the form gets the next page, which shows its messages; a page of photos stays.
        heard = at_once and note.files is None
        words = "" if heard else " ".join(str(message) for message in get_messages(request))
        files = [{"file": place, "words": why} for place, why in sorted((note.files or {}).items())]
        url = page.headers.get("Location", request.path) if page is not None else request.path
        return _answer("done", words=words, url=url, version=note.version, files=files)
    refused = {"words": note.words, "mine": note.mine, "theirs": note.theirs, "version": note.version}
    if at_once and isinstance(page, HttpResponse) and page.status_code >= 400:
        refused["page"] = page.content.decode()
    return _answer("conflict" if note.conflict else "refused", url=request.path, **refused)


def _answer(state: str, **rest: Any) -> JsonResponse:
    return JsonResponse({"state": state, **rest}, status=STATUS[state])


@require_GET
@through_outbox
@allow(Permission.WORK_STEPS)
def outbox(request: ShopRequest) -> HttpResponse:
    """Show what waits on this device. The rows are on the device, so the page's script writes them."""
    return render(request, "bench/outbox.html")


@require_GET
@through_outbox
@allow(Permission.WORK_STEPS)
def outbox_token(request: ShopRequest) -> HttpResponse:
    """Say who is signed in, and give the token that entries sent now must carry."""
    user = request.user
    return JsonResponse({"person": user.pk, "name": str(user), "token": get_token(request)})
