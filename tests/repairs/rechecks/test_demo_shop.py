"""The invented shop has something to re-check: the newer edition of Maker A slows one bearing down."""

from __future__ import annotations

import pytest

from repairs.ledger.services import SYSTEM
from repairs.management.shop.building import build_shop
from repairs.rechecks.models import Change, Recheck
from repairs.rechecks.running import run_recheck
from repairs.rechecks.services import begin_recheck

pytestmark = pytest.mark.django_db


def test_in_the_invented_shop_one_stack_becomes_stop_and_another_loses_margin():
    build_shop()
    run = run_recheck(begin_recheck(actor=SYSTEM, why=Recheck.Why.HAND))
    stopped, lost, *rest = Change.objects.filter(recheck=run).gravest_first().select_related("motor")
    assert (stopped.motor.tag, stopped.became_stop, stopped.in_service) == ("Well 9", True, False)
    assert (lost.motor.tag, lost.became_stop, lost.in_service) == ("Well 2", False, True)
    # A reference speed that the older edition does not print warns of the job beside them; its margin stays.
    assert {change.motor.tag for change in rest} == {"Well 7"}
    assert all(change.margin_after == change.margin_before for change in rest)
    assert all(change.appeared[0][:2] == ["warn", "reference-speed"] for change in rest)
    for change in (stopped, lost):
        assert change.margin_after < change.margin_before
        assert {name for _ref, name, *_pair in change.renewed} == {
            "limiting_speed_rpm",
            "reference_speed_rpm",
        }
        assert all(entry["rating_id"] for entry in change.record.items if entry["data"]["kind"] == "bearing")
