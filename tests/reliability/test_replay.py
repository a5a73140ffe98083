"""What waits on two tablets is in the shop's records once and in order, whatever dies on the way."""

from __future__ import annotations

from tests.reliability.replay import Outcome, entry_of, replay
from tests.reliability.tablet import Tablet


def outcome_of(*stored: str) -> Outcome:
    """One tablet that entered A0000 and A0001 on one job and was told that both are kept."""
    entries = [entry_of("note", f"A{number:04d}", number, {"number": "26-0001"}) for number in range(2)]
    tablet = Tablet(port=0, person=1, session="", entries=entries, cuts=0, seed=0)
    tablet.tally.acknowledged += [entry.mark for entry in entries]
    rows = [(1, "26-0001", mark) for mark in stored]
    return Outcome(tablets=[tablet], kills=0, seconds=0, stored=rows, doubts=[])


def test_the_check_itself_sees_what_is_lost_doubled_or_out_of_order():
    assert outcome_of("A0000", "A0001").faults() == []
    assert outcome_of("A0000").faults() == ["lost: A0001"]
    assert outcome_of("A0000", "A0001", "A0001").faults() == ["twice: A0001"]
    assert outcome_of("A0001", "A0000").faults() == ["out of order on 26-0001"]


def test_entries_of_two_tablets_on_shared_jobs_survive_cuts_and_kills_once_and_in_order():
    outcome = replay(entries=120, kills=2, cuts=0.2, seed=7, within_s=90)
    assert outcome.faults() == []
    tallies = [tablet.tally for tablet in outcome.tablets]
    assert sum(len(one.acknowledged) for one in tallies) == 120
    # The replay went through what it is about.
    assert outcome.kills == 2
    assert sum(one.cut_before for one in tallies) > 3
    assert sum(one.cut_after for one in tallies) > 3
    assert sum(one.conflicts for one in tallies) > 3
