"""What the pages of shop tests show: the sheet of a step, one test, a kept one."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

from django.urls import reverse
from django.utils import timezone

from bearings.public import Units
from repairs.bench.asked_readings import asked_rows, expected_words
from repairs.ledger.services import Actor
from repairs.measurements.engineering.shape import Field, Row, Subject, Value
from repairs.measurements.engineering.subjects import TEST_OF
from repairs.measurements.models import Instrument, TestRecord, TestSetting
from repairs.measurements.predicted_end_play import predicted_end_play
from repairs.measurements.shop_tests.codec import answer_of, entries_of
from repairs.measurements.shop_tests.forms import TestForm, initial_of, value_words
from repairs.measurements.shop_tests.judging import judge_test, sheet_codes, subject_of
from repairs.measurements.shop_tests.machine import settings_entries, settings_of
from repairs.measurements.shop_tests.presenting import TestSheet, present, words_of
from repairs.measurements.shop_tests.run_points import columns_of, points_of, run_chart
from repairs.measurements.shop_tests.run_services import TEST as RUN
from repairs.measurements.shop_tests.sheets import Sheet, sheet_of, sheets_of_records
from repairs.measurements.shop_tests.spectra import TEST as SPECTRUM
from repairs.measurements.shop_tests.spectra import sheet_of_spectrum
from repairs.measurements.shop_tests.vibration_chart import TEST as VIBRATION
from repairs.measurements.shop_tests.vibration_chart import vibration_chart
from repairs.measurements.words.shape import SubjectWords
from repairs.people.middleware import actor_of
from repairs.people.models import User
from repairs.people.requests import ShopRequest
from repairs.work_orders.models import Job, Step

ORDERS: Final = frozenset({"order_found", "order_none", "order_outside"})
OWN_PAGES: Final[Mapping[str, str]] = {"run_temperatures": "bench:final_run", "spectrum": "bench:spectrum"}


@dataclass(frozen=True, slots=True)
class AskedTest:
    """One test of a step's sheet, with everything that its page needs."""

    step: Step
    sheet: Sheet | None
    subject: Subject
    words: SubjectWords
    settings: Mapping[str, TestSetting]
    units: Units

    def form(self, data: Mapping[str, Any] | None, record: TestRecord | None = None) -> TestForm:
        """Return the form; of a test to correct, with what was entered."""
        initial = self._offered()
        if record is not None:
            initial = {**initial_of(record.typed, self.units, self.subject), "instrument": record.instrument}
        return TestForm(
            self.subject,
            self.words,
            data,
            units=self.units,
            initial=initial,
        )

    def _offered(self) -> dict[str, Any]:
        """Return what holds for the job, and the instrument, from the last test of its kind."""
        last = (
            TestRecord.objects.filter(job_id=self.step.job_id, test=self.subject.code).order_by("-id").first()
        )
        if last is None:
            return {}
        facts = {field.code for field in self.subject.fields if field.setting}
        typed = {code: entry for code, entry in last.typed.items() if code in facts}
        return {**initial_of(typed, self.units, self.subject), "instrument": last.instrument}


def asked_test(step: Step, test: str, user: User) -> AskedTest | None:
    """Return a test by its code; None where there is none of this name."""
    sheet = sheet_of(step)
    subject = subject_of(test, sheet)
    if subject is None:
        return None
    return AskedTest(step, sheet, subject, words_of(test, sheet), settings_of(step.job), user.unit_system)


def last_visit(job: Job, test: str, moment: str = "") -> TestRecord | None:
    """Return the newest test of this kind on the motor's earlier jobs."""
    rows = TestRecord.objects.filter(job__motor_id=job.motor_id, test=test).exclude(job=job).standing()
    return rows.select_related("job").order_by("-id").first()


def next_url(asked: AskedTest) -> str:
    """Return the next test of the sheet that is not made yet, else the sheet."""
    step, made = asked.step, set()
    made = set(TestRecord.objects.filter(step=step).standing().values_list("test", flat=True))
    codes = sheet_codes(asked.sheet)
    here = codes.index(asked.subject.code) if asked.subject.code in codes else -1
    left = [code for code in codes[here + 1 :] if code not in made]
    if left:
        return test_url(step, left[0])
    return reverse("bench:reading", args=[step.job.number])


def test_url(step: Step, test: str) -> str:
    """Return the page of a test; a run has one of its own, where its rows are kept while it goes on."""
    if test in OWN_PAGES:
        return reverse(OWN_PAGES[test], args=[step.job.number, step.pk])
    return reverse("bench:shop_test", args=[step.job.number, step.pk, test])


def test_context(
    asked: AskedTest, form: TestForm, request: ShopRequest, correcting: TestRecord | None
) -> dict[str, object]:
    """Return one test's page: rows with unit and last visit's value, settings, cautions, the verdict beside them."""
    step, earlier = asked.step, last_visit(asked.step.job, asked.subject.code)
    values = entries_of(earlier.entries) if earlier is not None else {}
    settled = settings_entries(asked.subject.code, asked.settings)
    return {
        "job": step.job,
        "step": step,
        "test": asked.subject.code,
        "title": asked.words.title,
        "cautions": asked.words.cautions,
        "form": form,
        "correcting": correcting,
        "rows": [_row(asked, form, field, values) for field in form.asked if not field.more],
        "more_rows": [_row(asked, form, field, values) for field in form.asked if field.more],
        "more_open": any(
            form[field.code].errors or form[field.code].value() for field in form.asked if field.more
        ),
        "first_time": not TestRecord.objects.filter(
            job_id=step.job_id, test=asked.subject.code, person=request.user
        ).exists(),
        "last_job": earlier.job.number if earlier is not None else "",
        "rules": [
            (asked.words.fields[field.code], _rule_words(asked, field, settled.get(field.code)))
            for field in asked.subject.fields
            if field.rule
        ],
        "expected": expected_words(predicted_end_play(step.job)) if asked.subject.code == "end_play" else "",
        "instruments": Instrument.objects.filter(active=True),
        "today": timezone.localdate(),
        **verdict_context(asked, form, request),
    }


