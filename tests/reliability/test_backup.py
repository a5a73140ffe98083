"""Nothing acknowledged is lost: backups under writes, killed backups, killed restores, restores elsewhere."""

from __future__ import annotations

import json
import shutil
import sqlite3
import subprocess
import sys
import time
from contextlib import ExitStack, closing
from pathlib import Path

import pytest

from tests.reliability.bare_shop import KILLED, BareShop, bare_checkout
from tests.reliability.test_first_start import ask, modes, sign_in

# One person who writes without a pause: first a file named by its content, then the row that names it and an event.
# What the database has acknowledged is then noted apart from it.
WRITER = """
import hashlib, os, sys
from pathlib import Path
os.environ["DJANGO_SETTINGS_MODULE"] = "repairs.settings"
import django
django.setup()
from django.conf import settings
from django.db import transaction
from repairs.ledger.services import Actor, record_event
from repairs.people.models import User
from repairs.photos.models import Photo
person = User.objects.get()
actor = Actor(user_id=person.pk, name="writer", role=person.role)
acknowledged = open(sys.argv[1], "a", buffering=1)
for number in range(10**9):
    content = f"{os.getpid()} {number}".encode()
    digest = hashlib.sha256(content).hexdigest()
    name = f"photos/kept/{digest[:2]}/{digest}.jpg"
    path = Path(settings.MEDIA_ROOT) / name
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(content)
    with transaction.atomic():
        photo = Photo.objects.create(
            sha256=digest, original=name, print_size=name, thumbnail=name, width=1, height=1, uploaded_by=person
        )
        record_event(actor=actor, verb="photo.added", subject=photo)
    acknowledged.write(f"{photo.pk}\\n")
"""


@pytest.fixture(scope="module")
def checkout(tmp_path_factory) -> Path:
    return bare_checkout(tmp_path_factory.mktemp("checkout"))


@pytest.fixture(scope="module")
def begun_once(checkout, tmp_path_factory) -> Path:
    shop = BareShop(checkout, tmp_path_factory.mktemp("begun") / "shop")
    done = shop.begin()
    assert done.returncode == 0, done.stderr
    return shop.folder


@pytest.fixture
def shop(checkout, begun_once, tmp_path) -> BareShop:
    """A begun shop with one photo in it."""
    shutil.copytree(begun_once, tmp_path / "shop")
    path = tmp_path / "shop" / "media" / "photos" / "kept" / "aa" / "aa.jpg"
    path.parent.mkdir(parents=True)
    path.write_bytes(b"picture" * 1000)
    return BareShop(checkout, tmp_path / "shop")


def finished(into: Path) -> list[Path]:
    return sorted(into.glob("mountside-*"))


def test_backups_under_writes_lose_nothing_that_was_acknowledged_before_they_began(shop, tmp_path):
    into, notes = tmp_path / "backups", [tmp_path / f"acknowledged-{number}" for number in range(3)]
    with ExitStack() as ending:
        for note in notes:
            note.touch()
            writer = subprocess.Popen(
                [sys.executable, "-c", WRITER, str(note)], cwd=shop.checkout, env=shop.environment
            )
            ending.callback(writer.wait)
            ending.callback(writer.kill)
        end = time.monotonic() + 90
        while not all(note.stat().st_size > 400 for note in notes):
            assert time.monotonic() < end, "the writers did not write"
            time.sleep(0.2)
        for round_number in range(3):
            before = {line for note in notes for line in note.read_text().split("\n")[:-1]}
            done = shop.run("backup", str(into))
            assert done.returncode == 0, done.stderr
            assert "missing" not in done.stderr
            made = finished(into)[-1]
            assert len(finished(into)) == round_number + 1
            with closing(sqlite3.connect(made / "database.sqlite3")) as copy:
                events = {row[0] for row in copy.execute("SELECT subject_id FROM ledger_event")}
                photos = copy.execute("SELECT id, original FROM photos_photo").fetchall()
            kept = {str(row[0]) for row in photos}
            assert {key for key in before if key not in events} == set()
            assert {
                key for key in before if key.replace("-", "") not in {k.replace("-", "") for k in kept}
            } == set()
            assert [name for _key, name in photos if not (made / "media" / name).is_file()] == []
        after = {line for note in notes for line in note.read_text().split("\n")[:-1]}
    # The writers were at it all the while; otherwise this shows nothing.
    assert len(after) > len(before) > 30


