"""What a session on a shared tablet knows: which tablet, since when nobody touched it, and that it is for the bench."""

from __future__ import annotations

from typing import Final

from django.conf import settings
from django.contrib.auth import login, logout
from django.contrib.messages import get_messages
from django.http import HttpRequest, HttpResponseBase
from django.middleware.csrf import rotate_token
from django.utils import timezone

from repairs.people.bench_services import record_sign_out
from repairs.people.middleware import BENCH, actor_of
from repairs.people.models import Device, Pin, User
from repairs.people.pin_hashing import hash_token

# In every session on an enrolled tablet: its key and when somebody last asked for something.
DEVICE: Final = "device"
# Writing the session at each request would be a write for each page; a quarter of a minute is near enough.
SEEN_EVERY_SECONDS: Final = 15
# How far a clock that is being corrected may step back without anybody being asked for a PIN.
CLOCK_JITTER_SECONDS: Final = 5
BACKEND: Final = "django.contrib.auth.backends.ModelBackend"
_KNOWN: Final = "_shared_tablet"


def device_of(request: HttpRequest) -> Device | None:
    """Return the enrolled tablet that the request comes from, with the number of the reader's PIN. One query."""
    if not hasattr(request, _KNOWN):
        token = request.COOKIES.get(settings.DEVICE_COOKIE, "")
        setattr(request, _KNOWN, _enrolled(token, request.user.pk or 0) if token else None)
    found: Device | None = getattr(request, _KNOWN)
    return found


def _enrolled(token: str, person_id: int) -> Device | None:
    devices = Device.objects.in_use().with_pin_of(person_id)
    return devices.filter(token_hash=hash_token(token)).first()


def start_bench(request: HttpRequest, *, device: Device, person: User, pin: Pin | None) -> None:
    """Sign a person in for the bench, in a new session that has nothing of the former one."""
    leave(request)
    login(request, person, backend=BACKEND)
    request.session[BENCH] = _opened_by(pin)
    remember_device(request, device)


def resume(request: HttpRequest, *, device: Device, pin: Pin | None) -> None:
    """Open a session again that nobody touched for a while; it gets a new key."""
    if BENCH in request.session:
        request.session[BENCH] = _opened_by(pin)
    remember_device(request, device)
    request.session.cycle_key()
    rotate_token(request)


def _opened_by(pin: Pin | None) -> dict[str, object]:
    return {"pin": pin.version if pin else None, "must_change": bool(pin and pin.one_time)}


def remember_device(request: HttpRequest, device: Device) -> None:
    """Let what happens in this session carry the tablet's name, and count its idle time from now."""
    request.session[DEVICE] = {"pk": device.pk, "seen": timezone.now().timestamp()}
    request.session["device_name"] = device.name


def touch(request: HttpRequest) -> None:
    """Count the idle time from now."""
    if idle_seconds(request) >= SEEN_EVERY_SECONDS:
        request.session[DEVICE] = {**request.session[DEVICE], "seen": timezone.now().timestamp()}


def idle_seconds(request: HttpRequest) -> float:
    """Return how long nobody asked for anything in this session."""
    return timezone.now().timestamp() - float(request.session[DEVICE]["seen"])


def is_idle(request: HttpRequest) -> bool:
    """Whether nobody asked for anything for so long that the PIN is due again, or the clock no longer tells.

    A clock that was set back must not leave a tablet open until it has caught up.
    """
    return not -CLOCK_JITTER_SECONDS <= idle_seconds(request) < 60 * settings.BENCH_IDLE_MINUTES


def leave(request: HttpRequest) -> None:
    """End a session with everything in it; one at the bench is written down."""
    # Words that the former reader has not seen yet are not for the next one.
    list(get_messages(request))
    if request.user.is_authenticated and BENCH in request.session:
        record_sign_out(actor=actor_of(request), person=request.user)
    logout(request)


def give_token(response: HttpResponseBase, token: str) -> None:
    """Leave a tablet's token in its browser, out of reach of scripts."""
    response.set_cookie(
        settings.DEVICE_COOKIE,
        token,
        max_age=settings.DEVICE_COOKIE_AGE,
        path="/",
        secure=settings.SESSION_COOKIE_SECURE,
        httponly=True,
        samesite="Lax",
    )


def renew_token(request: HttpRequest, response: HttpResponseBase) -> None:
    """Let a tablet's cookie hold for its whole time again, counted from now."""
    if token := request.COOKIES.get(settings.DEVICE_COOKIE):
        give_token(response, token)
