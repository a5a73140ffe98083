"""Computed vs. measured, in words: end play, heat of the run, and what the shop's own runs say of the prediction."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from bearings.public import Figures, Units, choice_label, plain
from repairs.measurements.as_built import UNCOUPLED, built_record
from repairs.measurements.computed.factors import accepted_factor, factor_of
from repairs.measurements.computed.runs import RunHeat, newest_run, run_heat, signed_runs
from repairs.measurements.engineering.computed import FEWEST_RUNS, compared, why_loads_differ
from repairs.measurements.engineering.shape import Entries
from repairs.measurements.limits import limit_words
from repairs.measurements.models import RunFactor, TestRecord
from repairs.measurements.predicted_end_play import Predicted, predicted_end_play
from repairs.measurements.shop_tests.codec import answer_of, entries_of
from repairs.measurements.words.figures import Written
from repairs.motors.units import unit_of
from repairs.work_orders.models import Job

REASONS: Final[Mapping[str, Any]] = {
    "no_prediction": gettext_lazy("the checker predicts none for the stack as built"),
    "not_measured": gettext_lazy("not measured yet"),
    "no_loads": gettext_lazy("gauge loads not entered"),
    "weight_unsaid": gettext_lazy("not said that the loads are without rotor weight"),
    "other_load": gettext_lazy("measured with another load"),
    "not_stable": gettext_lazy("the run was not stable"),
    "no_case": gettext_lazy("not said whether the motor ran uncoupled"),
    "no_friction": gettext_lazy("friction or seat cooling not known to the checker"),
    "no_rise": gettext_lazy("ambient or top bearing not read"),
}
WORDS: Final[Mapping[str, Any]] = {
    "inside": gettext_lazy("inside the computed band"),
    "below": gettext_lazy("below the computed band"),
    "above": gettext_lazy("above the computed band"),
}


@dataclass(frozen=True, slots=True)
class ComputedLine:
    """One figure computed beside the one measured; ``differs``: worth a look; ``why`` they are not comparable."""

    label: str
    computed: str
    measured: str
    word: str
    remark: str = ""
    differs: bool = False


@dataclass(frozen=True, slots=True)
class FactorSheet:
    """What the shop's runs of a family show, and what was accepted of it."""

    family: str
    name: str
    runs: int
    jobs: str
    learned: str
    accepted: str
    may_accept: bool


@dataclass(frozen=True, slots=True)
class ComputedSheet:
    """Computed vs. measured of a job."""

    lines: list[ComputedLine]
    factor: FactorSheet | None


def computed_sheet(job: Job, units: Units, *, may_accept: bool = False) -> ComputedSheet:
    """Return a job's figures as computed and as measured, with the shop's own factor of its mount family."""
    lines = [_end_play(job, units)]
    record, stack = newest_run(job), built_record(job)
    stored = stack.assessment if stack else None
    heat = run_heat(record, stored) if record is not None else None
    accepted = accepted_factor(heat.family) if heat is not None else None
    lines += _heat(heat, accepted, units)
    return ComputedSheet(lines, _factor(heat, accepted, may_accept=may_accept))


def _not_comparable(why: str) -> str:
    return _("not comparable: {why}").format(why=REASONS[why])


def _end_play(job: Job, units: Units) -> ComputedLine:
    label, predicted = _("End play, gauge reading"), predicted_end_play(job)
    found = TestRecord.objects.filter(job=job, test="end_play").standing().order_by("-id").first()
    value = None if found is None else answer_of(found.answer).result("end_play").value
    measured = "" if value is None else Written(units).of(value, "small_length")
    if predicted is None:
        return ComputedLine(label, "", measured, _not_comparable("no_prediction"))
    band = limit_words(predicted.low, predicted.high, predicted.unit)
    force = Figures(units).force(predicted.force_n)
    remark = _("Pull and push with {force} beyond the rotor's weight.").format(force=force)
    if not predicted.is_limit:
        remark += " " + _("Expected from assumed figures: compared, but no limit.")
    if found is None or value is None:
        return ComputedLine(label, band, "", _not_comparable("not_measured"), remark)
    return _end_play_compared(
        predicted, Entries(entries_of(found.entries)), value, (label, band, measured, remark)
    )


def _end_play_compared(
    predicted: Predicted, entries: Entries, value: float, told: tuple[str, str, str, str]
) -> ComputedLine:
    label, band, measured, remark = told
    why = why_loads_differ(
        predicted.force_n,
        entries.number("load_down_n"),
        entries.number("load_up_n"),
        without_weight=entries.yes("rotor_weight_apart"),
    )
    if why is not None:
        return ComputedLine(label, band, measured, _not_comparable(why), remark)
    unit = unit_of("small_length", predicted.unit)
    word = compared(value, unit.to_si(float(predicted.low)), unit.to_si(float(predicted.high)))
    return ComputedLine(label, band, measured, str(WORDS[word]), remark, differs=word != "inside")


