"""What the pages of a run show: rows with verdicts, the chart, the no-thrust panel, what is said at its end."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

from django.utils import timezone
from django.utils.translation import gettext as _

from bearings.public import Figures, Units
from repairs.measurements.as_built import NoThrust, built_record, no_thrust_of
from repairs.measurements.engineering.shape import Answer, Value
from repairs.measurements.engineering.subjects.run_temperatures import SUBJECT
from repairs.measurements.models import RunRow, TestRecord, TestSetting
from repairs.measurements.shop_tests.forms import TestForm, initial_of
from repairs.measurements.shop_tests.judging import JudgedTest, judge_test
from repairs.measurements.shop_tests.machine import settings_of
from repairs.measurements.shop_tests.presenting import present
from repairs.measurements.shop_tests.run_forms import FACTS, FINISH, RunRowForm
from repairs.measurements.shop_tests.run_points import columns_of, points_of, run_chart
from repairs.measurements.shop_tests.run_services import TEST, current_run, facts_of, rows_of, series
from repairs.measurements.words.figures import Written
from repairs.measurements.words.run_temperatures import WORDS
from repairs.people.middleware import actor_of
from repairs.people.requests import ShopRequest
from repairs.work_orders.models import Step

LIMIT_KEY: Final = f"{TEST}.no_thrust_most"


@dataclass(frozen=True, slots=True)
class GoingRun:
    """The run that goes on at a step: its rows and the facts that were said with them."""

    step: Step
    run: int
    rows: list[RunRow]
    facts: Mapping[str, Value]
    settings: Mapping[str, TestSetting]

    def judged(self, request: ShopRequest, said: Mapping[str, Value] | None = None) -> JudgedTest:
        """Judge the run as far as it has come, with what is said at its end."""
        values = {**self.facts, **(said or {}), "temperatures": series(self.rows)}
        return judge_test(
            self.step.job,
            SUBJECT,
            values,
            measurer=actor_of(request).user_id,
            at=timezone.now(),
            settings=self.settings,
        )


def going_run(step: Step) -> GoingRun:
    """Return the run of a step that goes on; facts that nobody said yet come from the job's last run."""
    run = current_run(step)
    rows = rows_of(step, run)
    return GoingRun(step, run, rows, {**_last_facts(step), **facts_of(rows)}, settings_of(step.job))


def _last_facts(step: Step) -> dict[str, Value]:
    rows = TestRecord.objects.filter(job_id=step.job_id, test=TEST).order_by("-id")
    last = rows.values_list("entries", flat=True).first() or {}
    return {code: last[code] for code in FACTS if code in last}


def row_form(going: GoingRun, units: Units, data: Mapping[str, Any] | None = None) -> RunRowForm:
    """Return the form of the next row."""
    return RunRowForm(data, units=units, initial=dict(going.facts))


def finish_form(going: GoingRun, units: Units, data: Mapping[str, Any] | None = None) -> TestForm:
    """Return the form of a run's end, with the facts that were said while it went on."""
    last = TestRecord.objects.filter(job_id=going.step.job_id, test=TEST).order_by("-id").first()
    initial: dict[str, Any] = {**going.facts, "instrument": last.instrument if last else ""}
    if last is not None and last.step_id == going.step.pk:
        again = {code: last.typed[code] for code in ("ratchet", "rotation_top") if code in last.typed}
        initial |= initial_of(again, units, FINISH)
    return TestForm(FINISH, WORDS, data, units=units, initial=initial)


def run_context(request: ShopRequest, going: GoingRun, form: RunRowForm) -> dict[str, object]:
    """Return the page of a run that goes on."""
    return {
        "job": going.step.job,
        "step": going.step,
        "form": form,
        "cautions": WORDS.cautions,
        "run": going.run,
        **live_context(request, going),
    }


def live_context(request: ShopRequest, going: GoingRun) -> dict[str, object]:
    """Return what changes while a run goes on."""
    judged, units = going.judged(request), request.user.unit_system
    rows = series(going.rows)
    sheet = present(judged.answer, WORDS, units)
    points = points_of(rows, judged.answer, units)
    return {
        "job": going.step.job,
        "step": going.step,
        "sheet": sheet,
        "told": sheet.notes,
        "columns": columns_of(rows, units),
        "points": [{"row": row, "point": point} for row, point in zip(going.rows, points, strict=True)][::-1],
        "chart": run_chart(rows, judged.answer, units),
        "state": state_words(judged.answer, units),
        "stable": judged.answer.result("stable_min").value is not None,
        "no_thrust": no_thrust_panel(going, units),
    }


def state_words(answer: Answer, units: Units) -> str:
    """Say in one line how far a run has come."""
    since = answer.result("stable_min").value
    if since is None:
        return _("Not stable yet: 1 °C or less in 30 min is stable.")
    return _("Stable since {minute}.").format(minute=Written(units).of(since, "minutes"))


def no_thrust_panel(going: GoingRun, units: Units) -> dict[str, object]:
    """Return what limits a run without thrust: the maker's time as a lead entered it, the checker's speed."""
    setting = going.settings.get(LIMIT_KEY)
    record = built_record(going.step.job)
    found = no_thrust_of(record.assessment, units) if record and record.assessment else None
    return {
        "most": Written(units).of(float(setting.value), "minutes") if setting else "",
        "by": setting.entered_name if setting else "",
        "checker": checker_words(found, built=record is not None, units=units),
        "sentences": found.sentences if found else (),
        "coupled": going.facts.get("uncoupled") == "no",
    }


def checker_words(found: NoThrust | None, *, built: bool, units: Units) -> str:
    """Say up to which speed the load of the stack suffices without thrust, by the checker."""
    if found is None:
        reason = _("case uncoupled not known") if built else _("no signed stack as built")
        return _("not checked: {reason}").format(reason=reason)
    figures = Figures(units)
    if found.load_rpm is None:
        words = _("no speed limit found with the pump uncoupled at {speed}")
        return words.format(speed=figures.speed(found.speed_rpm))
    words = _("load suffices up to {load}; motor turns {speed}")
    return words.format(load=figures.speed(found.load_rpm), speed=figures.speed(found.speed_rpm))
