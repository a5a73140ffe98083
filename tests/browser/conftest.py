"""A real browser against a real server. Rows are made before the browser block: no ORM calls inside it."""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from django.conf import settings
from django.test import Client

AXE = (Path(__file__).parent / "vendor" / "axe.min.js").read_text()
BROWSER = os.environ.get("MOUNTSIDE_CHROMIUM") or shutil.which("chromium")
ARGUMENTS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-dev-shm-usage",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
DESKTOP = {"viewport": {"width": 1440, "height": 900}}
TABLET = {"viewport": {"width": 1180, "height": 820}, "has_touch": True}

os.environ.setdefault("DJANGO_ALLOW_ASYNC_UNSAFE", "true")


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    here = Path(__file__).parent
    for item in items:
        if here in Path(item.fspath).parents:
            item.add_marker(pytest.mark.browser)
            if BROWSER is None:
                item.add_marker(pytest.mark.skip(reason="no browser found; set MOUNTSIDE_CHROMIUM"))


@pytest.fixture(scope="session")
def browser() -> Iterator[Any]:
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        launched = playwright.chromium.launch(executable_path=BROWSER, headless=True, args=ARGUMENTS)
        yield launched
        launched.close()


class Reader:
    """One person's window on the shop, which notes whatever went wrong in it."""

    def __init__(self, page: Any, base: str) -> None:
        self.page = page
        self.base = base
        self.problems: list[str] = []
        self.foreign: list[str] = []
        page.on("console", self._note_console)
        page.on("pageerror", lambda error: self.problems.append(str(error)))
        page.on("request", self._note_request)

    def _note_console(self, message: Any) -> None:
        if message.type == "error" and "status of 4" not in message.text:
            self.problems.append(message.text)

    def _note_request(self, request: Any) -> None:
        if not request.url.startswith((self.base, "data:", "blob:")):
            self.foreign.append(request.url)

    def open(self, path: str) -> Any:
        self.page.goto(self.base + path)
        return self.page

    def violations(self) -> list[tuple[str, list[str]]]:
        """Return what axe-core finds against WCAG 2.2 A and AA on the page as it stands."""
        self.page.evaluate(AXE)
        found = self.page.evaluate(
            "async () => (await axe.run(document, {runOnly: {type: 'tag', values:"
            " ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa']}})).violations"
        )
        return [(v["id"], [node["html"][:160] for node in v["nodes"]]) for v in found]


@pytest.fixture
def window(browser: Any, live_server: Any) -> Iterator[Callable[..., Reader]]:
    """Open a window for a signed-in person (or nobody), at desktop or tablet size."""
    contexts = []

    def open_window(user: Any = None, *, size: dict[str, Any] = DESKTOP, **options: Any) -> Reader:
        context = browser.new_context(**size, **options)
        context.set_default_timeout(30_000)
        contexts.append(context)
        if user is not None:
            client = Client()
            client.force_login(user)
            value = client.cookies[settings.SESSION_COOKIE_NAME].value
            context.add_cookies(
                [{"name": settings.SESSION_COOKIE_NAME, "value": value, "url": live_server.url}]
            )
        return Reader(context.new_page(), live_server.url)

    yield open_window
    for context in contexts:
        context.close()
