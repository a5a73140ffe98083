"""Route templates that a new shop starts with."""

from __future__ import annotations

from django.db import transaction

from repairs.ledger.services import Actor, record_event
from repairs.work_orders.models import RouteTemplate, StepKind, TemplateStep
from repairs.work_orders.services.templates import told_template

VERTICAL: tuple[tuple[str, str, bool], ...] = (
    (StepKind.RECEIVE, "Receive and tag", False),
    (StepKind.INCOMING_TEST, "Incoming test", False),
    (StepKind.STRIP_RECORD, "Tear down, record as found", False),
    (StepKind.CLEAN, "Clean and dry", False),
    (StepKind.MEASURE, "Measure bearing fits, runout", False),
    (StepKind.OBSERVE, "Observations, proposed stack", False),
    (StepKind.ESTIMATE, "Estimate", False),
    (StepKind.APPROVAL, "Approval", False),
    (StepKind.WINDING, "Winding", True),
    (StepKind.MACHINING, "Machining", True),
    (StepKind.BALANCE, "Balance", True),
    (StepKind.SPECIFY, "Specify the stack", False),
    (StepKind.LAY_OUT, "Dry layout: order, faces, marks, photo", False),
    (StepKind.MOUNT, "Heat, mount, record as built", False),
    (StepKind.SECOND_PERSON, "Second-person check, cap off", False),
    (StepKind.END_PLAY, "Set end play", False),
    (StepKind.FINAL_TEST, "Final test", False),
    (StepKind.SHIP, "Finish and ship", False),
    (StepKind.REPORT, "Report", False),
)
_STACK = {StepKind.SPECIFY, StepKind.LAY_OUT, StepKind.MOUNT, StepKind.SECOND_PERSON}
HORIZONTAL = tuple(
    (StepKind.OTHER, "Teardown", False) if kind == StepKind.STRIP_RECORD else (kind, title, chargeable)
    for kind, title, chargeable in VERTICAL
    if kind not in _STACK
)
_BEARINGS_ONLY = {StepKind.WINDING, StepKind.MACHINING, StepKind.BALANCE}
BEARING_CHANGE = tuple(step for step in VERTICAL if step[0] not in _BEARINGS_ONLY)


@transaction.atomic
def write_templates(actor: Actor) -> dict[str, RouteTemplate]:
    """Make the templates of a new shop, active from the start, and return them by name."""
    made = {}
    for name, build, steps in (
        ("Vertical motor, thrust bearings", "", VERTICAL),
        ("Horizontal motor", "horizontal", HORIZONTAL),
        ("Bearing change only", "none", BEARING_CHANGE),
    ):
        template = RouteTemplate.objects.create(name=name, for_build=build)
        TemplateStep.objects.bulk_create(
            TemplateStep(template=template, position=n, kind=kind, title=title, chargeable=chargeable)
            for n, (kind, title, chargeable) in enumerate(steps, 1)
        )
        record_event(actor=actor, verb="template.added", subject=template, after=told_template(template))
        made[name] = template
    return made
