"""Every line of a rating file against the book: new, the same, changed, or wrong; and what to ask about."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from itertools import islice
from typing import Any, BinaryIO, Final, Literal

from django.utils.translation import gettext as _

from bearings.book import FIGURES, RATING_TEXTS, judge_rating, rating_figures
from bearings.book_file.columns import BY_FIELD
from bearings.book_file.mistakes import LineNote, note
from bearings.book_file.reader import FileLine, file_lines
from bearings.book_file.survey import Survey, survey_file
from bearings.engineering.rating_plausibility import entry_doubts
from bearings.models import Rating, Source, designation_key
from bearings.wording.entry_doubts import doubt_field, doubt_sentence

LINES_AT_ONCE: Final = 500
MOST_SHOWN: Final = 100
LineKind = Literal["new", "same", "changed", "wrong"]
Key = tuple[str, str, str]
Progress = Callable[[int, int], None]


@dataclass(slots=True)
class CheckedLine:
    """A line as the book would hold it, what the book holds now, and what is wrong or doubtful."""

    number: int
    kind: LineKind
    texts: dict[str, str]
    figures: dict[str, float | int | str]
    not_printed: list[str]
    stored: Rating | None
    wrong: list[LineNote] = field(default_factory=list)
    questions: list[LineNote] = field(default_factory=list)


@dataclass(slots=True)
class FileReport:
    """What came of reading a whole file; of each kind of remark the first ones and the number of lines."""

    survey: dict[str, Any]
    book: list[int]
    counts: dict[str, int]
    wrong: list[dict[str, Any]] = field(default_factory=list)
    questions: list[dict[str, Any]] = field(default_factory=list)
    changes: list[dict[str, Any]] = field(default_factory=list)

    def add(self, line: CheckedLine) -> None:
        """Count a line and keep its remarks while there is room."""
        self.counts[line.kind] += 1
        self.counts["doubtful"] += bool(line.questions)
        room = MOST_SHOWN - len(self.wrong)
        self.wrong += [one.as_dict() for one in line.wrong[: max(0, room)]]
        room = MOST_SHOWN - len(self.questions)
        self.questions += [one.as_dict() for one in line.questions[: max(0, room)]]
        if line.kind == "changed" and len(self.changes) < MOST_SHOWN:
            self.changes.append({"line": line.number, "differences": differences(line), **identity(line)})


def identity(line: CheckedLine) -> dict[str, str]:
    """Return what a line is about."""
    return {name: line.texts.get(name, "") for name in ("designation", "variant", "cage")}


def book_state(source: Source | None) -> list[int]:
    """Return figures that change with every change of what the book holds of a source's ratings."""
    if source is None or source.pk is None:
        return [0]
    return list(Source.every.filter(pk=source.pk).values_list("ratings_version", flat=True))


def check_rating_file(
    file: BinaryIO,
    source: Source | None,
    *,
    progress: Progress | None = None,
    keep: Callable[[CheckedLine], None] | None = None,
) -> FileReport:
    """Read a file and hold every line against the source; ``keep`` is handed each line that is not wrong.

    Raises :class:`~bearings.book_file.mistakes.BookFileError` for a file that cannot be read as one.
    """
    survey = survey_file(file)
    names = ("new", "same", "changed", "wrong", "doubtful", "repeated")
    report = FileReport(survey.as_dict(), book_state(source), dict.fromkeys(names, 0))
    if survey.questions:
        report.counts["doubtful"] += len(survey.questions)
        report.questions += [one.as_dict() for one in survey.questions]
    for done, line in enumerate(checked_lines(file, survey, source, report), 1):
        report.add(line)
        if keep is not None and line.kind != "wrong":
            keep(line)
        if progress is not None and (done % LINES_AT_ONCE == 0 or done == survey.lines):
            progress(done, survey.lines)
    return report


