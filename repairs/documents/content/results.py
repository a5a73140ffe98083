"""Shop tests on the report: each result found and left beside its limit, what was recorded without one, instruments.

A job without shop tests has none of these parts, so that papers issued before stay current.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from django.utils import timezone
from django.utils.translation import gettext as _

from bearings.public import Units
from repairs.documents.content.reader import Reader, day_words, number_words
from repairs.documents.content.readings import judged_words, limit_words
from repairs.documents.content.shop_charts import chart_rows
from repairs.measurements.engineering.limits import Limit, Source
from repairs.measurements.engineering.subjects import BY_CODE, TEST_OF
from repairs.measurements.models import Reading, TestRecord
from repairs.measurements.shop_tests.codec import answer_of
from repairs.measurements.shop_tests.forms import value_words
from repairs.measurements.shop_tests.own_rows import PREFIX
from repairs.measurements.shop_tests.presenting import NoteLine, limit_text, present, words_of
from repairs.measurements.shop_tests.sheets import OWN, Sheet, sheets_of_records
from repairs.measurements.words import BY_CODE as WORDS
from repairs.measurements.words.figures import Written
from repairs.measurements.words.shape import SubjectWords
from repairs.measurements.words.sources import SURENESS
from repairs.motors.units import QUANTITIES, unit_of
from repairs.work_orders.models import Job

FOUND: Final = Reading.Moment.AS_FOUND.value
LEFT: Final = Reading.Moment.AS_LEFT.value
ORDER: Final = {code: at for at, code in enumerate(TEST_OF)}
NO_OWN_ROWS: Final = Sheet("", "", 0, ())
# Notes that a customer reads, the worst first.
SAID: Final = ("stop", "warn")
Row = dict[str, object]


def standing_tests(job: Job) -> list[TestRecord]:
    """Return the tests that no later one corrects, in the order they were made: one query."""
    return list(TestRecord.objects.of_job(job).standing())


def results_part(
    job: Job, readings: Sequence[Reading], reader: Reader
) -> tuple[dict[str, object], list[Reading]]:
    """Return the parts that tell of the shop tests, and the readings that they do not tell of."""
    records = standing_tests(job)
    if not records:
        return {}, list(readings)
    rows = result_rows(readings, records, reader)
    told = _told(records, reader.units)
    parts = {
        "results": rows,
        "recorded": _recorded(told),
        "test_notes": _notes(told),
        "charts": chart_rows(records, reader),
        "tests": [_test_row(one) for one in told],
    }
    return {name: part for name, part in parts.items() if part}, [row for row in readings if not row.asked]


def result_rows(readings: Iterable[Reading], records: Iterable[TestRecord], reader: Reader) -> list[Row]:
    """Return each result once: the newest reading of each moment, with what was measured of it besides."""
    quantities = {record.pk: _quantities(record) for record in records}
    groups: dict[tuple[str, str], list[Reading]] = {}
    for reading in readings:
        if reading.asked:
            name = "" if reading.asked in ORDER else reading.quantity
            groups.setdefault((reading.asked, name), []).append(reading)
    ordered = sorted(groups.values(), key=lambda rows: (ORDER.get(rows[0].asked, len(ORDER)), rows[0].pk))
    return [_result_row(rows, quantities, reader.units) for rows in ordered]


def _result_row(rows: list[Reading], quantities: Mapping[int, Mapping[str, str]], units: Units) -> Row:
    newest = {reading.moment: reading for reading in rows}
    found, left = newest.get(FOUND), newest.get(LEFT)
    shown = {reading.pk: ShownReading(reading, _quantity(reading, quantities), units) for reading in rows}
    last = left or found or rows[-1]
    row: Row = {
        "what": _label(last),
        "found": shown[found.pk].value if found else "",
        "found_verdict": found.verdict if found else "",
        "left": shown[left.pk].value if left else "",
        "limit": shown[last.pk].limit,
        "source": source_of(last),
        "verdict": left.verdict if left else "",
    }
    if found and left and shown[found.pk].limit and shown[found.pk].limit != shown[left.pk].limit:
        row["found_limit"] = shown[found.pk].limit
    if judged := [words for one in (found, left) if one is not None and (words := judged_words(one))]:
        row["judged"] = judged
    if also := [_also(one, shown[one.pk]) for one in rows if one is not newest[one.moment]]:
        row["also"] = also
    return row


class ShownReading:
    """A reading and its limit in the reader's units; as it was kept where its unit is of no known quantity."""

    def __init__(self, reading: Reading, quantity: str, units: Units) -> None:
        known = quantity in QUANTITIES and unit_of(quantity, reading.unit).name == reading.unit
        if not known:
            self.value = f"{number_words(reading.value)} {reading.unit}".strip()
            self.limit = _kept_limit(reading)
            return
        unit, write = unit_of(quantity, reading.unit), Written(units)
        low, high = (
            None if one is None else unit.to_si(float(one)) for one in (reading.limit_low, reading.limit_high)
        )
        self.value = write.beside(unit.to_si(float(reading.value)), quantity, low, high)
        limit = None if low is None and high is None else Limit(low, high, Source(reading.limit_source))
        self.limit = limit_text(limit, quantity, write)