@pytest.mark.parametrize("moment", [
    "repairs.backups.backup:stored_file",
    "repairs.backups.backup:_copied",
    "repairs.backups.backup:_flush_tree",
    "repairs.backups.manifest:write_private_file",
    "repairs.backups.backup:os.rename",
])  # fmt: skip
def test_a_killed_backup_is_never_taken_for_a_good_one(shop, tmp_path, moment):
    into = tmp_path / "backups"
    killed = shop.run("backup", str(into), killed_at=moment)
    assert killed.returncode == KILLED, killed.stderr
    assert finished(into) == []
    assert not (shop.folder / "last-backup.json").exists()
    left = [path for path in into.iterdir() if path.name != ".lock"]
    assert len(left) == 1
    if moment != "repairs.backups.backup:os.rename":
        refused = shop.run("restore", str(left[0]), "--verify")
        assert refused.returncode == 1
        assert "not a finished backup" in refused.stderr
    again = shop.run("backup", str(into))
    assert again.returncode == 0, again.stderr
    assert [path.name for path in into.iterdir() if path.name != ".lock"] == [finished(into)[0].name]
    assert json.loads((shop.folder / "last-backup.json").read_text())["folder"] == str(finished(into)[0])


@pytest.mark.parametrize("moment", [
    "repairs.backups.restoration:_put",
    "repairs.backups.restoration:_prepare",
    "repairs.backups.restoration:_compare_rows",
])  # fmt: skip
def test_a_killed_restore_is_never_started_and_begins_again(shop, tmp_path, moment):
    into, elsewhere = tmp_path / "backups", BareShop(shop.checkout, tmp_path / "elsewhere")
    assert shop.run("backup", str(into)).returncode == 0
    made = str(finished(into)[0])
    # The comparison also belongs to the check before the restore; there nothing is made yet.
    killed = shop.run("restore", made, "--into", str(elsewhere.folder), killed_at=moment)
    assert killed.returncode == KILLED, killed.stderr
    if moment != "repairs.backups.restoration:_compare_rows":
        # 70: the program cannot start, which is no answer of the command.
        refused = elsewhere.run("check")
        assert refused.returncode == 70
        assert "did not finish" in refused.stderr
        assert elsewhere.begin().returncode == 70
    again = shop.run("restore", made, "--into", str(elsewhere.folder))
    assert again.returncode == 0, again.stderr
    assert elsewhere.run("check", "--deploy").returncode == 0


def test_a_restored_shop_is_the_same_and_serves(shop, tmp_path):
    into, elsewhere = tmp_path / "backups", BareShop(shop.checkout, tmp_path / "elsewhere")
    assert shop.run("backup", str(into)).returncode == 0
    restored = shop.run("restore", str(finished(into)[0]), "--into", str(elsewhere.folder))
    assert restored.returncode == 0, restored.stderr
    assert modes(elsewhere.folder) == {}
    for table in ("people_user", "ledger_event", "work_orders_templatestep", "work_orders_shoppolicy"):
        assert ask(elsewhere.folder, f"SELECT * FROM {table}") == ask(shop.folder, f"SELECT * FROM {table}")
    photo = "media/photos/kept/aa/aa.jpg"
    assert (elsewhere.folder / photo).read_bytes() == (shop.folder / photo).read_bytes()
    for name in ("secret-key", "settings.toml"):
        assert (elsewhere.folder / name).read_text() == (shop.folder / name).read_text()
    refused = shop.run("restore", str(finished(into)[0]), "--into", str(elsewhere.folder))
    assert refused.returncode == 1
    assert "not empty" in refused.stderr
    # A restored shop has no backup of its own yet, and says so.
    with elsewhere.served() as address:
        assert "No backup yet" in sign_in(address)


def test_a_disk_that_fills_up_in_the_middle_leaves_the_earlier_backup_good_and_says_so(shop, tmp_path):
    into = tmp_path / "backups"
    assert shop.run("backup", str(into)).returncode == 0
    (shop.folder / "media" / "photos" / "kept" / "aa" / "large.jpg").write_bytes(bytes(4_000_000))
    limited = subprocess.run(
        [sys.executable, "-c", _LITTLE_ROOM, sys.executable, "manage.py", "backup", str(into)],
        cwd=shop.checkout,
        env=shop.environment,
        capture_output=True,
        text=True,
        check=False,
    )
    assert limited.returncode == 1
    assert "did not finish" in limited.stderr
    assert "Traceback" not in limited.stderr
    assert len(finished(into)) == 1
    assert shop.run("restore", str(finished(into)[0]), "--verify").returncode == 0


# No file may grow over 2 MB: the database's copy fits, the large picture does not.
_LITTLE_ROOM = """
import os, resource, signal, sys
signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
resource.setrlimit(resource.RLIMIT_FSIZE, (2_000_000, 2_000_000))
os.execv(sys.argv[1], sys.argv[1:])
"""


def test_the_daily_timer_names_this_installation_and_backs_nothing_up(shop, tmp_path):
    into = tmp_path / "back ups"
    done = shop.run("backup", str(into), "--timer")
    assert done.returncode == 0
    for words in ("OnCalendar=", str(shop.folder), sys.executable, "--keep 30", "Persistent=true"):
        assert words in done.stdout
    assert not into.exists()
