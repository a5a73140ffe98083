"""Whether what is specified now is a proposal: it is, as long as the job stands before its estimate."""

from __future__ import annotations

from repairs.work_orders.models import Job, Step, StepKind


def before_estimate(job: Job) -> bool:
    """Whether the estimate, or on a route without one its approval, is still to come."""
    kinds = (StepKind.ESTIMATE, StepKind.APPROVAL)
    states = dict(job.steps.filter(kind__in=kinds).order_by("-position").values_list("kind", "state"))
    for kind in kinds:
        if kind in states:
            return states[kind] == Step.State.WAITING
    return False
