"""300 malformed requests of one seed in the suite; 10 000 by hand, see ``malformed.py``."""

from __future__ import annotations

import logging
from collections.abc import Iterator

import pytest

from tests.reliability.malformed_requests import Malformed, addresses
from tests.reliability.malformed_shop import Shop


@pytest.fixture
def _quiet() -> Iterator[None]:
    """Hundreds of refusals are no news for the log."""
    logging.disable(logging.CRITICAL)
    yield
    logging.disable(logging.NOTSET)


@pytest.mark.data
@pytest.mark.usefixtures("_quiet")
@pytest.mark.django_db(transaction=True)
def test_no_malformed_request_ends_in_5xx_and_the_check_itself_sees_one(monkeypatch):
    shop = Shop()
    shop.open()
    run = Malformed(20261130, shop)
    run.run(300)
    assert [str(one) for one in run.findings] == []
    # The requests went through what they are about: nearly every address, and pages that answer.
    assert len(run.reached) > 0.9 * len(list(addresses()))
    assert run.statuses[200] > 40
    assert run.statuses[422] + run.statuses[409] > 15

    def fail(*_args: object, **_more: object) -> None:
        raise ValueError("int too long")

    monkeypatch.setattr("repairs.people.middleware.PersonMiddleware.__call__", fail)
    again = Malformed(1, shop)
    again.run(8)
    assert any("int too long" in str(one) for one in again.findings)
