"""Cautions by step. Signal words after ANSI Z535 and ISO 3864.

Common practice of the trade, restated; clause numbers are left to the people who hold the codes. Every caution defers to
local codes, the makers' instructions and licensed practice.
"""

# ruff: noqa: E501  (a sentence stands on one line)
from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

from django.conf import settings
from django.utils.functional import Promise, lazy
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from bearings.public import Figures
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
        "A tall motor tips easily and can crush people. Know its weight. Use rated gear "
        "on all lifting eyes, never on the shaft, and block the rotor."
    ),
)
_ELECTRIC: Final = Caution(
    "danger",
    _("electric shock"),
    _(
        "Electric shock kills. Lock out, tag out. A qualified person tests that the "
        "circuit is de-energized and discharges windings and capacitors before anyone "
        "touches a terminal. At test voltage: barriers and two people. Afterward, ground "
        "the winding for several times the test time."
    ),
)
_LEADS: Final = Caution(
    "danger",
    _("electric shock"),
    _(
        "Electric shock kills. Lock out, tag out. A qualified person tests that motor, "
        "space heater and sensor circuits are de-energized before leads come off."
    ),
)
_ROTOR: Final = Caution(
    "warning",
    _("dropping rotor"),
    _(
        "The rotor hangs on the thrust stack and drops when the nut or clamp comes "
        "loose. Rig motor and rotor with rated gear first, take the weight, and block "
        "the rotor. Keep hands out from under it."
    ),
)
_SPRINGS: Final = Caution(
    "warning",
    _("stored spring energy"),
    _(
        "Springs and snap rings can fly off and blind you. Wear eye protection, stay out "
        "of their path, and release them evenly with the proper tool."
    ),
)
_OIL: Final = Caution(
    "warning",
    _("trapped oil"),
    _(
        "Oil stays trapped above drains and under the stack. Hot oil burns; a wet floor "
        "causes falls. Let it cool, drain it into a container, and wipe up before "
        "lifting."
    ),
)
_HOT_REMOVAL: Final = Caution(
    "warning",
    _("heat for removal"),
    _(
        "Heat burns skin and can ignite oil and solvent; a ring under force can burst. "
        "Clean the oil off first, keep flames away, wear dry heat-resistant gloves and a "
        "face shield, and guard the ring."
    ),
)


def _hot_words() -> str:
    return gettext(
        "Hot bearings cause burns. Wear dry heat-resistant gloves. Heat evenly, never "
        "with a flame, and no hotter than the manufacturer allows (common practice, no source: {hottest})."
    ).format(
        hottest=Figures("us" if settings.SHOP_UNITS == "us" else "si").standard_temperature(
            HOTTEST_MOUNTING_C
        )
    )


HOTTEST_MOUNTING_C: Final = 110.0
_HOT_MOUNTING: Final = Caution("warning", _("hot bearings"), lazy(_hot_words, str)())
_MAGNETIC_FIELD: Final = Caution(
    "warning",
    _("magnetic field"),
    _("An induction heater's field can stop a pacemaker. Keep people with medical implants away."),
)
_HEAVY_STACK: Final = Caution(
    "caution",
    _("heavy parts, pinch points"),
    _("The stack and its mount are heavy and can crush fingers. Lift with rated gear. Keep fingers clear."),
)
_HANGING_LOAD: Final = Caution(
    "caution",
    _("suspended load"),
    _("A suspended stack or rotor can crush fingers. Block the load. Keep hands out."),
)
CAUTIONS: Final[dict[str, tuple[Caution, ...]]] = {
    StepKind.RECEIVE: (
        _RIGGING,
        Caution(
            "notice",
            _("unknown contaminants"),
            _("Find out what was pumped and what insulation is in the motor before you open anything."),
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
            _("Photograph the stack and sign its record before you clean anything. Keep the bearings."),
        ),
    ),
    StepKind.CLEAN: (
        Caution(
            "warning",
            _("bursting bearing"),
            _(
                "A bearing spun with compressed air can fly apart. Never spin it. Keep air below "
                "the pressure your code allows, and away from skin."
            ),
        ),
        Caution(
            "warning",
            _("solvent vapor"),
            _(
                "Solvent vapor can burn and make you sick. Ventilate, keep ignition sources "
                "away, and wear the PPE on the safety data sheet."
            ),
        ),
    ),
    StepKind.WINDING: (
        Caution(
            "warning",
            _("varnish and burn-off fumes"),
            _(
                "Varnish and burn-off give off flammable, harmful fumes; ovens and tanks are hot "
                "and under pressure. Ventilate. Open them only when cool and vented."
            ),
        ),
    ),
    StepKind.MACHINING: (
        Caution(
            "warning",
            _("rotating parts"),
            _(
                "Rotating parts catch gloves and sleeves. Keep guards on and gloves off. Dust "
                "and plating baths need their own PPE."
            ),
        ),
    ),
    StepKind.BALANCE: (
        Caution(
            "warning",
            _("flying weights"),
            _(
                "A loose key or weight flies off. Secure weights and remove loose keys before "
                "each run. Stand clear of the plane of rotation."
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
                "A running motor throws loose parts. Bolt it down, guard the shaft, remove loose "
                "keys, and fill oil to the mark. Test the non-reverse ratchet by hand only, with "
                "the motor locked out."
            ),
        ),
    ),
    StepKind.SHIP: (
        _RIGGING,
        Caution(
            "notice",
            _("shipping damage"),
            _("Drain the oil and attach an OIL DRAINED tag. Block the rotor. Ship upright."),
        ),
    ),
}
# What the recorder shows: the stage of a stack is recorded during these steps.
STEP_OF_STAGE: Final[dict[str, str]] = {
    Stage.AS_FOUND: StepKind.STRIP_RECORD,
    Stage.AS_BUILT: StepKind.MOUNT,
}
GOVERNS: Final = _(
    "Local codes, your employer's safety program and the manufacturers' instructions "
    "take precedence. Use licensed people where the law requires it."
)


def cautions_for(kind: str) -> tuple[Caution, ...]:
    """Return the cautions of a kind of step."""
    return CAUTIONS.get(kind, ())


def cautions_at_stage(stage: str) -> tuple[Caution, ...]:
    """Return the cautions of the step at which a stage of the stack is recorded; none at the desk."""
    return cautions_for(STEP_OF_STAGE.get(stage, ""))
