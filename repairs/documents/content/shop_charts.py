"""Charts of shop tests on the report: the run, vibration by point and the spectrum, as the motor left."""

from __future__ import annotations

from collections.abc import Iterable

from repairs.documents.content.reader import Reader
from repairs.measurements.models import TestRecord
from repairs.measurements.shop_tests.codec import answer_of, entries_of
from repairs.measurements.shop_tests.run_points import columns_of, points_of, run_chart
from repairs.measurements.shop_tests.run_services import TEST as RUN
from repairs.measurements.shop_tests.spectra import TEST as SPECTRUM
from repairs.measurements.shop_tests.spectra import sheet_of_spectrum
from repairs.measurements.shop_tests.vibration_chart import TEST as VIBRATION
from repairs.measurements.shop_tests.vibration_chart import vibration_chart
from repairs.measurements.words import BY_CODE as WORDS

Row = dict[str, object]


def chart_rows(records: Iterable[TestRecord], reader: Reader) -> list[Row]:
    """Return the charts of the newest run, vibration and spectrum, each with its table where no other part has it."""
    newest = {record.test: record for record in records if record.test in (RUN, VIBRATION, SPECTRUM)}
    made = (_chart(newest[test], reader) for test in (RUN, VIBRATION, SPECTRUM) if test in newest)
    return [row for row in made if row is not None]


def _chart(record: TestRecord, reader: Reader) -> Row | None:
    answer, units = answer_of(record.answer), reader.units
    row: Row = {"title": str(WORDS[record.test].title), "moment": str(record.get_moment_display())}
    if record.test == VIBRATION:
        drawing = vibration_chart(answer, units, paper=True)
        return {**row, "drawing": str(drawing)} if drawing else None
    entries = entries_of(record.entries)
    if record.test == RUN:
        found = entries.get("temperatures")
        rows = found if isinstance(found, tuple) else ()
        drawing = run_chart(rows, answer, units, paper=True)
        heads = [heading for _code, heading in columns_of(rows, units)]
        cells = [list(point.cells) for point in points_of(rows, answer, units)]
        return {**row, "drawing": str(drawing), "heads": heads, "rows": cells} if drawing else None
    speed = record.entries.get("run_rpm") or record.machine.get("speed_rpm")
    sheet = sheet_of_spectrum(entries, record.typed, speed, units, paper=True)
    if sheet is None:
        return None
    lines = [sheet.searched, *(text for _found, text in sheet.orders), *sheet.remarks]
    return {**row, "drawing": str(sheet.chart), "lines": [line for line in lines if line]}