def checked_lines(
    file: BinaryIO, survey: Survey, source: Source | None, report: FileReport
) -> Iterator[CheckedLine]:
    """Yield each line with its verdict; the book is asked once for many lines."""
    seen: dict[Key, int] = {}
    columns = [column.field for column in survey.columns]
    lines = file_lines(file, survey)
    while together := list(islice(lines, LINES_AT_ONCE)):
        stored = _stored(source, together)
        for line in together:
            checked = _checked(line, stored.get(_key(line)), columns)
            if first := seen.setdefault(_key(line), line.number) if line.texts else 0:
                _refuse_repeated(checked, first, report)
            yield checked


def _key(line: FileLine) -> Key:
    texts = line.texts
    return designation_key(texts.get("designation", "")), texts.get("variant", ""), texts.get("cage", "")


def _stored(source: Source | None, lines: list[FileLine]) -> dict[Key, Rating]:
    if source is None or source.pk is None:
        return {}
    keys = {_key(line)[0] for line in lines}
    return {
        (one.designation_key, one.variant, one.cage): one
        for one in source.ratings.filter(designation_key__in=keys)
    }


def _refuse_repeated(checked: CheckedLine, first: int, report: FileReport) -> None:
    if first == checked.number or not checked.texts["designation"]:
        return
    report.counts["repeated"] += 1
    message = _("Line %(first)d has the same designation, variant and cage. Keep one of the two.")
    checked.wrong.append(
        note(checked.number, "designation", checked.texts["designation"], message % {"first": first})
    )
    checked.kind = "wrong"


def _checked(line: FileLine, stored: Rating | None, columns: list[str]) -> CheckedLine:
    """Return a line's verdict. What the file has no column for stays as it is stored."""
    texts = {name: getattr(stored, name) if stored else "" for name in RATING_TEXTS}
    texts |= {name: line.texts.get(name, "") for name in columns if name in texts}
    kept = rating_figures(stored) if stored else {}
    figures = {name: value for name, value in kept.items() if name not in columns} | line.figures
    absent = {name for name in stored.not_printed if name not in columns} if stored else set()
    not_printed = [name for name in FIGURES if name in absent or name in line.not_printed]
    checked = CheckedLine(line.number, "new", texts, figures, not_printed, stored, list(line.wrong))
    if not any(one.column == "" for one in line.wrong):
        _judge(checked)
    if checked.wrong:
        checked.kind = "wrong"
    elif stored:
        checked.kind = "changed" if differences(checked) else "same"
    return checked


def _judge(checked: CheckedLine) -> None:
    mistakes, bearing = judge_rating(checked.texts, checked.figures, checked.not_printed)
    named = {one.column for one in checked.wrong}
    for name, message in mistakes.items():
        column = BY_FIELD[name].name if name in BY_FIELD else name
        if column not in named:
            checked.wrong.append(note(checked.number, column, _value(checked, name), message))
    if bearing is None or checked.wrong:
        return
    for doubt in entry_doubts(bearing):
        name = doubt_field(doubt)
        checked.questions.append(
            note(checked.number, BY_FIELD[name].name, _value(checked, name), doubt_sentence(doubt))
        )


def _value(checked: CheckedLine, name: str) -> str:
    value = checked.figures.get(name, checked.texts.get(name, ""))
    return value if isinstance(value, str) else f"{value:.10g}"


def differences(checked: CheckedLine) -> list[dict[str, Any]]:
    """Return what a line changes of a stored rating: column, old and new; None is "not entered", "-" not printed."""
    stored = checked.stored
    if stored is None:
        return []
    before: dict[str, Any] = {name: getattr(stored, name) or None for name in RATING_TEXTS}
    before |= {**rating_figures(stored), **dict.fromkeys(stored.not_printed, "-")}
    after: dict[str, Any] = {name: checked.texts[name] or None for name in RATING_TEXTS}
    after |= {**checked.figures, **dict.fromkeys(checked.not_printed, "-")}
    return [
        {"column": column.name, "old": before.get(name), "new": after.get(name)}
        for name, column in BY_FIELD.items()
        if before.get(name) != after.get(name)
    ]
