"""What a hand does at the tablet in these tests, and what lies on the device."""

from __future__ import annotations

import os
import time
from collections.abc import Callable
from io import BytesIO
from typing import Any

from django.conf import settings
from django.test import Client
from django.urls import reverse
from PIL import Image

from repairs.work_orders.models import Job
from tests.repairs.factories import picture_file

PATIENCE = 15


def until(true: Callable[[], Any], what: str = "") -> Any:
    """Ask again until it is so. A page's policy forbids the driver to wait inside it."""
    end = time.monotonic() + PATIENCE
    while time.monotonic() < end:
        if answer := true():
            return answer
        time.sleep(0.05)
    raise AssertionError(f"not within {PATIENCE} s: {what or true}")


def kept(page: Any) -> list[dict[str, Any]]:
    """Return what waits on the device, without the photos' bytes."""
    rows: list[dict[str, Any]] = page.evaluate(
        "async () => (await outbox.store.all()).map(one => ({...one, files: one.files.map(f => f.blob.size)}))"
    )
    return rows


def held(page: Any, count: int) -> None:
    """Wait until the device holds so many entries and its page said so."""
    until(lambda: len(kept(page)) == count, f"{count} kept")
    page.locator("#messages", has_text="Saved on this tablet").wait_for()


def ready(page: Any, *addresses: str) -> None:
    """Wait until the worker keeps these pages."""
    asked = "async (wanted) => (await Promise.all(wanted.map(one => caches.match(one)))).every(Boolean)"
    until(lambda: page.evaluate(asked, list(addresses)), "pages kept")


def bar(page: Any) -> str:
    text: str = page.locator("#outbox").inner_text()
    return text


def take_reading(page: Any, base: str, job: Job, value: str) -> None:
    page.goto(base + reverse("bench:reading", args=[job.number]))
    if not page.get_by_label("Value").is_visible():
        page.get_by_text("Other reading").tap()
    page.get_by_label("Reading").fill("Insulation resistance")
    page.get_by_label("Value").fill(value)
    page.get_by_label("Unit").fill("MΩ")
    page.get_by_role("button", name="Save reading").tap()


def write_note(page: Any, base: str, job: Job, words: str) -> None:
    page.goto(base + reverse("bench:job", args=[job.number]))
    page.get_by_text("Hand off this job").tap()
    page.get_by_label("Done / not done").fill(words)
    page.get_by_role("button", name="Save handoff").tap()


def put_photo(page: Any, base: str, job: Job, caption: str, size: tuple[int, int] = (640, 480)) -> None:
    page.goto(base + reverse("bench:photos", args=[job.number]))
    page.locator("#files").set_input_files(
        {"name": "stack.jpg", "mimeType": "image/jpeg", "buffer": picture_file(size=size).read()}
    )
    page.get_by_label("Caption").fill(caption)
    page.get_by_role("button", name="Upload photos").tap()


def noisy_photo(side: int) -> bytes:
    """A picture that cannot be packed small, so that it is on its way for a while."""
    out = BytesIO()
    Image.frombytes("RGB", (side, side), os.urandom(3 * side * side)).save(out, "JPEG", quality=90)
    return out.getvalue()


def become(page: Any, base: str, user: Any) -> None:
    """Sign somebody else in on this device, as another tab would."""
    client = Client()
    client.force_login(user)
    value = client.cookies[settings.SESSION_COOKIE_NAME].value
    page.context.add_cookies([{"name": settings.SESSION_COOKIE_NAME, "value": value, "url": base}])
