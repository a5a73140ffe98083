"""A re-check in a real browser: asked for by a click, watched while a process of its own works, seen with a note."""

from __future__ import annotations

import pytest
from django.db import connection
from django.urls import reverse

from repairs.long_work import launching
from repairs.work_orders.models import Stage
from tests.browser.conftest import DESKTOP, TABLET
from tests.repairs.factories import make_job, make_user
from tests.repairs.rechecks.stacks import edition, in_service, printed, signed

pytestmark = [
    pytest.mark.django_db(transaction=True),
    pytest.mark.skipif("connection.vendor != 'sqlite'", reason="the process finds the database by its file"),
]


@pytest.fixture
def _apart(settings, monkeypatch):
    """Let long work run in a process of its own, which finds the test's database by its file."""
    settings.LONG_WORK_RUNS = "apart"
    monkeypatch.setenv("DATABASE_URL", f"sqlite:///{connection.settings_dict['NAME']}")
    yield
    for child in launching._children:
        child.wait(timeout=30)


@pytest.fixture
def slowed():
    """A job that becomes STOP and a motor in service that loses margin, by a newer edition."""
    old, new = edition(2019), edition(2024)
    record = signed(make_job(), Stage.SPECIFIED, printed(old))
    in_service(rating=printed(old, 3200.0, designation="7320 H"))
    printed(new, 2300.0)
    printed(new, 3000.0, designation="7320 H")
    return record


@pytest.mark.usefixtures("_apart")
def test_a_re_check_is_asked_for_watched_and_what_became_stop_is_seen_with_a_note(window, slowed):
    reader = window(make_user("lead"))
    page = reader.open(reverse("office:recheck_list"))
    page.click("text=Re-check all stacks (2)")
    page.locator("progress").wait_for()
    assert page.locator(".long-work__state").inner_text() in {"waiting", "running"}
    page.locator("text=2 stacks checked, 2 changed, 1 became STOP.").wait_for(timeout=30_000)
    rows = page.locator("#changes tbody tr")
    page.locator("#changes >> text=−10.6").wait_for()
    assert rows.count() == 2
    assert "became STOP" in rows.first.inner_text()
    page.select_option("[name=where]", "motors")
    rows.nth(1).wait_for(state="detached")
    assert rows.count() == 1
    assert "where=motors" in page.url
    page.go_back()
    rows.nth(1).wait_for()
    assert page.locator("progress").count() == 0
    rows.first.locator("text=Side by side").click()
    page.fill("[name=note]", "customer told, 7320 H ordered")
    page.click("text=Mark reviewed")
    page.locator("text=customer told, 7320 H ordered").wait_for()
    assert (reader.problems, reader.foreign) == ([], [])


@pytest.mark.usefixtures("_apart")
def test_without_a_script_the_same_is_done_by_reloading(window, slowed):
    reader = window(make_user("engineer"), java_script_enabled=False)
    page = reader.open(reverse("office:recheck_list"))
    page.click("text=Re-check all stacks (2)")
    for _second in range(30):
        if page.locator("text=finished").count():
            break
        page.locator("text=Reload to see progress").click()
        page.wait_for_timeout(500)
    assert page.locator("#changes tbody tr").count() == 2


@pytest.mark.parametrize("size", [DESKTOP, TABLET], ids=["desktop", "tablet"])
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_the_pages_of_the_re_check_are_accessible_and_fit_their_window(window, slowed, scheme, size):
    lead = make_user("lead")
    reader = window(lead, size=size, color_scheme=scheme)
    page = reader.open(reverse("office:recheck_list"))
    page.click("text=Re-check all stacks (2)")
    page.locator("#changes tbody tr").first.wait_for()
    run = page.url
    pages = [reverse("office:recheck_list"), run.removeprefix(reader.base)]
    page.locator("text=Side by side").first.click()
    pages.append(page.url.removeprefix(reader.base))
    pages.append(reverse("office:job", args=[slowed.job.number]))
    for address in pages:
        reader.open(address)
        assert reader.violations() == [], address
        assert page.evaluate("document.documentElement.scrollWidth <= window.innerWidth"), address
