"""Files and their rows: a row has its files, a file without a row does not stay, whoever is killed when."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from django.db import DatabaseError, OperationalError, connection

from repairs.ledger import files
from repairs.ledger.files import NewFiles, sweep, sweep_at_start
from repairs.photos.models import Photo
from repairs.photos.services import prepare_photo, save_photo
from tests.repairs.factories import make_user, picture_file

pytestmark = [pytest.mark.django_db, pytest.mark.data]


def left(settings) -> list[str]:
    root = Path(settings.MEDIA_ROOT)
    return sorted(str(path.relative_to(root)) for path in root.rglob("*") if path.is_file())


def prepared(new: NewFiles) -> Photo:
    return prepare_photo(actor_id=make_user().pk, file=picture_file(), new=new)[0]


def test_files_of_a_saved_photo_stay_and_the_list_goes(settings):
    with NewFiles() as new:
        photo = save_photo(prepared(new))
        assert any(name.startswith("arriving/") for name in left(settings))
    assert left(settings) == sorted([photo.original, photo.print_size, photo.thumbnail])


@pytest.mark.parametrize("fault", [None, ValueError("no"), KeyboardInterrupt()])
def test_files_without_a_row_go_whatever_ended_the_form(settings, fault):
    try:
        with NewFiles() as new:
            prepared(new)
            assert len(left(settings)) == 4
            if fault:
                raise fault
    except (ValueError, KeyboardInterrupt):
        assert fault
    assert left(settings) == []


def test_two_photos_of_one_picture_share_no_file(settings):
    with NewFiles() as new:
        kept = save_photo(prepared(new))
    with NewFiles() as new:
        prepared(new)
    assert left(settings) == sorted([kept.original, kept.print_size, kept.thumbnail])


def test_files_wait_for_the_database_before_they_are_deleted(settings, monkeypatch):
    def away(_names):
        raise DatabaseError("away")

    monkeypatch.setitem(files._owners, "photos", away)
    with NewFiles() as new:
        prepared(new)
    assert len(left(settings)) == 4
    monkeypatch.undo()
    monkeypatch.setattr(files, "_COMMIT_MAY_COME_S", 0)
    sweep()
    assert left(settings) == []


def test_a_commit_whose_answer_was_lost_is_given_time_on_a_server_of_its_own(settings, monkeypatch):
    def broken() -> None:
        with NewFiles() as new:
            prepared(new)
            raise OperationalError("the connection is gone")

    with pytest.raises(OperationalError):
        broken()
    assert len(left(settings)) == (0 if connection.vendor == "sqlite" else 4)
    sweep()
    monkeypatch.setattr(files, "_COMMIT_MAY_COME_S", 0)
    sweep()
    assert left(settings) == []


KILLED = """
import os, signal, sys, django
sys.argv = ["x"]
django.setup()
from django.conf import settings
from repairs.ledger.files import NewFiles
settings.MEDIA_ROOT = sys.argv[0] and os.environ["MEDIA"]
new = NewFiles()
new.write(b"whole", "photos/kept", ".jpg")
new.write(b"more", "photos/print", ".jpg")
print("written", flush=True)
signal.pause()
"""


def test_what_a_killed_process_had_written_is_gone_after_the_next_one_wrote(settings, monkeypatch):
    environment = {
        **os.environ,
        "MEDIA": str(settings.MEDIA_ROOT),
        "DJANGO_SETTINGS_MODULE": "tests.settings",
        "PYTHONPATH": str(settings.ROOT),
    }
    process = subprocess.Popen([sys.executable, "-c", KILLED], env=environment, stdout=subprocess.PIPE)
    assert process.stdout is not None
    try:
        assert process.stdout.readline() == b"written\n"
        monkeypatch.setattr(files, "_COMMIT_MAY_COME_S", 0)
        # While it lives, its files are its own.
        sweep()
        assert len(left(settings)) == 3
    finally:
        process.send_signal(signal.SIGKILL)
        process.wait()
        process.stdout.close()
    with NewFiles() as new:
        photo = save_photo(prepared(new))
    assert left(settings) == sorted([photo.original, photo.print_size, photo.thumbnail])


def test_a_list_that_ends_in_half_a_line_deletes_nothing_else(settings, monkeypatch):
    with NewFiles() as new:
        photo = save_photo(prepared(new))
    folder = Path(settings.MEDIA_ROOT) / files.LISTS
    outside = Path(settings.MEDIA_ROOT).parent / "precious"
    outside.write_text("x")
    (folder / "torn.list").write_text(f"{photo.original}\nphotos/\nphotos/../../precious\n/etc/passwd\nph")
    monkeypatch.setattr(files, "_COMMIT_MAY_COME_S", 0)
    sweep()
    assert outside.exists()
    assert left(settings) == sorted([photo.original, photo.print_size, photo.thumbnail])


def test_old_halves_of_former_times_are_swept_at_the_start_and_new_ones_left(settings):
    folder = Path(settings.MEDIA_ROOT) / "photos" / "kept"
    folder.mkdir(parents=True)
    old, new = folder / "a.1.part", folder / "b.2.part"
    for path in (old, new):
        path.write_bytes(b"half")
    os.utime(old, (time.time() - 3600,) * 2)
    sweep_at_start()
    assert left(settings) == ["photos/kept/b.2.part"]


def test_files_and_folders_are_for_the_shops_account_alone(settings):
    before = os.umask(0)
    try:
        with NewFiles() as new:
            save_photo(prepared(new))
            root = Path(settings.MEDIA_ROOT)
            modes = {path.is_dir(): set() for path in root.rglob("*")}
            for path in root.rglob("*"):
                modes[path.is_dir()].add(path.stat().st_mode & 0o777)
    finally:
        os.umask(before)
    assert modes == {True: {0o700}, False: {0o600}}