def _heat(heat: RunHeat | None, accepted: RunFactor | None, units: Units) -> list[ComputedLine]:
    """Return friction heat, rise of the thrust bearing and oil temperature of the job's last run."""
    rise_label = _("Top bearing, rise over ambient")
    if heat is None:
        return [ComputedLine(rise_label, "", "", _not_comparable("not_measured"))]
    write, case = Written(units), _("uncoupled") if heat.case == UNCOUPLED else _("running")
    remark = _("Checker, case {case}.").format(case=case) if heat.case else ""
    lines = []
    if heat.friction_w is not None:
        power = Figures(units).power(heat.friction_w)
        lines.append(ComputedLine(_("Friction heat"), power, "–", _("not measured in a run"), remark))
    measured = "" if heat.measured_k is None else write.of(heat.measured_k, "temperature_difference")
    computed = "" if heat.predicted_k is None else write.of(heat.predicted_k, "temperature_difference")
    if heat.why is not None:
        lines.append(ComputedLine(rise_label, computed, measured, _not_comparable(heat.why), remark))
    else:
        ratio = plain(heat.ratio or 0.0, 3)
        word = _("measured is {ratio} times computed").format(ratio=ratio)
        lines.append(ComputedLine(rise_label, computed, measured, word, remark))
    if accepted is not None and heat.predicted_k is not None:
        lines.append(_corrected(heat, accepted, measured, write))
    return [*lines, _oil(heat, write)]


def _corrected(heat: RunHeat, accepted: RunFactor, measured: str, write: Written) -> ComputedLine:
    """Return the rise by the shop's own factor, as a band of what its runs showed."""
    predicted = heat.predicted_k or 0.0
    low, middle, high = (predicted * one for one in (accepted.low, accepted.median, accepted.high))
    band = _("{middle} ({low} to {high})").format(
        middle=write.of(middle, "temperature_difference"),
        low=write.number(low, "temperature_difference"),
        high=write.of(high, "temperature_difference"),
    )
    remark = _("From {count} signed runs; accepted by {name}.").format(
        count=len(accepted.runs), name=accepted.accepted_name
    )
    label = _("Top bearing, rise, shop-corrected")
    if heat.why is not None or heat.measured_k is None:
        return ComputedLine(label, band, measured, _not_comparable(heat.why or "no_rise"), remark)
    word = compared(heat.measured_k, low, high)
    return ComputedLine(label, band, measured, str(WORDS[word]), remark, differs=word != "inside")


def _oil(heat: RunHeat, write: Written) -> ComputedLine:
    """Return the oil's last temperature beside ambient and computed rise; the oil is taken as warm as the seats."""
    label = _("Oil temperature")
    measured = "" if heat.oil_c is None else write.of(heat.oil_c, "temperature")
    remark = _("Ambient of the run plus the computed rise.")
    if heat.assumed_oil_c is not None:
        remark += " " + _("Entered for the checker: {oil}.").format(
            oil=write.of(heat.assumed_oil_c, "temperature")
        )
    if heat.predicted_k is None or heat.ambient_c is None:
        return ComputedLine(label, "", measured, _not_comparable(heat.why or "no_rise"), remark)
    computed = heat.ambient_c + heat.predicted_k
    if heat.oil_c is None or heat.why == "not_stable":
        why = heat.why or "not_measured"
        return ComputedLine(label, write.of(computed, "temperature"), measured, _not_comparable(why), remark)
    gap = write.of(abs(heat.oil_c - computed), "temperature_difference")
    words = _("measured is {gap} higher") if heat.oil_c >= computed else _("measured is {gap} lower")
    return ComputedLine(label, write.of(computed, "temperature"), measured, words.format(gap=gap), remark)


def _factor(heat: RunHeat | None, accepted: RunFactor | None, *, may_accept: bool) -> FactorSheet | None:
    if heat is None or not heat.family:
        return None
    factor, runs = factor_of(heat.family, signed_runs())
    if factor is None:
        words = _("Signed runs of this family so far: {count}. At least {fewest} are needed.")
        learned = words.format(count=len(runs), fewest=FEWEST_RUNS)
    else:
        words = _("{median} times the computed rise ({low} to {high}), from {count} signed runs.")
        figures = (plain(one, 3) for one in (factor.median, factor.low, factor.high))
        learned = words.format(
            **dict(zip(("median", "low", "high"), figures, strict=True)), count=factor.runs
        )
    told = ""
    if accepted is not None:
        words = _("Accepted: {median} ({low} to {high}) from {count} runs, by {name}.")
        told = words.format(
            median=plain(accepted.median, 3), low=plain(accepted.low, 3), high=plain(accepted.high, 3),
            count=len(accepted.runs), name=accepted.accepted_name,
        )  # fmt: skip
    jobs = ", ".join(one.record.job.number for one in runs)
    newer = factor is not None and (accepted is None or len(accepted.runs) != factor.runs)
    return FactorSheet(
        heat.family, family_words(heat.family), len(runs), jobs, learned, told, may_accept and newer
    )


def family_words(family: str) -> str:
    """Return a mount family in words: types of the thrust bearings, then how they are lubricated."""
    types, _slash, method = family.partition("/")
    names = [str(choice_label(one)) for one in types.split("+")]
    return ", ".join([*names, str(choice_label(method))])
