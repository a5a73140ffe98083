"""The answer to a readings file as plain text for a terminal, by the presenter of the pages."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from django.utils.translation import gettext as _

from bearings.public import Units
from repairs.measurements.readings_file.judging import FileAnswer
from repairs.measurements.shop_tests.presenting import NoteLine, ResultLine, TestSheet, present
from repairs.measurements.words import BY_CODE as WORDS

# Of the words of a verdict; in a language with longer ones the columns only part.
WIDEST: Final = 12


def readings_text(answer: FileAnswer, units: Units = "si") -> str:
    """Return the answer as text: verdict of all, then each test with its results, notes and what is missing."""
    lines = [_("Verdict: {verdict}").format(verdict=_verdict(answer.verdict))]
    for test, one in answer.tests:
        lines += ["", *_test(present(one, WORDS[test.code], units))]
    return "\n".join(lines)


def _verdict(verdict: str) -> str:
    return {
        "pass": _("Pass"),
        "fail": _("FAIL"),
        "not_checked": _("Not checked"),
        "noted": _("Recorded"),
    }[verdict]


def _severity(severity: str) -> str:
    return {"stop": _("STOP"), "warn": _("WARN"), "note": _("NOTE"), "doubt": _("Check the entry")}[severity]


def _test(sheet: TestSheet) -> Iterator[str]:
    yield f"{sheet.title}: {_verdict(sheet.verdict)}"
    yield from (_result(one) for one in sheet.results)
    yield from (_note(one) for one in sheet.notes)
    if sheet.missing:
        yield "  " + _("Missing: {fields}").format(fields=", ".join(sheet.missing))


def _result(line: ResultLine) -> str:
    held = ""
    if line.limit:
        held = f" ({line.limit}; {line.source})"
    elif line.verdict != "noted":
        held = f" ({_('no limit set')})"
    if not line.value:
        verdict = _("Not measured") if line.verdict == "noted" else _verdict(line.verdict)
        return f"  {verdict:<{WIDEST}}  {line.label}{held}"
    return f"  {_verdict(line.verdict):<{WIDEST}}  {line.label}: {line.value}{held}"


def _note(line: NoteLine) -> str:
    source = f" ({line.source})" if line.source else ""
    return f"  {_severity(line.severity)}  {line.text}{source}"
