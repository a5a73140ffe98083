"""On PostgreSQL a shop begins, is backed up by the engine's own dump, and is restored into an empty database."""

from __future__ import annotations

import os
import secrets
from collections.abc import Iterator
from urllib.parse import urlsplit

import pytest
from django.db import connection

from tests.reliability.bare_shop import ROOT, BareShop

pytestmark = [
    pytest.mark.data,
    pytest.mark.skipif(connection.vendor != "postgresql", reason="the SQLite way has tests of its own"),
]


@pytest.fixture
def addresses() -> Iterator[tuple[str, str]]:
    """Two empty databases beside the test's own."""
    import psycopg

    server = urlsplit(os.environ["DATABASE_URL"])
    names = [f"shop_{secrets.token_hex(4)}" for _ in range(2)]
    with psycopg.connect(os.environ["DATABASE_URL"], autocommit=True) as admin:
        for name in names:
            admin.execute(f"CREATE DATABASE {name}")
        yield tuple(server._replace(path=f"/{name}").geturl() for name in names)
        for name in names:
            admin.execute(f"DROP DATABASE {name} WITH (FORCE)")


def test_a_shop_on_postgresql_is_begun_backed_up_and_restored(addresses, tmp_path):
    shop = BareShop(ROOT, tmp_path / "shop", addresses[0])
    begun = shop.begin()
    assert begun.returncode == 0, begun.stderr
    into = tmp_path / "backups"
    done = shop.run("backup", str(into))
    assert done.returncode == 0, done.stderr
    made = next(into.glob("mountside-*"))
    assert (made / "database.dump").stat().st_mode & 0o077 == 0
    assert shop.run("restore", str(made), "--verify").returncode == 0
    full = shop.run("restore", str(made), "--into", str(tmp_path / "full"))
    assert full.returncode == 1
    assert "is not empty" in full.stderr
    other = BareShop(ROOT, tmp_path / "other", addresses[1])
    restored = other.run("restore", str(made), "--into", str(other.folder))
    assert restored.returncode == 0, restored.stderr
    count = "from repairs.ledger.models import Event; from repairs.people.models import User; "
    count += "print(Event.objects.count(), User.objects.get().username)"
    assert (
        other.run("shell", "-v", "0", "-c", count).stdout == shop.run("shell", "-v", "0", "-c", count).stdout
    )
    assert "ada" in other.run("shell", "-v", "0", "-c", count).stdout
    wrong = BareShop(ROOT, tmp_path / "wrong").run("restore", str(made), "--into", str(tmp_path / "wrong"))
    assert wrong.returncode == 1
    assert "Set DATABASE_URL" in wrong.stderr
    assert not (tmp_path / "wrong").exists()
