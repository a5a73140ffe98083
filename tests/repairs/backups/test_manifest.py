"""A backup is taken only for what its manifest proves."""

from __future__ import annotations

import json
import os
import sqlite3
from contextlib import closing
from datetime import UTC, datetime

import pytest

from repairs.backups import backup as making
from repairs.backups.backup import backups_in, make_backup, newest_backup, remove_older
from repairs.backups.database import FILE_COLUMNS, CopiedDatabase, copy_sqlite, postgresql_tool, read_sqlite
from repairs.backups.manifest import BackupError
from repairs.backups.restoration import refuse_target, verify_backup

NOW = datetime(2026, 11, 30, 20, 0, 0, tzinfo=UTC)


@pytest.fixture
def shop(tmp_path, monkeypatch):
    """A shop folder with a small database of its own, two photos and a paper."""
    folder = tmp_path / "shop"
    for name in ("photos/kept/ab/ab.jpg", "photos/print/cd/cd.jpg", "papers/ef/ef.pdf"):
        path = folder / "media" / name
        path.parent.mkdir(parents=True)
        path.write_bytes(name.encode() * 100)
    (folder / "media" / "papers" / "ef" / "half.17.part").write_bytes(b"half")
    (folder / "secret-key").write_text("hidden")
    with closing(sqlite3.connect(folder / "mountside.sqlite3")) as database:
        database.execute("PRAGMA journal_mode=WAL")
        for model, columns in FILE_COLUMNS:
            database.execute(f"CREATE TABLE {model._meta.db_table} ({', '.join(columns)})")
        row = ("photos/kept/ab/ab.jpg", "photos/print/cd/cd.jpg", "photos/thumbnail/99/99.jpg")
        database.execute("INSERT INTO photos_photo VALUES (?, ?, ?)", row)
        database.execute("INSERT INTO documents_issueddocument VALUES ('papers/ef/ef.pdf')")
        database.commit()

    def copy(target):
        copy_sqlite(folder / "mountside.sqlite3", target / "database.sqlite3")
        rows, named = read_sqlite(target / "database.sqlite3")
        return CopiedDatabase(engine="sqlite", file="database.sqlite3", rows=rows, named_files=named)

    monkeypatch.setattr(making, "copy_database", copy)
    return folder


def back_up(shop, into, now=NOW):
    return make_backup(shop=shop, media=shop / "media", into=into, now=now)


def test_a_backup_holds_the_database_every_whole_file_and_the_key_and_names_what_was_lost(shop, tmp_path):
    made, manifest = back_up(shop, tmp_path / "backups")
    assert made.name == "mountside-20261130-200000"
    assert set(manifest.files) == {
        "database.sqlite3",
        "media/photos/kept/ab/ab.jpg",
        "media/photos/print/cd/cd.jpg",
        "media/papers/ef/ef.pdf",
        "secret-key",
    }
    assert manifest.rows == {"photos_photo": 1, "documents_issueddocument": 1}
    assert manifest.missing == ("photos/thumbnail/99/99.jpg",)
    assert verify_backup(made) == manifest
    for path in (made.parent, *made.parent.rglob("*")):
        assert path.stat().st_mode & 0o077 == 0, path


def test_files_that_did_not_change_are_shared_with_the_backup_before_and_a_damaged_one_is_not(shop, tmp_path):
    into = tmp_path / "backups"
    first, _manifest = back_up(shop, into)
    (first / "media/papers/ef/ef.pdf").write_bytes(b"bits lost")
    second, _manifest = back_up(shop, into, NOW.replace(hour=21))
    inode = {made: os.stat(made / "media/photos/kept/ab/ab.jpg").st_ino for made in (first, second)}
    assert inode[first] == inode[second]
    assert (second / "media/papers/ef/ef.pdf").read_bytes() == (shop / "media/papers/ef/ef.pdf").read_bytes()
    verify_backup(second)
    with pytest.raises(BackupError, match=r"papers/ef/ef.pdf has changed"):
        verify_backup(first)


