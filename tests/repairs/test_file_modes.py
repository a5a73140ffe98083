"""Whatever the shop writes is for its own account alone."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest
from django.core.files.base import ContentFile
from django.core.files.storage import FileSystemStorage

ROOT = Path(__file__).resolve().parents[2]
MAKE = "open({0!r} + '/file', 'w').close(); __import__('os').mkdir({0!r} + '/folder')"


def modes(folder: Path) -> set[str]:
    return {oct(path.stat().st_mode & 0o777) for path in folder.rglob("*")}


@pytest.mark.parametrize(
    "start", ["import repairs.wsgi", "import manage; manage.sys.argv = ['x', 'version']; manage.main()"]
)
def test_the_server_and_every_command_make_private_files(start, tmp_path):
    environment = {**os.environ, "MOUNTSIDE_FOLDER": str(tmp_path), "MOUNTSIDE_SECRET_KEY": "for-tests-only"}
    code = f"import os; os.umask(0o022); {start}; {MAKE.format(str(tmp_path))}"
    subprocess.run([sys.executable, "-c", code], cwd=ROOT, env=environment, check=True, capture_output=True)
    assert modes(tmp_path) == {"0o600", "0o700"}


def test_a_whole_start_leaves_no_file_for_others(tmp_path):
    shop = tmp_path / "shop"
    shop.mkdir(mode=0o700)
    environment = {
        **{name: value for name, value in os.environ.items() if name != "DATABASE_URL"},
        "MOUNTSIDE_FOLDER": str(shop),
        "MOUNTSIDE_SECRET_KEY": "for-tests-only",
        "DJANGO_SETTINGS_MODULE": "repairs.settings",
    }
    command = f"umask 022; exec {sys.executable} manage.py migrate ledger -v 0"
    subprocess.run(["sh", "-c", command], cwd=ROOT, env=environment, check=True, capture_output=True)
    assert (shop / "mountside.sqlite3").exists()
    assert modes(shop) <= {"0o600", "0o700"}


def test_stored_files_are_private_whatever_the_process_says(settings, tmp_path):
    before = os.umask(0o022)
    try:
        storage = FileSystemStorage(location=tmp_path / "media")
        storage.save("photos/2026/one.jpg", ContentFile(b"x"))
    finally:
        os.umask(before)
    files = [path for path in (tmp_path / "media").rglob("*") if path.is_file()]
    folders = [path for path in (tmp_path / "media").rglob("*") if path.is_dir()]
    assert {oct(path.stat().st_mode & 0o777) for path in files} == {"0o600"}
    assert {oct(path.stat().st_mode & 0o777) for path in folders} == {"0o700"}
