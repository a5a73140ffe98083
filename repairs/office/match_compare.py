"""Candidates side by side: what each is, what its source prints, what its stack would do, and where they differ."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Final, NamedTuple

from django.utils.safestring import SafeString, mark_safe
from django.utils.text import capfirst
from django.utils.translation import gettext as _

from bearings.public import (
    Assessment,
    BookCandidate,
    Figures,
    Match,
    Units,
    arrangement_sentence,
    candidate_sentences,
    check_stack,
    choice_label,
    chosen_candidates,
    field_label,
    field_spec,
    match_candidates,
    speed_label,
    stack_with,
    type_name,
)
from repairs.edge.numbers import row_key
from repairs.motors.spec_figures import figure_of
from repairs.office.match_page import difference_words, flag_of
from repairs.office.match_question import Question, asked_bearing
from repairs.people.models import User
from repairs.work_orders.picturing import loads_of, picture

FEWEST, MOST = 2, 4
PRINTED: Final = (
    "contact_angle_deg",
    "bore_mm",
    "outside_diameter_mm",
    "height_mm",
    "dynamic_rating_n",
    "static_rating_n",
    "fatigue_load_limit_n",
    "limiting_speed_rpm",
    "reference_speed_rpm",
    "oil_speed_rpm",
    "grease_speed_rpm",
    "minimum_load_factor_n",
    "ball_count",
    "ball_diameter_mm",
    "pair_preload_n",
    "cage_material",
    "temperature_limit_c",
    "stabilised_to_c",
)


class Compared(NamedTuple):
    """One candidate with what came of it; the answer of its stack where it is of the pattern's type."""

    book: BookCandidate
    match: Match
    assessment: Assessment | None


class Line(NamedTuple):
    """One line of the comparison: what it tells, of each candidate, and whether they differ in it."""

    label: str
    cells: list[str]
    differs: bool


def chosen_keys(texts: Sequence[str]) -> list[int]:
    """Return the keys that were ticked, each once; what is no key is left out."""
    return [key for key in dict.fromkeys(map(row_key, texts)) if key]


def refused_choice(keys: list[int]) -> str:
    """Return why so many cannot be compared; an empty text when they can."""
    if FEWEST <= len(keys) <= MOST:
        return ""
    words = _("{count} selected. Select two to four candidates.")
    return words.format(count=len(keys))


def comparison_context(question: Question, keys: list[int], user: User) -> dict[str, object]:
    """Return candidates side by side, in the order in which they were chosen."""
    units = user.unit_system
    compared = _compared(question, keys)
    figures = Figures(units)
    return {
        "columns": [_column(one, units) for one in compared],
        "tables": [
            (_("Bearing"), _lines(compared, _identity())),
            (_("Published figures"), _lines(compared, _printed(units))),
            (_("In this stack"), _lines(compared, _in_the_stack(question, figures))),
        ],
    }


def _compared(question: Question, keys: list[int]) -> list[Compared]:
    books = chosen_candidates(keys)
    matches = match_candidates(question.place, [book.candidate for book in books])
    asked = asked_bearing(question).type
    found = []
    for book, match in zip(books, matches, strict=True):
        bearing = book.candidate.bearing
        same = bearing.type == asked
        answer = check_stack(stack_with(question.place.pattern, bearing)) if same else None
        found.append(Compared(book, match, answer))
    return found


def _column(one: Compared, units: Units) -> dict[str, object]:
    return {
        "book": one.book,
        "flag": flag_of(one.match),
        "usable": one.match.verdict != "refused",
        "drawing": _drawing(one, units),
        "refusals": candidate_sentences(one.match.refusals, units),
        "missing": candidate_sentences(one.match.missing, units),
        "warnings": candidate_sentences(one.match.warnings, units),
        "unchecked": len(one.assessment.not_checked) if one.assessment else 0,
    }


