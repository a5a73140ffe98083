"""What a shared tablet lets through: the bench alone, for the person at it, while somebody is there."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Final

from django.conf import settings
from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseBase, JsonResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.http import urlencode
from django.utils.translation import gettext as _
from django_htmx.http import HttpResponseClientRedirect

from repairs.bench.kept_forms import keep_form
from repairs.bench.outbox import HEADER
from repairs.people.device_services import note_seen
from repairs.people.middleware import BENCH
from repairs.people.models import Device, User
from repairs.people.permissions import BENCH_ROLES
from repairs.people.tablet_session import (
    DEVICE,
    device_of,
    is_idle,
    leave,
    remember_device,
    touch,
)

# Signing in, changing over and going on ask for no session, or for one that waits for its PIN.
ALWAYS: Final = {"login", "logout", "favicon", "bench:worker", "bench:enrol"}
SIGNING_IN: Final = {"bench:people", "bench:pin", "bench:pin_password", "bench:switch", "bench:go_on"}
NEW_PIN: Final = "bench:new_pin"
# What a person at the bench reaches beside the bench: pictures, and the codes on paper.
BESIDE: Final = {"home", "photo_file", "scanned_paper"}
# Asked by the page's script now and then, so they do not show that somebody is there.
BY_ITSELF: Final = {"bench:today", "bench:outbox_token", "long_work"}


def is_of_the_bench(name: str) -> bool:
    """Whether an address is one that a PIN opens."""
    return name.startswith("bench:") or name in BESIDE or name in ALWAYS


class SharedTabletMiddleware:
    """Judge every request from an enrolled tablet, and every session that was opened on one."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponseBase]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        return self.get_response(request)

    def process_view(
        self, request: HttpRequest, view: Any, args: Any, kwargs: Any
    ) -> HttpResponseBase | None:
        """Answer in the view's place where the tablet, the person or the time does not allow it."""
        match = request.resolver_match
        name = match.view_name if match else ""
        if DEVICE in request.session:
            return _judge_session(request, name)
        device = device_of(request)
        if device is None or name in ALWAYS | SIGNING_IN:
            return None
        if request.user.is_authenticated:
            # Signed in by password on a shared tablet: events name it, and it is shut when nobody is there.
            remember_device(request, device)
            return None
        return _ask_who(request) if is_of_the_bench(name) else None


def _judge_session(request: HttpRequest, name: str) -> HttpResponseBase | None:
    """Judge a session that was opened on a shared tablet."""
    device, bench = device_of(request), request.session.get(BENCH)
    if device is None or device.pk != request.session[DEVICE]["pk"]:
        leave(request)
        return _refuse_tablet(request)
    if not request.user.is_authenticated or (bench is not None and _is_outdated(request.user, device, bench)):
        leave(request)
        messages.warning(request, _("That person or PIN has changed. Sign in again."))
        return _ask_who(request)
    note_seen(device=device)
    if bench is not None and not is_of_the_bench(name):
        return _refuse_address(request)
    if name in ALWAYS | SIGNING_IN:
        return None
    if is_idle(request):
        return _ask_again(request)
    if bench is not None and bench["must_change"] and name != NEW_PIN:
        return _out_of_band(request) or _send_to(request, NEW_PIN)
    if _shows_somebody(request, name):
        touch(request)
    return redirect("bench:home") if bench is not None and name == "home" else None


def _is_outdated(person: User, device: Device, bench: dict[str, object]) -> bool:
    """Whether the person's role, or the PIN that opened the session, was replaced meanwhile."""
    version: int | None = getattr(device, "pin_version", None)
    return person.role not in BENCH_ROLES or bench["pin"] not in {None, version}


def _shows_somebody(request: HttpRequest, name: str) -> bool:
    """Whether a request comes from somebody's hand and not from a page or a worker that asks by itself."""
    if name in BY_ITSELF or request.headers.get(HEADER) == "later":
        return False
    return request.method != "GET" or not _is_fetched(request)


def _is_fetched(request: HttpRequest) -> bool:
    """Whether a script asked, where the browser says so, and not the reader by htmx."""
    return request.headers.get("Sec-Fetch-Mode", "navigate") != "navigate" and not _by_htmx(request)


def _by_htmx(request: HttpRequest) -> bool:
    return bool(getattr(request, "htmx", False))


def _out_of_band(request: HttpRequest) -> HttpResponseBase | None:
    """Answer the outbox and other scripts, which show no page: nobody is signed in as far as they go."""
    if HEADER in request.headers:
        words = _("No one is signed in on this tablet.")
        return JsonResponse({"state": "signed_out", "words": words}, status=401)
    if request.method == "GET" and _is_fetched(request):
        return HttpResponse(status=401, content_type="text/plain")
    return None


def _here(request: HttpRequest) -> str:
    """Return the page that the reader is on and shall come back to."""
    shown = request.htmx.current_url_abs_path if _by_htmx(request) else None  # type: ignore[attr-defined]
    return shown or request.get_full_path()


def _send_to(request: HttpRequest, name: str) -> HttpResponseBase:
    address = f"{reverse(name)}?{urlencode({'next': _here(request)})}"
    return HttpResponseClientRedirect(address) if _by_htmx(request) else redirect(address)


def _ask_who(request: HttpRequest) -> HttpResponseBase:
    return _out_of_band(request) or _send_to(request, "bench:people")


def _ask_again(request: HttpRequest) -> HttpResponseBase:
    """Ask for the PIN; what was sent is kept in the page that asks, and sent on after it."""
    if answer := _out_of_band(request):
        return answer
    if request.method in {"GET", "HEAD"}:
        return _send_to(request, "bench:go_on")
    context = {
        "idle_minutes": settings.BENCH_IDLE_MINUTES,
        "by_pin": BENCH in request.session,
        "kept": keep_form(request),
        "next": _here(request),
        "files_lost": bool(request.FILES),
    }
    if not _by_htmx(request):
        return render(request, "bench/go_on.html", context, status=401)
    response = render(request, "bench/_go_on.html", context, status=401)
    response.headers["HX-Retarget"], response.headers["HX-Reswap"] = "#main", "innerHTML"
    return response


def _refuse_tablet(request: HttpRequest) -> HttpResponseBase:
    return _out_of_band(request) or _page(request, "bench/not_enrolled.html")


def _refuse_address(request: HttpRequest) -> HttpResponseBase:
    return _page(request, "bench/out_of_reach.html")


def _page(request: HttpRequest, template: str) -> HttpResponseBase:
    return render(request, template, {"here": request.get_full_path()}, status=403)
