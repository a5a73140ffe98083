"""What every test may use."""

from __future__ import annotations

import pytest
from django.db import connection
from hypothesis import settings as hypothesis_settings

# A busy machine takes now and then half a second for one example; that says nothing of the code.
hypothesis_settings.register_profile("shop", deadline=None)
hypothesis_settings.load_profile("shop")


@pytest.fixture(autouse=True)
def _media_folder(settings, tmp_path_factory) -> None:
    """Give each test a media folder of its own."""
    settings.MEDIA_ROOT = tmp_path_factory.mktemp("media")


@pytest.fixture(scope="session")
def django_db_setup(django_db_setup, django_db_blocker) -> None:
    """Open the ledger's guard, so that a test may empty the append-only table afterwards."""
    with django_db_blocker.unblock(), connection.cursor() as cursor:
        cursor.execute("INSERT INTO ledger_guard (open) VALUES (1)")
