"""A real shop is started from a bare checkout, without the demo, whatever breaks on the way."""

from __future__ import annotations

import re
import shutil
import sqlite3
import stat
from contextlib import closing
from http.cookiejar import CookieJar
from pathlib import Path
from urllib.parse import urlencode
from urllib.request import HTTPCookieProcessor, build_opener

import pytest

from tests.reliability.bare_shop import KILLED, PASSWORD, BareShop, bare_checkout


@pytest.fixture(scope="module")
def checkout(tmp_path_factory) -> Path:
    return bare_checkout(tmp_path_factory.mktemp("checkout"))


@pytest.fixture
def shop(checkout, tmp_path) -> BareShop:
    return BareShop(checkout, tmp_path / "shop")


@pytest.fixture(scope="module")
def begun_once(checkout, tmp_path_factory) -> Path:
    """The folder of a shop that was begun, to be copied and not touched."""
    shop = BareShop(checkout, tmp_path_factory.mktemp("begun") / "shop")
    done = shop.begin()
    assert done.returncode == 0, done.stderr
    return shop.folder


@pytest.fixture
def begun(shop, begun_once) -> BareShop:
    shutil.copytree(begun_once, shop.folder)
    return shop


def ask(folder: Path, text: str) -> list[tuple[object, ...]]:
    with closing(sqlite3.connect(folder / "mountside.sqlite3")) as database:
        return database.execute(text).fetchall()


def modes(folder: Path) -> dict[str, str]:
    """What somebody else may do to a folder and what lies in it, where that is anything at all."""
    open_to_others = {}
    for path in (folder, *folder.rglob("*")):
        mode = stat.S_IMODE(path.stat().st_mode)
        if mode & 0o077:
            open_to_others[str(path.relative_to(folder))] = oct(mode)
    return open_to_others


def sign_in(address: str, username: str = "ada") -> str:
    """Sign in as a browser would, and return the page that opens."""
    browser = build_opener(HTTPCookieProcessor(CookieJar()))
    page = browser.open(f"{address}/sign-in/?next=/office/people/").read().decode()
    token = re.search(r'name="csrfmiddlewaretoken" value="([^"]+)"', page)
    assert token
    form = {
        "csrfmiddlewaretoken": token[1],
        "username": username,
        "password": PASSWORD,
        "next": "/office/people/",
    }
    return str(browser.open(f"{address}/sign-in/", urlencode(form).encode()).read().decode())


def test_a_bare_checkout_becomes_a_shop_that_serves_its_administrator(shop):
    begun = shop.begin()
    assert begun.returncode == 0, begun.stderr
    assert "manage.py backup" in begun.stdout
    assert "HTTPS" in begun.stdout
    people = ask(shop.folder, "SELECT username, role, units, is_active FROM people_user")
    assert people == [("ada", "administrator", "si", 1)]
    assert ask(shop.folder, "SELECT name FROM work_orders_shoppolicy") == [("Bare Test Works",)]
    assert len(ask(shop.folder, "SELECT 1 FROM work_orders_routetemplate WHERE active")) == 3
    for table in (
        "customers_customer",
        "motors_motor",
        "work_orders_job",
        "bearings_rating",
        "bearings_source",
    ):
        assert ask(shop.folder, f"SELECT * FROM {table}") == [], table
    assert modes(shop.folder) == {}
    checked = shop.run("check", "--deploy")
    assert (checked.returncode, "WARN" in checked.stderr) == (0, False), checked.stderr
    assert (
        "America/Denver"
        in shop.run("shell", "-c", "print(__import__('django').conf.settings.TIME_ZONE)").stdout
    )
    with shop.served() as address:
        assert "No backup yet" in sign_in(address)


def test_a_second_beginning_is_refused_and_changes_nothing(begun):
    before = ask(begun.folder, "SELECT * FROM people_user"), (begun.folder / "secret-key").read_text()
    again = begun.begin()
    assert again.returncode == 1
    assert "already set up" in again.stderr
    assert (
        ask(begun.folder, "SELECT * FROM people_user"),
        (begun.folder / "secret-key").read_text(),
    ) == before


@pytest.mark.parametrize("moment", [
    "repairs.shop_folder:write_settings",
    "repairs.shop_folder:keep_secret",
    "repairs.management.commands.begin:fill_new_shop",
    "repairs.management.first_start:write_templates",
    "whitenoise.storage:CompressedManifestStaticFilesStorage.post_process",
])  # fmt: skip
def test_a_beginning_that_was_killed_goes_on_when_it_is_run_again(shop, moment):
    killed = shop.begin(killed_at=moment)
    assert killed.returncode == KILLED, killed.stderr
    again = shop.begin()
    assert again.returncode == 0, again.stderr
    assert ask(shop.folder, "SELECT username, role FROM people_user") == [("ada", "administrator")]
    assert len(ask(shop.folder, "SELECT 1 FROM work_orders_routetemplate")) == 3
    assert "already set up" in shop.begin().stderr


def test_a_shop_without_a_key_says_how_to_begin(shop):
    refused = shop.run("check")
    # 1 and 2 are answers of the checker; what cannot start at all ends with 70.
    assert refused.returncode == 70
    assert "manage.py begin" in refused.stderr
    assert not shop.folder.exists()


@pytest.mark.parametrize("how", [(), ("--reset",)])
def test_the_demo_leaves_a_real_shop_alone(begun, how):
    before = ask(begun.folder, "SELECT * FROM people_user")
    refused = begun.run("demo", "--no-serve", *how)
    assert refused.returncode == 1
    assert "not made by the demo" in refused.stderr
    assert ask(begun.folder, "SELECT * FROM people_user") == before
    assert not (begun.folder / "demo-shop").exists()


def test_the_demo_leaves_a_folder_with_other_files_alone(shop):
    shop.folder.mkdir()
    (shop.folder / "letter.txt").write_text("keep me")
    assert shop.run("demo", "--no-serve", "--reset").returncode == 1
    assert [path.name for path in shop.folder.iterdir()] == ["letter.txt"]
    assert shop.begin().returncode == 1
    assert [path.name for path in shop.folder.iterdir()] == ["letter.txt"]


def test_a_real_shop_is_never_begun_in_the_demos_folder(shop):
    shop.folder.mkdir()
    (shop.folder / "demo-shop").touch()
    refused = shop.begin()
    assert refused.returncode == 1
    assert "belongs to the demo" in refused.stderr
    assert [path.name for path in shop.folder.iterdir()] == ["demo-shop"]


def test_settings_are_read_from_the_folder_and_a_broken_line_is_named(begun):
    settings = begun.folder / "settings.toml"
    settings.write_text(settings.read_text().replace('address = ""', 'address = "https://shop.example:8443"'))
    shown = begun.run("shell", "-c", _SHOW).stdout
    assert "shop.example" in shown
    assert "https://shop.example:8443" in shown
    for text, told in (
        ('time_zone = "Mars/Base"', "Mars/Base"),
        ("time_zone = 7", "quotes"),
        ('colour = "red"', "colour"),
        ("time_zone = \n", "line 1"),
        ('address = "https://x/y"', "scheme and name only"),
    ):
        settings.write_text(text)
        refused = begun.run("check")
        assert refused.returncode == 70, text
        assert told in refused.stderr, refused.stderr


_SHOW = "from django.conf import settings as s; print(s.ALLOWED_HOSTS, s.CSRF_TRUSTED_ORIGINS, s.BASE_URL)"