def _drawing(one: Compared, units: Units) -> SafeString:
    if one.assessment is None:
        return SafeString()
    drawing = picture(
        one.assessment.stack,
        loads=loads_of(one.assessment),
        units=units,
        prefix=f"candidate-{one.book.pk}",
        size="compact",
        summary=arrangement_sentence(one.assessment.arrangement),
    )
    return mark_safe(drawing)  # the drawing escapes every text


Tell = Callable[[Compared], str]
Told = list[tuple[str, Tell]]


def _lines(compared: list[Compared], told: Told) -> list[Line]:
    """Return the lines of one table; a line that is empty for everybody is left out."""
    lines = []
    for label, tell in told:
        cells = [tell(one) for one in compared]
        if any(cell not in {"", "–"} for cell in cells):
            lines.append(Line(label, [cell or "–" for cell in cells], len(set(cells)) > 1))
    return lines


def _identity() -> Told:
    return [
        (_("Maker"), lambda one: one.book.maker),
        (_("Designation"), lambda one: one.book.designation),
        (_("Variant"), lambda one: one.book.variant),
        (_("Cage"), lambda one: one.book.cage),
        (_("Source"), lambda one: one.book.title),
        (_("Edition"), lambda one: _edition(one.book)),
        (_("Type"), lambda one: type_name(one.book.candidate.bearing.type)),
    ]


def _edition(book: BookCandidate) -> str:
    return _("{edition} (older edition)").format(edition=book.edition) if book.older_edition else book.edition


def _printed(units: Units) -> Told:
    return [(_with_unit(name, units), _figure(name, units)) for name in PRINTED]


def _with_unit(name: str, units: Units) -> str:
    label, unit = capfirst(field_label(name)), figure_of(field_spec("bearing", name), units).sign
    return f"{label}, {unit}" if unit else label


def _figure(name: str, units: Units) -> Tell:
    figure = figure_of(field_spec("bearing", name), units)

    def tell(one: Compared) -> str:
        value = getattr(one.book.candidate.bearing, name)
        if value is None:
            return _("not in the book")
        return choice_label(value) if isinstance(value, str) else figure.number(value)

    return tell


def _in_the_stack(question: Question, figures: Figures) -> Told:
    return [
        (
            _("Set height difference"),
            lambda one: difference_words(one.match.height_difference_mm, figures),
        ),
        (_("Set allowable speed"), _matched("permissible_rpm", figures.speed)),
        *(
            (_("Margin, {name}").format(name=speed_label(name)), _margin(name, figures))
            for name in _asked(question)
        ),
        (_("Set life (L10)"), _matched("l10h", figures.hours)),
        (_("Set adjusted life (L10m)"), _matched("l10mh", figures.hours)),
        (_("Minimum static safety"), _matched("static_safety", figures.ratio)),
        (_("Net thrust that unloads a bearing"), lambda one: _unloading(one, figures)),
        (_("Set friction"), lambda one: _friction(one, figures)),
    ]


def _asked(question: Question) -> list[str]:
    """Return the names of the motor's speeds that a margin is told of."""
    motor = question.place.pattern.motor
    names = ("rated", "synchronous", "maximum", *(() if motor.non_reverse else ("reverse",)))
    return [name for name in names if getattr(motor, f"{name}_speed_rpm") is not None]


def _matched(name: str, written: Callable[[float | None], str]) -> Tell:
    def tell(one: Compared) -> str:
        value = getattr(one.match, name)
        return _("not checked") if value is None else written(value)

    return tell


def _margin(name: str, figures: Figures) -> Tell:
    def tell(one: Compared) -> str:
        margins = one.assessment.speed.margins if one.assessment else ()
        known = next((row.margin for row in margins if row.speed == name), None)
        return _("not checked") if known is None else figures.percent(known)

    return tell


def _unloading(one: Compared, figures: Figures) -> str:
    thrust = one.assessment.unloading_thrust_n if one.assessment else None
    return "–" if thrust is None else figures.force(thrust)


def _friction(one: Compared, figures: Figures) -> str:
    friction = one.assessment.thermal.friction_w if one.assessment else None
    return _("not checked") if friction is None else figures.power(friction)
