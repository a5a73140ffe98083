"""What is not proven is approved only with the lead's own reason for each subject that decides."""

from __future__ import annotations

import pytest

from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.judging import judge, shop_limits
from repairs.work_orders.models import Stage
from repairs.work_orders.services import stack_approving as approving
from repairs.work_orders.unproven import code_of, unproven_of
from tests.repairs.factories import actor_for, make_job, make_stack_record, make_user

pytestmark = [pytest.mark.django_db, pytest.mark.data]


def test_a_stack_that_is_not_proven_is_approved_only_with_a_reason_for_each_subject_that_decides():
    record = make_stack_record(make_job(), Stage.SPECIFIED)
    lead = actor_for(make_user("lead"))
    open_ = unproven_of(judge(record, record.job.motor, shop_limits()))
    assert {"speed", "life", "set"} <= set(open_)
    assert "heat" not in open_  # it does not decide
    for number, subject in enumerate(open_):
        with pytest.raises(WorkOrderError, match="Not proven"):
            approving.approve_specified(actor=lead, record=record, version=1)
        given = {"record": record, "version": 1, "code": code_of(subject), "ref": ""}
        with pytest.raises(WorkOrderError, match="Only a lead"):
            approving.accept_finding(actor=actor_for(make_user()), **given, reason="the pump maker will say")
        with pytest.raises(WorkOrderError, match="at least 15"):
            approving.accept_finding(actor=lead, **given, reason="short")
        approving.accept_finding(actor=lead, **given, reason=f"figure number {number} follows by mail")
    signed = approving.approve_specified(actor=lead, record=record, version=1)
    assert signed.is_frozen
    assert signed.accepted_findings.count() == len(open_)


def test_a_subject_that_is_proven_cannot_be_let_pass():
    record = make_stack_record(make_job(), Stage.SPECIFIED)
    with pytest.raises(WorkOrderError, match="not on the stack any more"):
        approving.accept_finding(
            actor=actor_for(make_user("lead")), record=record, version=1, code=code_of("directions"), ref="",
            reason="the pump maker will say",
        )  # fmt: skip