def _rule_words(asked: AskedTest, field: Field, value: Value | None) -> str:
    return value_words(value, field.quantity, asked.units, asked.words)


def _row(asked: AskedTest, form: TestForm, field: Field, last: Mapping[str, Value]) -> dict[str, object]:
    return {
        "field": form[field.code],
        "unit": getattr(form.fields[field.code], "unit", None),
        "last": value_words(last.get(field.code), field.quantity, asked.units, asked.words),
        "tiles": field.quantity in {"choice", "yes_no"},
    }


def verdict_context(asked: AskedTest, form: TestForm, request: ShopRequest) -> dict[str, object]:
    """Return the verdict on what is typed; a field that cannot be read counts as empty and is named."""
    if form.is_bound:
        form.is_valid()
    values = form.entry().values if form.is_bound else {}
    judged = judge_test(
        asked.step.job,
        asked.subject,
        values,
        measurer=actor_of(request).user_id,
        at=timezone.now(),
        settings=asked.settings,
    )
    sheet = present(judged.answer, asked.words, asked.units)
    unread = [f"{form[code].label}: {form[code].errors[0]}" for code in form.errors if code in form.fields]
    return {
        "sheet": sheet,
        "typed": bool(values),
        "unread": unread,
        "confirmed": request.POST.getlist("confirmed"),
        "doubts": [note for note in sheet.notes if note.severity == "doubt"],
        "told": [note for note in sheet.notes if note.severity != "doubt"],
    }


def record_context(job: Job, record: TestRecord, user: User) -> dict[str, object]:
    """Return a kept test: what was entered, what it said that day."""
    sheet = sheet_of(record.step) if record.step else None
    subject, units = subject_of(record.test, sheet), user.unit_system
    words = words_of(record.test, sheet)
    entries = entries_of(record.entries)
    quantities = {field.code: field.quantity for field in subject.fields} if subject else {}
    return {
        "job": job,
        "record": record,
        "sheet": _kept_sheet(record, units, sheet),
        "title": words.title,
        "entered": [
            (words.fields.get(code, code), value_words(value, quantities.get(code, ""), units, words))
            for code, value in entries.items()
            if not isinstance(value, tuple)
        ],
        "series": [
            (words.fields.get(code, code), len(value))
            for code, value in entries.items()
            if isinstance(value, tuple)
        ],
        **measured_over(record, units),
        "newer": getattr(record, "replaced_by", None),
        "overdue": record.calibration_due is not None
        and record.calibration_due < timezone.localdate(record.at),
    }


def _kept_sheet(record: TestRecord, units: Units, sheet: Sheet | None) -> TestSheet:
    """Return a kept answer as its page shows it: the orders of a spectrum stand beside their chart, by name."""
    answer = answer_of(record.answer)
    if record.test == SPECTRUM:
        answer = answer._replace(notes=tuple(one for one in answer.notes if one.code not in ORDERS))
    return present(answer, words_of(record.test, sheet), units)


def measured_over(record: TestRecord, units: Units) -> dict[str, object]:
    """Return the chart of a kept test and its figures as a table, where it was measured over time or frequency."""
    if record.test == SPECTRUM:
        speed = record.entries.get("run_rpm") or record.machine.get("speed_rpm")
        found = sheet_of_spectrum(entries_of(record.entries), record.typed, speed, units)
        return {"spectrum": found}
    if record.test == VIBRATION:
        return {"chart": vibration_chart(answer_of(record.answer), units)}
    if record.test != RUN:
        return {}
    rows, answer = series_of(entries_of(record.entries), "temperatures"), answer_of(record.answer)
    return {
        "chart": run_chart(rows, answer, units),
        "columns": columns_of(rows, units),
        "points": [{"point": point} for point in points_of(rows, answer, units)],
        "checker_rpm": record.typed.get("checker_rpm", {}).get("typed", ""),
    }


def series_of(entries: Mapping[str, Value], code: str) -> tuple[Row, ...]:
    """Return the rows of a kept series; none where nothing was entered."""
    found = entries.get(code)
    return found if isinstance(found, tuple) else ()


def stored_sheet(record: TestRecord, units: Units, sheet: Sheet | None) -> TestSheet:
    """Return a kept answer in the reader's units, as it was judged that day, by the sheet of that day."""
    by = sheets_of_records([record]).get(record.pk) or sheet
    return present(answer_of(record.answer), words_of(record.test, by), units)


def sheet_rows(job: Job, step: Step, actor: Actor, user: User) -> list[dict[str, Any]]:
    """Return the tests of a step with what counts of each; what a gate asks for is there, whatever a sheet says."""
    sheet, asked = sheet_of(step), asked_rows(job, step, actor)
    made: dict[str, TestRecord] = {}
    for record in TestRecord.objects.filter(step=step).standing().order_by("id"):
        made[record.test] = record
    gated = [TEST_OF[str(one["code"])] for one in asked]
    return [
        {
            "code": code,
            "title": words_of(code, sheet).title,
            "url": test_url(step, code),
            "record": made.get(code),
            "results": stored_sheet(made[code], user.unit_system, sheet).results if code in made else [],
            "required": [one for one in asked if TEST_OF[str(one["code"])] == code],
        }
        for code in dict.fromkeys((*sheet_codes(sheet), *gated))
    ]
