"""Rules of the house: what lies where, who may import whom, what the map says."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
TOP = {
    "README.md",
    "DEVELOPERS.md",
    "manage.py",
    "pyproject.toml",
    "repairs",
    "bearings",
    "templates",
    "static",
    "tests",
}


def tracked() -> list[str]:
    listing = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=True)
    return listing.stdout.splitlines()


def test_the_visible_top_level_is_what_was_agreed():
    visible = {path.split("/")[0] for path in tracked() if not path.startswith(".")}
    assert visible == TOP


def test_import_rules_hold():
    lint = Path(sys.executable).with_name("lint-imports")
    result = subprocess.run([lint, "--no-cache"], cwd=ROOT, capture_output=True, text=True, check=False)
    assert result.returncode == 0, result.stdout + result.stderr


def test_every_path_in_the_developers_map_exists():
    text = (ROOT / "DEVELOPERS.md").read_text()
    paths = re.findall(r"`((?:bearings|repairs|templates|static|tests|\.ci)/[\w/.-]*)`", text)
    assert len(paths) > 20
    assert [path for path in paths if not (ROOT / path).exists()] == []


def test_every_room_is_on_the_developers_map():
    text = (ROOT / "DEVELOPERS.md").read_text()
    rooms = {
        str(path.parent.relative_to(ROOT))
        for base in ("repairs", "bearings")
        for path in (ROOT / base).glob("*/__init__.py")
        if path.parent.name not in {"migrations", "management", "templatetags"}
    }
    assert [room for room in sorted(rooms) if f"`{room}/" not in text] == []


def test_the_engineering_runs_without_django():
    code = "import sys, bearings.engineering.assessment; sys.exit('django' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], cwd=ROOT, check=False).returncode == 0


def test_only_one_file_configures_the_tools():
    names = [path for path in tracked() if re.fullmatch(r"[^/]*\.(cfg|ini|toml)", path)]
    assert names == ["pyproject.toml"]


@pytest.mark.parametrize("suffix", [".py", ".html", ".css", ".js"])
def test_no_file_has_more_than_one_subjects_worth_of_lines(suffix):
    long = {
        path: lines
        for path in tracked()
        if path.endswith(suffix) and "/vendor/" not in path and "/migrations/" not in path
        if (lines := (ROOT / path).read_text().count("\n")) > 400
    }
    assert long == {}


def test_views_hold_no_queries_and_no_arithmetic_of_their_own():
    wrong = []
    for room in ("office", "bench", "portal"):
        for path in (ROOT / "repairs" / room).glob("*.py"):
            text = path.read_text()
            wrong += [f"{path.name}: {call}" for call in (".save(", ".delete(", ".update(") if call in text]
    assert wrong == []


def test_no_lock_or_document_names_a_place_where_packages_come_from():
    wrong = []
    for path in tracked():
        if path.startswith(".ci/") or path.endswith((".md", ".toml")):
            text = (ROOT / path).read_text()
            wrong += [path for word in ("index-url", "find-links", "--extra-index") if word in text]
    assert wrong == []
