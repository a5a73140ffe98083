"""Kinds of steps, in the order in which a motor walks through the shop."""

from __future__ import annotations

from typing import Final

from django.db import models
from django.utils.translation import gettext_lazy as _


class StepKind(models.TextChoices):
    """What a step is, for the gates. A shop may give a step any title."""

    RECEIVE = "receive", _("receive and tag")
    INCOMING_TEST = "incoming_test", _("incoming test")
    STRIP_RECORD = "strip_record", _("tear down, record as found")
    CLEAN = "clean", _("clean and dry")
    MEASURE = "measure", _("measure")
    OBSERVE = "observe", _("observations, proposed stack")
    ESTIMATE = "estimate", _("estimate")
    APPROVAL = "approval", _("approval")
    WINDING = "winding", _("winding")
    MACHINING = "machining", _("machining")
    BALANCE = "balance", _("balance")
    SPECIFY = "specify", _("specify the stack")
    LAY_OUT = "lay_out", _("dry layout: order, faces, marks, photo")
    MOUNT = "mount", _("heat, mount, record as built")
    SECOND_PERSON = "second_person", _("second-person check, cap off")
    END_PLAY = "end_play", _("set end play")
    FINAL_TEST = "final_test", _("final test")
    SHIP = "ship", _("finish and ship")
    REPORT = "report", _("report")
    OTHER = "other", _("other")


# What the office can sign at its desk: what comes in and leaves, and what is agreed with the customer.
OFFICE_STEPS: Final = frozenset(
    {StepKind.RECEIVE, StepKind.ESTIMATE, StepKind.APPROVAL, StepKind.SHIP, StepKind.REPORT}
)

# The board sorts by this, whatever number a step has in its own route.
BOARD_PLACES: Final[dict[str, int]] = {kind: place for place, kind in enumerate(StepKind.values)}
ALL_STEPS_DONE: Final = 99