def damage(path, how):
    if how == "gone":
        path.unlink()
    elif how == "cut":
        path.write_bytes(path.read_bytes()[:-1])
    else:
        content = bytearray(path.read_bytes())
        content[len(content) // 2] ^= 1
        path.write_bytes(content)


@pytest.mark.parametrize("how", ["gone", "cut", "one bit"])
@pytest.mark.parametrize("name", ["database.sqlite3", "media/photos/kept/ab/ab.jpg", "secret-key"])
def test_a_damaged_backup_is_refused(shop, tmp_path, name, how):
    made, _manifest = back_up(shop, tmp_path / "backups")
    damage(made / name, how)
    with pytest.raises(BackupError, match="is damaged"):
        verify_backup(made)


@pytest.mark.parametrize(("change", "told"), [
    ({"files": {"../../outside": {"sha256": "", "size_bytes": 0}}}, "cannot be read"),
    ({"database": "/etc/passwd"}, "cannot be read"),
    ({"format": 2}, "format 2"),
    ({"made_at": "soon"}, "cannot be read"),
    ({"rows": {"photos_photo": 2, "documents_issueddocument": 1}}, "photos_photo has 1 records"),
    ({"missing": []}, "photos/thumbnail/99/99.jpg is missing"),
])  # fmt: skip
def test_a_manifest_that_does_not_fit_is_refused(shop, tmp_path, change, told):
    made, _manifest = back_up(shop, tmp_path / "backups")
    path = made / "manifest.json"
    path.write_text(json.dumps(json.loads(path.read_text()) | change))
    with pytest.raises(BackupError, match=told):
        verify_backup(made)


@pytest.mark.parametrize("text", ["", "{", "[]", "null"])
def test_a_half_written_manifest_is_no_backup(tmp_path, text):
    (tmp_path / "manifest.json").write_text(text)
    with pytest.raises(BackupError, match=r"cannot be read"):
        verify_backup(tmp_path)


def test_a_backup_that_breaks_leaves_nothing_and_the_next_one_clears_what_a_kill_left(
    shop, tmp_path, monkeypatch
):
    into = tmp_path / "backups"
    back_up(shop, into)

    def full_disk(_folder):
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as broken:
        broken.setattr(making, "_flush_tree", full_disk)
        with pytest.raises(OSError, match="No space left"):
            back_up(shop, into, NOW.replace(hour=21))
    assert sorted(path.name for path in into.iterdir()) == [".lock", "mountside-20261130-200000"]
    (into / ".unfinished-mountside-20261130-210000").mkdir()
    back_up(shop, into, NOW.replace(hour=22))
    assert sorted(path.name for path in into.iterdir())[:2] == [".lock", "mountside-20261130-200000"]


def test_two_backups_at_once_into_one_folder_are_refused(shop, tmp_path):
    into = tmp_path / "backups"
    into.mkdir()
    with making.alone(into), pytest.raises(BackupError, match="is running"):
        back_up(shop, into)
    back_up(shop, into)


def test_only_the_newest_are_kept_and_nothing_else_is_removed(shop, tmp_path):
    into = tmp_path / "backups"
    for hour in (1, 2, 3, 4):
        back_up(shop, into, NOW.replace(hour=hour))
    (into / "notes.txt").write_text("mine")
    (into / "mountside-old").mkdir()
    removed = remove_older(into, 2)
    assert [path.name for path in removed] == ["mountside-20261130-020000", "mountside-20261130-010000"]
    assert [path.name for path in backups_in(into)] == [
        "mountside-20261130-040000",
        "mountside-20261130-030000",
    ]
    assert (into / "notes.txt").exists()
    assert (into / "mountside-old").exists()
    newest = newest_backup(into)
    assert newest
    verify_backup(newest)


def test_a_backup_inside_the_shop_folder_is_refused(shop):
    for place in (shop, shop / "backups", shop / "media" / ".." / "b"):
        with pytest.raises(BackupError, match="inside the shop folder"):
            back_up(shop, place)


def test_a_restore_writes_over_nothing(tmp_path):
    backup = tmp_path / "backup"
    backup.mkdir()
    for place, told in (
        (backup / "x", "overlaps the backup folder"),
        (tmp_path, "overlaps the backup folder"),
    ):
        with pytest.raises(BackupError, match=told):
            refuse_target(backup, place)
    full = tmp_path / "full"
    full.mkdir()
    (full / "letter.txt").touch()
    with pytest.raises(BackupError, match="not empty"):
        refuse_target(backup, full)
    with pytest.raises(BackupError, match="not a folder"):
        refuse_target(backup, full / "letter.txt")


def test_a_missing_postgresql_program_is_named_with_what_to_install(monkeypatch):
    monkeypatch.setenv("PATH", "/nowhere")
    with pytest.raises(BackupError, match="postgresql-client"):
        postgresql_tool("pg_dump")
