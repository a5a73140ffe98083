"""What is specified before the estimate is a proposal; after it, a lead specifies it as it is, or otherwise."""

from __future__ import annotations

import pytest
from django.urls import reverse

from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.gates import blocking_reasons
from repairs.work_orders.models import Job, RouteTemplate, StackRecord, Stage, StepKind, TemplateStep
from repairs.work_orders.services import stack_approving as approving
from repairs.work_orders.services.route import override_gate, sign_off
from repairs.work_orders.services.stack_editing import start_record
from repairs.work_orders.services.stack_signing import current_specified
from repairs.work_orders.unproven import code_of
from tests.repairs.factories import actor_for, make_job, make_template, make_user, triple_items
from tests.repairs.signed_stacks import approve

pytestmark = pytest.mark.django_db


@pytest.fixture
def job() -> Job:
    """A job whose route asks for an estimate after the observations."""
    template = make_template(name="with an estimate")
    TemplateStep.objects.create(template=template, position=50, kind=StepKind.ESTIMATE, title="Estimate")
    order = [StepKind.RECEIVE, StepKind.OBSERVE, StepKind.ESTIMATE, StepKind.SPECIFY, StepKind.LAY_OUT]
    TemplateStep.objects.filter(template=template).exclude(kind__in=order).delete()
    for place, kind in enumerate(order):
        TemplateStep.objects.filter(template=template, kind=kind).update(position=100 + place)
    return make_job(template=RouteTemplate.objects.get(pk=template.pk))


def propose(job: Job) -> StackRecord:
    lead = actor_for(make_user("lead"))
    record = start_record(actor=lead, job=job, stage=Stage.SPECIFIED)
    StackRecord.objects.filter(pk=record.pk).update(items=triple_items())
    record.refresh_from_db()
    return approve(lead, record)


def sign(job: Job, *kinds: str) -> None:
    for kind in kinds:
        sign_off(actor=actor_for(make_user("lead")), step=job.steps.get(kind=kind))


def test_the_observations_wait_for_an_approved_proposal_which_a_lead_may_do_without(job):
    step, lead = job.steps.get(kind=StepKind.OBSERVE), actor_for(make_user("lead"))
    assert "No lead has approved a proposed stack" in blocking_reasons(step, actor=lead)[0]
    override_gate(actor=lead, step=step, reason="only the coupling is changed")
    assert blocking_reasons(step, actor=lead) == []


def test_a_proposal_is_priced_but_nothing_is_laid_out_by_it(job):
    proposal = propose(job)
    assert proposal.is_proposal
    assert current_specified(job) is None
    sign(job, StepKind.RECEIVE, StepKind.OBSERVE)
    reasons = blocking_reasons(job.steps.get(kind=StepKind.LAY_OUT), actor=actor_for(make_user()))
    assert "only proposed" in reasons[0]


def test_after_the_estimate_a_lead_specifies_it_as_proposed_once(job):
    proposal, lead = propose(job), actor_for(make_user("lead"))
    with pytest.raises(WorkOrderError, match="estimate is not signed yet"):
        approving.specify_as_proposed(actor=lead, proposal=proposal)
    sign(job, StepKind.RECEIVE, StepKind.OBSERVE, StepKind.ESTIMATE)
    with pytest.raises(WorkOrderError, match="Only a lead"):
        approving.specify_as_proposed(actor=actor_for(make_user()), proposal=proposal)
    for _twice in range(2):
        specified = approving.specify_as_proposed(actor=lead, proposal=proposal, form_key="k")
    assert (specified.revision, specified.is_proposal) == (2, False)
    assert specified.items == proposal.items
    assert current_specified(job) == specified
    assert StackRecord.objects.filter(stage=Stage.SPECIFIED).count() == 2


def test_what_was_accepted_of_the_proposal_is_taken_over_with_its_reason(job):
    lead = actor_for(make_user("lead"))
    record = start_record(actor=lead, job=job, stage=Stage.SPECIFIED)
    StackRecord.objects.filter(pk=record.pk).update(items=triple_items())
    record.refresh_from_db()
    approving.accept_finding(
        actor=lead,
        record=record,
        version=record.version,
        code="speed-margin",
        ref="1",
        reason="oil cooler fitted",
    )
    proposal = approve(lead, record)
    sign(job, StepKind.RECEIVE, StepKind.OBSERVE, StepKind.ESTIMATE)
    specified = approving.specify_as_proposed(actor=lead, proposal=proposal)
    taken = {(one.code, one.reason) for one in specified.accepted_findings.all()}
    assert ("speed-margin", "oil cooler fitted") in taken
    assert taken == {(one.code, one.reason) for one in proposal.accepted_findings.all()}
    assert {code_of(subject) for subject in ("life", "set")} <= {code for code, _reason in taken}


def test_the_recorder_says_that_it_is_a_proposal_and_offers_the_lead_to_specify_it(client, job):
    propose(job)
    sign(job, StepKind.RECEIVE, StepKind.OBSERVE)
    client.force_login(make_user("lead"))
    url = reverse("bench:stack", args=[job.number, Stage.SPECIFIED])
    page = client.get(url).content.decode()
    assert "Proposed, revision 1" in page
    assert "Specify as proposed" not in page
    sign(job, StepKind.ESTIMATE)
    assert "Specify as proposed" in client.get(url).content.decode()
    client.post(f"{url}act/", {"do": "specify", "version": 3, "form_key": "s"})
    assert current_specified(job) is not None
