"""What the page of a match shows: candidates in their order, reasons in words, charts of the first ones."""

from __future__ import annotations

from typing import Any, Final

from django.core.paginator import Page, Paginator
from django.http import QueryDict
from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from bearings.public import (
    ORDERS,
    ChartOptions,
    Figures,
    LifeBar,
    Match,
    MotorSpeed,
    Reason,
    SpeedBar,
    Stack,
    Units,
    arrangement_sentence,
    candidate_sentence,
    candidate_sentences,
    check_stack,
    field_label,
    life_bars,
    plain,
    shared_reasons,
    speed_chart,
    speed_label,
    type_name,
)
from repairs.office.match_forms import ORDER_WORDS
from repairs.office.match_question import Answer, Question, asked_bearing, set_count
from repairs.office.range_charts import life_limits
from repairs.people.models import User

PAGE: Final = 50
DRAWN: Final = 10
NOT_ASKED: Final = ("c", "page", "csrfmiddlewaretoken")
Row = dict[str, object]


def answer_context(answer: Answer, user: User, page: str | None) -> dict[str, object]:
    """Return everything that the page says of a question that was answered."""
    units = user.unit_system
    shown = Paginator(answer.matches, PAGE).get_page(page)
    shared = shared_reasons(answer.matches) if len(answer.matches) > 1 else ()
    rows = match_rows(answer, shown, units, shared)
    counts = {
        verdict: sum(match.verdict == verdict for match in answer.matches)
        for verdict in ("fits", "not_checked", "refused")
    }
    return {
        "page_obj": shown,
        "groups": [
            (verdict, counts[verdict], _folded([row for row in rows if row["verdict"] == verdict]))
            for verdict in counts
        ],
        "count": len(answer.matches),
        "fitting": counts["fits"],
        "shared": [
            {
                "severity": "stop" if reason.finding else "not_proven",
                "title": candidate_sentence(reason, units),
            }
            for reason in shared
        ],
        "orders": [(name, ORDER_WORDS[name], name == answer.question.order) for name in ORDERS],
        "charts": charts_of(answer),
        "drawn": min(DRAWN, len(answer.matches)),
        **question_context(answer.question, units),
    }


def question_context(question: Question, units: Units) -> dict[str, object]:
    """Return what was asked, in words."""
    place, figures, asked = question.place, Figures(units), asked_bearing(question)
    count = set_count(question)
    pattern = check_stack(place.pattern)
    sizes = (place.bore_mm, place.outside_diameter_mm, place.height_mm)
    return {
        "envelope": " × ".join("?" if size is None else plain(size) for size in sizes) + "\u00a0mm",
        "asked_type": type_name(asked.type),
        "asked_angle": asked.contact_angle_deg,
        "set_count": count,
        "set_words": arrangement_sentence(pattern.arrangement),
        "unlike_record": question.unlike_record,
        "stand_out": figures.small_length(place.pattern.policy.tandem_stand_out_um),
    }


def hidden_pairs(query: QueryDict) -> list[tuple[str, str]]:
    """Return the question as hidden fields of a form that asks for more of it."""
    return [(name, value) for name, values in query.lists() if name not in NOT_ASKED for value in values]


def question_string(query: QueryDict) -> str:
    """Return the question as an address carries it, without what was chosen on the page."""
    kept = query.copy()
    for name in NOT_ASKED:
        kept.pop(name, None)
    return kept.urlencode()


def match_rows(answer: Answer, page: Page[Match], units: Units, shared: tuple[Reason, ...]) -> list[Row]:
    """Return the lines of one page, numbered through all of them; what holds of every candidate is not repeated."""
    first = page.start_index()
    return [
        _row(answer, match, number, Figures(units), shared)
        for number, match in enumerate(page.object_list, max(first, 1))
    ]


def _row(answer: Answer, match: Match, number: int, figures: Figures, shared: tuple[Reason, ...]) -> Row:
    book = answer.books[match.candidate.key]
    return {
        "number": number,
        "book": book,
        "inside": " · ".join(word for word in (book.variant, book.cage) if word),
        "verdict": match.verdict,
        "flag": flag_of(match),
        "permissible": _known(match.permissible_rpm, figures.speed),
        "margin": _known(match.margin, figures.percent),
        "margin_at": speed_label(match.margin_at) if match.margin_at else "",
        "l10h": _known(match.l10h, figures.hours),
        "l10mh": _known(match.l10mh, figures.hours),
        "static": _known(match.static_safety, figures.ratio),
        "height": difference_words(match.height_difference_mm, figures),
        "refusals": _sentences(match.refusals, figures, shared),
        "missing": look_ups(match, figures.units, shared),
        "warnings": _sentences(match.warnings, figures, ()),
        "usable": match.verdict != "refused",
    }


