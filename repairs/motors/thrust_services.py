"""Save, sign and use a motor's thrust sheet."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any, Final

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from bearings.public import (
    VERSION,
    ThrustQuestion,
    ThrustResult,
    thrust_from_values,
    thrust_questions,
    thrust_values,
    work_out_thrust,
)
from repairs.ledger.services import Actor, record_event
from repairs.motors.models import Motor, ThrustSheet
from repairs.motors.nameplate import plate_entry
from repairs.motors.plate_fields import BY_KEY as PLATE
from repairs.motors.services import MotorError, StaleMotorError, change_motor
from repairs.motors.thrust_fields import inputs_of
from repairs.motors.units import preferred_unit

Entries = Mapping[str, Mapping[str, Any]]
# The plate's field and the figure of the sheet that answers it.
USED: Final = {
    "down_thrust_n": "down_duty",
    "maximum_down_thrust_n": "down_worst",
    "up_thrust_n": "up_thrust",
    "rotor_weight_n": "",
    "reverse_speed_rpm": "reverse_speed",
}


class ThrustQuestionError(MotorError):
    """Figures look unlikely; a person has to say that they are right."""

    def __init__(self, questions: tuple[ThrustQuestion, ...]) -> None:
        super().__init__(_("Some figures look unlikely. Check them, or confirm them as entered."))
        self.questions = questions


@transaction.atomic
def save_thrust_sheet(
    *,
    actor: Actor,
    motor: Motor,
    version: int,
    entries: Entries,
    confirmed: Iterable[str] = (),
    reason: str = "",
) -> ThrustSheet:
    """Save a motor's thrust sheet; ``version`` is the one that was seen, 0 for none.

    A signed sheet stays as it is: the change becomes a new revision and asks for a reason.
    """
    Motor.objects.select_for_update().get(pk=motor.pk)
    newest = ThrustSheet.objects.of(motor).first()
    _refuse_stale(newest, version)
    result = work_out_thrust(inputs_of(entries))
    questions, agreed = thrust_questions(inputs_of(entries), result), set(confirmed)
    if any(question.code not in agreed for question in questions):
        raise ThrustQuestionError(questions)
    if not entries:
        raise MotorError(_("Enter at least one figure."))
    kept = {key: dict(entry) for key, entry in entries.items()}
    before = newest.entries if newest else {}
    if newest is not None and kept == before:
        return newest
    if newest is None or newest.is_signed:
        newest = _next_revision(motor, newest, reason)
    else:
        newest.version += 1
    newest.entries, newest.confirmed = kept, sorted({question.code for question in questions})
    newest.summary, newest.saved_by = _summary(newest.revision, kept, result), actor.name
    newest.save()
    record_event(
        actor=actor, verb="thrust_sheet.saved", subject=newest, reason=newest.reason,
        before={key: before.get(key) for key in before if before.get(key) != kept.get(key)},
        after={key: entry for key, entry in kept.items() if entry != before.get(key)},
    )  # fmt: skip
    return newest


def _refuse_stale(newest: ThrustSheet | None, version: int) -> None:
    if version != (newest.version if newest else 0):
        raise StaleMotorError(_("Someone else changed this thrust sheet. Compare both before you save."))


def _next_revision(motor: Motor, before: ThrustSheet | None, reason: str) -> ThrustSheet:
    reason = " ".join(reason.split())
    if before is None:
        return ThrustSheet(motor=motor)
    if not reason:
        words = _("Revision {number} is signed and locked. Enter a reason for the new revision.")
        raise MotorError(words.format(number=before.revision), "reason")
    return ThrustSheet(
        motor=motor, revision=before.revision + 1, version=before.version + 1, reason=reason[:200]
    )


def _summary(revision: int, entries: Entries, result: ThrustResult) -> dict[str, object]:
    """Return what is kept of a calculation, for pages and papers."""
    return {
        "revision": revision,
        "engine": VERSION,
        "signed": "",
        "meaning": (entries.get("plate_meaning") or {}).get("si") or "",
        "ratchet": (entries.get("ratchet") or {}).get("si") or "",
        "source": (entries.get("pump_source") or {}).get("si") or "",
        **thrust_values(result),
    }


@transaction.atomic
def sign_thrust_sheet(*, actor: Actor, sheet: ThrustSheet, version: int) -> ThrustSheet:
    """Sign the newest revision; from then on it never changes."""
    sheet = _locked(sheet, version)
    if sheet.is_signed:
        raise MotorError(_("This revision is already signed."))
    _sign(actor, sheet)
    sheet.save()
    return sheet


def _locked(sheet: ThrustSheet, version: int) -> ThrustSheet:
    Motor.objects.select_for_update().get(pk=sheet.motor_id)
    newest = ThrustSheet.objects.filter(motor_id=sheet.motor_id).order_by("-revision").first()
    _refuse_stale(newest, version)
    if newest is None or newest.pk != sheet.pk:
        raise StaleMotorError(_("There is a newer revision of this thrust sheet. Open it first."))
    return newest


def _sign(actor: Actor, sheet: ThrustSheet) -> None:
    sheet.signed_at, sheet.signed_by_id, sheet.signed_name = timezone.now(), actor.person_id, actor.name
    sheet.summary = {**sheet.summary, "signed": actor.name}
    sheet.version += 1
    after = {"revision": sheet.revision, "engine": sheet.summary.get("engine")}
    record_event(actor=actor, verb="thrust_sheet.signed", subject=sheet, after=after)


def figures_to_use(sheet: ThrustSheet) -> dict[str, float]:
    """Return the sheet's known figures by the plate's key. A ratchet leaves no reverse speed to write down."""
    result = thrust_from_values(sheet.summary)
    known: dict[str, float] = {}
    for key, name in USED.items():
        value = result.figure(name).value if name else (sheet.entries.get("rotor_weight_n") or {}).get("si")
        if value is not None and PLATE[key].low <= value <= PLATE[key].high:
            known[key] = float(value)
    return known


@transaction.atomic
def use_thrust_sheet(
    *,
    actor: Actor,
    sheet: ThrustSheet,
    version: int,
    motor_version: int,
    choices: Mapping[str, str],
    units: str,
) -> Motor:
    """Write the chosen figures to the motor, marked as inferred from this sheet; the plate's own stay beside them.

    Where both say something, ``choices`` has to name one of the two; nothing is put in its place silently.
    """
    sheet = _locked(sheet, version)
    motor = Motor.objects.get(pk=sheet.motor_id)
    plate = dict(motor.nameplate)
    for key, value in figures_to_use(sheet).items():
        chosen, own = choices.get(key, ""), plate_entry(plate.get(key))
        if chosen not in ("plate", "sheet"):
            words = _("{label}: choose plate or sheet.")
            raise MotorError(words.format(label=PLATE[key].label), key)
        if chosen == "sheet" and not _says_the_same(own, value):
            plate[key] = _inferred(key, value, own, sheet, units)
        elif own is not None:
            plate[key] = own
        else:
            plate.pop(key, None)
    if not sheet.is_signed:
        _sign(actor, sheet)
    sheet.used_at = timezone.now()
    sheet.version += 1
    sheet.save()
    record_event(
        actor=actor, verb="thrust_sheet.used", subject=sheet,
        after={"revision": sheet.revision, "choices": {key: choices.get(key) for key in USED if key in choices}},
    )  # fmt: skip
    return change_motor(actor=actor, motor=motor, version=motor_version, nameplate=plate)


def _says_the_same(own: Mapping[str, Any] | None, value: float) -> bool:
    """Whether the plate says this figure itself, so that there is nothing to write."""
    si = own.get("si") if own else None
    return isinstance(si, (int, float)) and abs(float(si) - value) <= 1e-6 * max(1.0, value)


def _inferred(
    key: str, value: float, own: Mapping[str, Any] | None, sheet: ThrustSheet, units: str
) -> dict[str, object]:
    """Return a plate entry for a figure of the sheet, rounded to what the unit can tell, the plate's own behind it."""
    unit = preferred_unit(PLATE[key].quantity, units)
    typed = f"{unit.from_si(value):.0f}"
    entry: dict[str, object] = {
        "state": "inferred",
        "typed": typed,
        "unit": unit.name,
        "si": unit.to_si(float(typed)),
        "sheet": sheet.revision,
    }
    if USED[key] and thrust_from_values(sheet.summary).figure(USED[key]).fallback:
        entry["fallback"] = True
    if own is not None:
        entry["plate"] = dict(own)
    return entry