def _kept_limit(reading: Reading) -> str:
    words = limit_words(reading)
    return f"{words} {reading.unit}".strip() if words else ""


def _quantities(record: TestRecord) -> dict[str, str]:
    return {one["code"]: one["quantity"] for one in record.answer.get("results", ())}


def _quantity(reading: Reading, quantities: Mapping[int, Mapping[str, str]]) -> str:
    of_test = quantities.get(reading.test_id or 0, {})
    if reading.asked in of_test:
        return of_test[reading.asked]
    test = TEST_OF.get(reading.asked)
    return BY_CODE[test].results[reading.asked] if test else ""


def _label(reading: Reading) -> str:
    test = TEST_OF.get(reading.asked)
    return str(WORDS[test].results[reading.asked]) if test else reading.quantity


def source_of(reading: Reading) -> str:
    """Return where a limit comes from; how sure that is, where the source does not say so itself."""
    sureness = str(SURENESS.get(reading.limit_sureness, ""))
    if not sureness or sureness in reading.limit_source:
        return reading.limit_source
    return f"{reading.limit_source} ({sureness})".strip()


def _also(reading: Reading, shown: ShownReading) -> dict[str, str]:
    """Return a reading that a newer one of the same moment came after: nothing that stands is left away."""
    return {
        "step": reading.step.title if reading.step else "",
        "moment": str(reading.get_moment_display()),
        "value": shown.value,
        "verdict": reading.verdict,
    }


@dataclass(frozen=True, slots=True)
class _Told:
    """A test in words: what was recorded of it without a limit, and the notes that matter."""

    record: TestRecord
    title: str
    recorded: Mapping[str, str]
    notes: Sequence[NoteLine]


def _told(records: Sequence[TestRecord], units: Units) -> list[_Told]:
    sheets = sheets_of_records(records)
    return [_told_test(record, sheets.get(record.pk), units) for record in records]


def _told_test(record: TestRecord, sheet: Sheet | None, units: Units) -> _Told:
    words = words_of(record.test, sheet or NO_OWN_ROWS)
    answer = answer_of(record.answer)
    noted = tuple(one for one in answer.results if one.verdict == "noted" and one.value is not None)
    lines = present(answer._replace(results=noted, missing=(), working=()), words, units)
    recorded = {line.label: line.value for line in lines.results}
    if record.test == OWN and sheet is not None:
        recorded |= _own_entries(record, sheet, words, units)
    return _Told(record, lines.title, recorded, [one for one in lines.notes if one.severity in SAID])


def _own_entries(record: TestRecord, sheet: Sheet, words: SubjectWords, units: Units) -> dict[str, str]:
    """Return what was answered to the shop's own rows that no limit judges."""
    judged = {one["code"].removeprefix(PREFIX) for one in record.answer.get("results", ())}
    rows = {row.code: row for row in sheet.own if row.code not in judged}
    return {
        str(rows[code].label): value_words(value, rows[code].quantity, units, words)
        for code, value in record.entries.items()
        if code in rows and isinstance(value, int | float | str)
    }


def _recorded(told: Iterable[_Told]) -> list[Row]:
    """Return what was recorded without a limit, found beside left; the newest of each moment counts."""
    rows: dict[str, dict[str, str]] = {}
    for one in told:
        for label, value in one.recorded.items():
            own = one.record.test == OWN or label.startswith(one.title)
            name = label if own else _("{test}: {result}").format(test=one.title, result=label)
            rows.setdefault(name, {})[one.record.moment] = value
    return [
        {"what": name, "found": values.get(FOUND, ""), "left": values.get(LEFT, "")}
        for name, values in rows.items()
    ]


def _notes(told: Iterable[_Told]) -> list[Row]:
    """Return what the newest test of each kind and moment said that matters, the worst first."""
    newest = {(one.record.test, one.record.step_id, one.record.moment): one for one in told}
    rows: list[Row] = [
        {
            "severity": note.severity,
            "test": one.title,
            "moment": str(one.record.get_moment_display()),
            "text": note.text,
            "source": note.source,
        }
        for one in newest.values()
        for note in one.notes
    ]
    return sorted(rows, key=lambda row: SAID.index(str(row["severity"])))


def _test_row(one: _Told) -> Row:
    """Return who made a test, when and with what; an instrument whose calibration was overdue that day is said so."""
    record = one.record
    made, due = record.made_at or record.at, record.calibration_due
    return {
        "test": one.title,
        "step": record.step.title if record.step else "",
        "moment": str(record.get_moment_display()),
        "verdict": record.verdict,
        "by": record.person_name,
        "on": day_words(made),
        "instrument": record.instrument,
        "due": day_words(due),
        "overdue": due is not None and due < timezone.localdate(made),
    }
