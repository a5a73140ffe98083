"""Which stage of the stack is kept from whom."""

from __future__ import annotations

import pytest

from repairs.work_orders.hiding import hidden_from, hidden_stages
from repairs.work_orders.models import Stage
from tests.repairs.factories import make_job, make_stack_record, make_user

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize("stage", [Stage.AS_FOUND, Stage.SPECIFIED])
@pytest.mark.parametrize("role", ["technician", "lead"])
def test_whoever_writes_down_another_stage_may_see_what_is_specified(stage, role):
    job, me = make_job(), make_user(role)
    make_stack_record(job, stage, started_by=me)
    assert hidden_stages(me, job) == frozenset()


@pytest.mark.parametrize(
    ("role", "recorder", "hidden"),
    [
        ("technician", True, True),
        ("technician", False, True),
        ("lead", True, True),
        ("lead", False, False),
    ],
)
def test_what_is_specified_is_kept_from_the_shop_while_a_stack_is_recorded_as_built_but_not_from_another_lead(
    role, recorder, hidden
):
    job, me = make_job(), make_user(role)
    make_stack_record(job, Stage.SPECIFIED)
    make_stack_record(job, Stage.AS_BUILT, started_by=me if recorder else make_user())
    assert hidden_from(me, job, Stage.SPECIFIED) is hidden
    assert not hidden_from(me, job, Stage.AS_FOUND)
    assert not hidden_from(me, job, Stage.AS_BUILT)
