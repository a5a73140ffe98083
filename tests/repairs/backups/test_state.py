"""Administrators see how old the last good backup is, and are warned in time; nobody else is."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest
from django.urls import reverse

from repairs.backups.last import NAME, backup_state, note_backup
from repairs.backups.manifest import Manifest, StoredFile
from repairs.people.permissions import Role
from tests.repairs.factories import make_user

NOW = datetime(2026, 11, 30, 20, 0, tzinfo=UTC)


@pytest.fixture
def folder(settings, tmp_path):
    settings.SHOP_FOLDER = tmp_path
    return tmp_path


def note(folder, made_at, missing=()):
    manifest = Manifest(
        made_at=made_at,
        engine="sqlite",
        database="database.sqlite3",
        rows={"people_user": 3, "ledger_event": 40},
        files={"database.sqlite3": StoredFile(sha256="0" * 64, size_bytes=2_000_000)},
        missing=missing,
    )
    note_backup(folder, folder / "mountside-20261130-020000", manifest)


@pytest.mark.parametrize(
    ("hours", "late"), [(0, False), (35.9, False), (36.1, True), (24 * 40, True), (-1, True)]
)
def test_a_backup_is_late_after_36_hours_or_when_it_comes_from_the_future(folder, hours, late):
    note(folder, NOW - timedelta(hours=hours))
    state = backup_state(folder, NOW)
    assert state.is_late is late
    assert state.last
    assert (state.last.rows, state.last.size_bytes) == (43, 2_000_000)


@pytest.mark.parametrize("text", [None, "", "{}", "[]", '{"made_at": "yesterday"}'])
def test_no_note_or_a_broken_one_counts_as_no_backup(folder, text):
    if text is not None:
        (folder / NAME).write_text(text)
    state = backup_state(folder, NOW)
    assert (state.last, state.is_late) == (None, True)


@pytest.mark.django_db
def test_only_an_administrator_is_told_on_every_page_and_no_query_is_made_for_it(
    folder, client, django_assert_num_queries, rf
):
    for role in Role.values:
        client.force_login(make_user(role))
        text = client.get(reverse("office:board")).content.decode()
        assert ("No backup yet." in text) is (role == Role.ADMINISTRATOR), role
    from django.utils import timezone

    note(folder, timezone.now() - timedelta(days=3))
    assert "The last good backup is 3\xa0days old." in client.get(reverse("office:board")).content.decode()
    note(folder, timezone.now())
    assert "backup is" not in client.get(reverse("office:board")).content.decode()


@pytest.mark.django_db
def test_the_page_shows_the_last_backup_and_what_is_missing(folder, client):
    client.force_login(make_user(Role.ADMINISTRATOR))
    address = reverse("office:backups")
    assert "No backup yet." in client.get(address).content.decode()
    note(folder, NOW - timedelta(days=9), missing=("photos/kept/ab/ab.jpg",))
    text = client.get(address).content.decode()
    for words in ("mountside-20261130-020000", "Nov 21, 2026", "1.9\xa0MB", "already missing", "old."):
        assert words in text
    (folder / "demo-shop").touch()
    assert "This is the demo" in client.get(address).content.decode()


@pytest.mark.django_db
def test_the_demo_warns_nobody(folder, client):
    (folder / "demo-shop").touch()
    client.force_login(make_user(Role.ADMINISTRATOR))
    assert "No backup yet." not in client.get(reverse("office:board")).content.decode()
