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

from repairs.work_orders.models import Stage, StepKind

Signal = Literal["danger", "warning", "caution", "notice"]


@dataclass(frozen=True, slots=True)
class Caution:
    """One caution: its signal word, the hazard in a few words, and the hazard with its consequence and what to do."""

    signal: Signal
    hazard: str | Promise
    text: str | Promise


_RIGGING: Final = Caution(
    "warning",
    _("tipping, falling load"),
    _(
        "A tall motor tips easily and crushes. Know its weight, use rated gear on all lifting eyes, never on the shaft, and block the rotor."
    ),
)
_ELECTRIC: Final = Caution(
    "danger",
    _("electric shock"),
    _(
        "Electric shock kills. Follow the lockout procedure; qualified people test that the circuit is de-energized and discharge windings and capacitors before terminals are touched. At test voltage: barriers and two people. Ground the winding afterward for several times the length of the test."
    ),
)
_LEADS: Final = Caution(
    "danger",
    _("electric shock"),
    _(
        "Electric shock kills. Lock out, tag out, and have a qualified person test that motor, space heater and sensor circuits are de-energized before leads come off."
    ),
)
_ROTOR: Final = Caution(
    "warning",
    _("dropping rotor"),
    _(
        "The rotor hangs on the thrust stack and drops when its nut or clamp is loose. Rig motor and rotor with rated gear first, take the weight, block the rotor, and keep hands out from under it."
    ),
)
_SPRINGS: Final = Caution(
    "warning",
    _("stored spring energy"),
    _(
        "Springs and snap rings fly off: loss of an eye. Eye protection on; stay out of their line; release them evenly with the proper tool."
    ),
)
_OIL: Final = Caution(
    "warning",
    _("trapped oil"),
    _(
        "Oil is trapped above drains and under the stack. It can be hot, and a wet floor throws people. Let it cool, drain and catch it, and wipe up before lifting."
    ),
)
_HOT_REMOVAL: Final = Caution(
    "warning",
    _("hot removal"),
    _(
        "Heat for removal burns skin and can set off oil and solvent; a ring under force can burst. Clean the oil off first, keep flames away, wear dry heat-resistant gloves and a face shield, and guard the ring."
    ),
)
_HOT_MOUNTING: Final = Caution(
    "warning",
    _("hot bearings"),
    _(
        "Hot bearings cause burns. Dry heat-resistant gloves; heat evenly, never with a flame, no hotter than the manufacturer allows (common practice, no source: 110 °C)."
    ),
)
_MAGNETIC_FIELD: Final = Caution(
    "warning",
    _("magnetic field"),
    _("An induction heater's field can stop a pacemaker. Keep people with implants away."),
)
_HEAVY_STACK: Final = Caution(
    "caution",
    _("heavy parts that pinch"),
    _("Stack and mount are heavy and pinch. Lift with rated gear; keep fingers out."),
)
_HANGING_LOAD: Final = Caution(
    "caution",
    _("hanging load"),
    _("A hanging stack or lifted rotor crushes fingers. Block the load; keep hands out."),
)
CAUTIONS: Final[dict[str, tuple[Caution, ...]]] = {
    StepKind.RECEIVE: (
        _RIGGING,
        Caution(
            "notice",
            _("what was pumped"),
            _("Ask what was pumped and what insulation was used before anything is opened."),
        ),
    ),
    StepKind.INCOMING_TEST: (_ELECTRIC,),
    StepKind.STRIP_RECORD: (
        _LEADS,
        _ROTOR,
        _SPRINGS,
        _OIL,
        _HOT_REMOVAL,
        _HEAVY_STACK,
        Caution(
            "notice",
            _("lost evidence"),
            _("Photograph and sign the stack before anything is cleaned; keep the bearings."),
        ),
    ),
    StepKind.CLEAN: (
        Caution(
            "warning",
            _("bursting bearing"),
            _(
                "A bearing spun with compressed air can fly apart. Never spin it; keep air below the pressure your code allows, and away from skin."
            ),
        ),
        Caution(
            "warning",
            _("solvent vapor"),
            _(
                "Solvent vapor can burn and make you sick. Ventilate, keep ignition away, wear what the data sheet asks for."
            ),
        ),
    ),
    StepKind.WINDING: (
        Caution(
            "warning",
            _("varnish and burn-off fumes"),
            _(
                "Varnish and burn-off give off flammable, harmful fumes; ovens and vessels are hot and under pressure. Ventilate, and open them only cool and vented."
            ),
        ),
    ),
    StepKind.MACHINING: (
        Caution(
            "warning",
            _("turning parts"),
            _(
                "Turning parts catch gloves and sleeves. Guards on, no gloves; dust and plating baths need their own protection."
            ),
        ),
    ),
    StepKind.BALANCE: (
        Caution(
            "warning",
            _("flying weights"),
            _(
                "A loose key or weight flies off. Stand clear of the plane of rotation, no loose key, weights secured before each run."
            ),
        ),
    ),
    StepKind.LAY_OUT: (_SPRINGS, _HEAVY_STACK),
    StepKind.MOUNT: (_SPRINGS, _HOT_MOUNTING, _MAGNETIC_FIELD, _HEAVY_STACK),
    StepKind.SECOND_PERSON: (_HANGING_LOAD,),
    StepKind.END_PLAY: (_HANGING_LOAD,),
    StepKind.FINAL_TEST: (
        _ELECTRIC,
        Caution(
            "warning",
            _("running motor"),
            _(
                "A running motor throws loose parts. Bolt it down, guard the shaft, take loose keys off, fill oil to its mark. Try the non-reverse ratchet by hand only, locked out."
            ),
        ),
    ),
    StepKind.SHIP: (
        _RIGGING,
        Caution(
            "notice",
            _("damage on the road"),
            _("Drain the oil and say so on a large tag; block the rotor; ship upright."),
        ),
    ),
}
# What the recorder shows: the stage of a stack is recorded during these steps.
STEP_OF_STAGE: Final[dict[str, str]] = {
    Stage.AS_FOUND: StepKind.STRIP_RECORD,
    Stage.AS_BUILT: StepKind.MOUNT,
}
GOVERNS: Final = _(
    "Reminder: local codes and your employer's program govern, manufacturers' instructions come first, licensed practice decides where the law asks for it."
)


def cautions_for(kind: str) -> tuple[Caution, ...]:
    """Return the cautions of a kind of step."""
    return CAUTIONS.get(kind, ())


def cautions_at_stage(stage: str) -> tuple[Caution, ...]:
    """Return the cautions of the step at which a stage of the stack is recorded; none at the desk."""
    return cautions_for(STEP_OF_STAGE.get(stage, ""))
