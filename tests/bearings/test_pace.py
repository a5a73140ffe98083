"""Long writing in batches: small enough, and with room for others between them."""

from __future__ import annotations

from types import SimpleNamespace

import pytest
from django.db import connection, transaction

from bearings import pace as module
from bearings.pace import BATCH_S, LONGEST_PAUSE_S, PAUSE_TO_BATCH, Pace


class Clock:
    """Time that passes only where the test lets it."""

    def __init__(self) -> None:
        self.now = self.worked = 0.0
        self.pauses: list[float] = []

    def monotonic(self) -> float:
        return self.now

    def thread_time(self) -> float:
        return self.worked

    def sleep(self, seconds: float) -> None:
        self.pauses.append(seconds)
        self.now += seconds


@pytest.fixture
def clock(monkeypatch) -> Clock:
    clock = Clock()
    monkeypatch.setattr(module, "monotonic", clock.monotonic)
    monkeypatch.setattr(module, "thread_time", clock.thread_time)
    monkeypatch.setattr(module, "sleep", clock.sleep)
    monkeypatch.setattr(module, "connection", SimpleNamespace(in_atomic_block=False))
    return clock


def write(pace: Pace, clock: Clock, seconds: float, lasted: float | None = None) -> None:
    with pace.batch():
        clock.now += seconds if lasted is None else lasted
        clock.worked += seconds


def test_after_each_batch_others_have_more_time_than_it_took(clock):
    pace = Pace(least=10, most=500)
    write(pace, clock, 0.03)
    assert PAUSE_TO_BATCH > 1
    assert clock.pauses == [pytest.approx(PAUSE_TO_BATCH * 0.03)]
    write(pace, clock, 60)
    assert clock.pauses[-1] == LONGEST_PAUSE_S


def test_batches_grow_and_shrink_towards_the_time_that_nobody_feels(clock):
    pace = Pace(least=10, most=500)
    for _ in range(20):
        write(pace, clock, pace.rows * 0.0002)
    assert pace.rows * 0.0002 == pytest.approx(BATCH_S, rel=0.05)
    kept = pace.rows
    write(pace, clock, BATCH_S, lasted=50 * BATCH_S)
    assert abs(pace.rows - kept) <= 1
    write(pace, clock, 4 * BATCH_S)
    assert pace.rows <= 30
    for _ in range(20):
        write(pace, clock, 1.0)
    assert pace.rows == 10
    for _ in range(20):
        write(pace, clock, 0.0001)
    assert pace.rows == 500


@pytest.mark.django_db
def test_inside_a_larger_transaction_a_pause_would_only_keep_others_out_longer(clock, monkeypatch):
    monkeypatch.setattr(module, "connection", connection)
    with transaction.atomic():
        write(Pace(least=10, most=500), clock, 0.03)
    assert clock.pauses == []


def test_a_batch_that_fails_is_not_waited_after(clock):
    with pytest.raises(OSError, match="full"), Pace(least=10, most=500).batch():
        raise OSError("full")
    assert clock.pauses == []
