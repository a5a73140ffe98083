"""Cautions by step. Signal words after ANSI Z535 and ISO 3864.

Common practice of the trade, restated; clause numbers are left to the people who hold the codes. Every caution defers to
local codes, the makers' instructions and licensed practice.
"""

# ruff: noqa: E501  (a sentence stands on one line)
from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from repairs.work_orders.models import StepKind

Signal = Literal["danger", "warning", "caution", "notice"]


@dataclass(frozen=True, slots=True)
class Caution:
    """One caution: its signal word and what to do."""

    signal: Signal
    text: str | Promise


_RIGGING: Final = Caution(
    "warning",
    _(
        "A tall motor tips easily. Know its weight, use rated gear on all lifting eyes, never on the shaft, and block the rotor."
    ),
)
_ELECTRIC: Final = Caution(
    "danger",
    _(
        "Follow the lock-out procedure; qualified people prove the circuit dead and discharge windings and capacitors before terminals are touched. Barriers and two people at test voltage; ground the winding afterwards for several times the length of the test."
    ),
)
_HEAVY_STACK: Final = Caution(
    "caution",
    _(
        "The stack and its mount are heavy and their parts pinch. Lift them with gear; release springs and snap rings slowly, eyes protected."
    ),
)
CAUTIONS: Final[dict[str, tuple[Caution, ...]]] = {
    StepKind.RECEIVE: (
        _RIGGING,
        Caution("notice", _("Ask what was pumped and what insulation was used before anything is opened.")),
    ),
    StepKind.INCOMING_TEST: (_ELECTRIC,),
    StepKind.STRIP_RECORD: (
        _HEAVY_STACK,
        Caution("notice", _("Photograph and sign the stack before anything is cleaned; keep the bearings.")),
    ),
    StepKind.CLEAN: (
        Caution(
            "warning",
            _(
                "Never spin a bearing with compressed air: it can fly apart. Keep air below what your code allows, away from skin."
            ),
        ),
        Caution(
            "warning",
            _(
                "Solvent vapour burns and makes ill. Ventilate, keep ignition away, wear what the data sheet asks for."
            ),
        ),
    ),
    StepKind.WINDING: (
        Caution(
            "warning",
            _(
                "Varnish and burn-off give flammable, harmful fumes; ovens and vessels are hot and under pressure."
            ),
        ),
    ),
    StepKind.MACHINING: (
        Caution(
            "warning",
            _("Guards on, no gloves at turning parts; dust and plating baths need their own protection."),
        ),
    ),
    StepKind.BALANCE: (
        Caution(
            "warning",
            _("Stand clear of the plane of rotation. No loose key; weights secured before each run."),
        ),
    ),
    StepKind.LAY_OUT: (_HEAVY_STACK,),
    StepKind.MOUNT: (
        Caution(
            "warning",
            _(
                "Heated rings burn: dry gloves. Heat evenly, never with a flame, and no hotter than the bearing's maker allows; 110 °C is common practice, no source."
            ),
        ),
        Caution(
            "warning", _("An induction heater's field can stop a pacemaker. Keep people with implants away.")
        ),
        _HEAVY_STACK,
    ),
    StepKind.SECOND_PERSON: (
        Caution(
            "caution",
            _(
                "Stack and rotor may hang free: have the load blocked, and keep hands out of it while you look."
            ),
        ),
    ),
    StepKind.END_PLAY: (
        Caution("caution", _("Keep hands out when the rotor is lifted; block it before you reach under it.")),
    ),
    StepKind.FINAL_TEST: (
        _ELECTRIC,
        Caution(
            "warning",
            _(
                "Bolt the motor down, guard the shaft, take loose keys off. Oil filled to its mark. Try the ratchet by hand only, locked out."
            ),
        ),
    ),
    StepKind.SHIP: (
        _RIGGING,
        Caution("notice", _("Drain the oil and say so on a large tag; block the rotor; ship upright.")),
    ),
}
GOVERNS: Final = _(
    "A reminder: local codes and your employer's programme govern, the makers' instructions come before this reminder, and licensed practice decides where the law asks for it."
)


def cautions_for(kind: str) -> tuple[Caution, ...]:
    """Return the cautions of a kind of step."""
    return CAUTIONS.get(kind, ())