def look_ups(match: Match, units: Units, shared: tuple[Reason, ...]) -> list[str]:
    """Say what to look up of the bearing and what to enter of the motor, each once; other gaps in their own words."""
    own = [one for one in match.missing if one not in shared]
    of_bearing: dict[str, None] = {}
    of_motor: dict[str, None] = {}
    others = []
    for reason in own:
        gap = reason.not_checked
        if gap is None or gap.reason != "missing":
            others.append(reason)
            continue
        names: Any = gap.params.get("fields") or ()
        told = of_motor if gap.params.get("ref") is None else of_bearing
        told |= dict.fromkeys(field_label(str(name)).partition(",")[0] for name in names)
    lines = []
    if of_bearing:
        lines.append(_("Look up or measure for the bearing: {fields}.").format(fields=", ".join(of_bearing)))
    if of_motor:
        lines.append(_("Enter for motor and oil: {fields}.").format(fields=", ".join(of_motor)))
    return lines + candidate_sentences(others, units)


def _folded(rows: list[Row]) -> list[Row]:
    """Return rows with older editions of a bearing under its newest one, where that has the same verdict."""
    newest: dict[tuple[object, ...], Row] = {}
    kept = []
    for row in rows:
        book: Any = row["book"]
        if not book.older_edition:
            newest.setdefault(_same_bearing(row), row)
    for row in rows:
        head = newest.get(_same_bearing(row))
        if head is None or head is row:
            kept.append(row)
        else:
            older: Any = head.setdefault("older", [])
            older.append(row)
    return kept


def _same_bearing(row: Row) -> tuple[object, ...]:
    book: Any = row["book"]
    return row["verdict"], book.designation, book.maker, book.variant, book.cage


def _known(value: float | None, written: Any) -> str:
    return "–" if value is None else str(written(value))


def _sentences(reasons: tuple[Reason, ...], figures: Figures, shared: tuple[Reason, ...]) -> list[str]:
    return candidate_sentences((one for one in reasons if one not in shared), figures.units)


def flag_of(match: Match) -> tuple[str, str]:
    """Return the verdict as a severity and a word."""
    if match.verdict == "refused":
        return "stop", _("refused")
    if match.verdict == "not_checked":
        return "not_proven", ""
    if match.warnings:
        count = len(candidate_sentences(match.warnings))
        return "warn", ngettext("fits, {count} warning", "fits, {count} warnings", count).format(count=count)
    return "ok", _("fits")


def difference_words(difference: float | None, figures: Figures) -> str:
    """Say how much higher or lower than its space the set is."""
    if difference is None:
        return "–"
    if difference == 0:
        return _("none")
    words = _("{length} higher") if difference > 0 else _("{length} lower")
    return words.format(length=figures.length(abs(difference)))


# Charts


def motor_speeds(stack: Stack) -> list[MotorSpeed]:
    """Return the motor's known speeds; of the candidates' bars the reverse speed is no measure."""
    motor = stack.motor
    known = {
        "rated": motor.rated_speed_rpm,
        "synchronous": motor.synchronous_speed_rpm,
        "maximum": motor.maximum_speed_rpm,
        "reverse": None if motor.non_reverse else motor.reverse_speed_rpm,
    }
    return [
        MotorSpeed(speed_label(name), speed, compared=name != "reverse")
        for name, speed in known.items()
        if speed is not None
    ]


def charts_of(answer: Answer) -> list[tuple[str, SafeString]]:
    """Return (heading, chart) of the first candidates of the ranking."""
    pattern = answer.question.place.pattern
    first = [
        (f"{number}  {answer.books[match.candidate.key].designation}", match)
        for number, match in enumerate(answer.matches[:DRAWN], 1)
    ]
    if not first:
        return []
    speeds = speed_chart(
        [SpeedBar(label, match.permissible_rpm) for label, match in first],
        motor_speeds(pattern),
        options=ChartOptions(id_prefix="match-speeds"),
    )
    lives = life_bars(
        [LifeBar(label, match.l10h) for label, match in first],
        life_limits(pattern),
        options=ChartOptions(id_prefix="match-lives"),
    )
    # Made by bearings.charts, which escapes every text.
    return [
        (_("Set allowable speed vs. motor speed"), mark_safe(speeds)),
        (_("Set life (L10)"), mark_safe(lives)),
    ]
