"""From what was asked to a place that candidates are tried in, and from a record to the question that it puts."""

from __future__ import annotations

from dataclasses import dataclass
from math import isclose
from typing import Any, Final, cast
from urllib.parse import urlencode

from django.utils.translation import gettext as _

from bearings.public import (
    Bearing,
    BookCandidate,
    Match,
    Order,
    Place,
    Rating,
    Stack,
    StackFileError,
    TooManyCandidatesError,
    book_candidates,
    field_label,
    field_spec,
    grouped,
    match_candidates,
    parse_stack,
    ranked,
    rating_figures,
    set_bearing,
    set_places,
)
from repairs.motors.spec_figures import figure_of
from repairs.office.match_forms import (
    ENVELOPE,
    FACES,
    LOADS,
    MOTOR_FIELDS,
    OIL,
    SPEEDS,
    MatchForm,
)
from repairs.work_orders.judging import faces_unknown, shop_limits, stack_file_of
from repairs.work_orders.models import StackRecord

# Trying one costs about half a millisecond; beyond this the page would keep a person waiting.
MOST_TRIED: Final = 2_000
Values = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Question:
    """What is asked, read and good: where candidates are to stand, and in which order they are shown.

    ``unlike_record`` names what was changed here from the record's own motor and oil.
    """

    place: Place
    order: Order
    record: StackRecord | None
    unlike_record: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Answer:
    """Every rating of the envelope, tried and in its order."""

    question: Question
    matches: list[Match]
    books: dict[int, BookCandidate]


def prefilled(record: StackRecord, units: str) -> dict[str, str]:
    """Return the question that a record puts: its set's envelope, and its motor's speeds, thrusts and oil."""
    data = stack_file_of(record, record.job.motor, {})
    asked = {"record": str(record.pk), "sort": "margin", "tolerance_mm": "0", "units": units}
    for name in (*MOTOR_FIELDS, *OIL):
        value = {**data["lubrication"], **data["motor"]}.get(name)
        if value is True:
            asked[name] = "on"
        elif value is not None and value is not False:
            room: Any = "motor" if name in MOTOR_FIELDS else "lubrication"
            figure = figure_of(field_spec(room, name), units)
            asked[name] = value if isinstance(value, str) else figure.text(value)
    return {**_envelope_of(record), **asked}


def _envelope_of(record: StackRecord) -> dict[str, str]:
    """Return the sizes of the set, as far as its bearings agree on them."""
    bearings = [entry["data"] for entry in record.items if entry["data"].get("kind") == "bearing"]
    leading = next((one for one in bearings if one.get("wide_face")), bearings[0] if bearings else {})
    own = [one for one in bearings if one.get("type") == leading.get("type")]
    sizes = {name: {one.get(name) for one in own} for name in ENVELOPE}
    return {name: f"{one:.12g}" for name, found in sizes.items() if len(found) == 1 and (one := found.pop())}


def envelope_query(rating: Rating) -> str:
    """Return the beginning of a question as an address carries it: a rating's envelope, type and contact angle."""
    figures = {**rating_figures(rating), "type": rating.type}
    names = (*ENVELOPE, "contact_angle_deg", "type")
    known = {name: figures[name] for name in names if name in figures}
    return urlencode({name: one if isinstance(one, str) else f"{one:.12g}" for name, one in known.items()})


def read_question(form: MatchForm, record: StackRecord | None) -> Question | None:
    """Return the question of a form, or nothing when the form now says what is wrong with it."""
    if not form.is_valid():
        return None
    asked, values = form.cleaned_data, _base_values(form, record)
    known = {**values["motor"], **values["lubrication"]}
    unlike = _unlike(known, asked) if record else ()
    for room, names in (("motor", MOTOR_FIELDS), ("lubrication", OIL)):
        kept = {name: value for name, value in values[room].items() if name not in names}
        given = {name: asked[name] for name in names if _is_given(asked[name])}
        values[room] = {**kept, **given}
    if "maximum_speed_rpm" not in values["motor"]:
        # A question without a drive's speed is one about a motor across the line.
        values["motor"].setdefault("fixed_speed", True)
    pattern = _pattern(form, record, values)
    if pattern is None:
        return None
    place = Place(
        pattern=pattern,
        bore_mm=asked["bore_mm"],
        outside_diameter_mm=asked["outside_diameter_mm"],
        height_mm=asked["height_mm"],
        tolerance_mm=asked["tolerance_mm"] or 0.0,
    )
    return Question(place, cast("Order", asked["sort"]), record, unlike)


def _base_values(form: MatchForm, record: StackRecord | None) -> Values:
    limits = shop_limits()
    if record is not None:
        return stack_file_of(record, record.job.motor, limits)
    one: Values = {"kind": "bearing", "type": form.cleaned_data["type"]}
    if form.cleaned_data["contact_angle_deg"] is not None:
        one["contact_angle_deg"] = form.cleaned_data["contact_angle_deg"]
    if form.cleaned_data["type"] == "angular_contact_ball":
        # A set is ordered as one: ground to be paired, none of it in the shop yet to be measured.
        one["pairing"] = "universal"
    items = [{**one, "wide_face": FACES[letter]} for letter in form.faces()]
    values: Values = {"stack_file": 2, "motor": {}, "lubrication": {}, "items": items}
    return {**values, "policy": limits} if limits else values


def _pattern(form: MatchForm, record: StackRecord | None, values: Values) -> Stack | None:
    if record is not None and (unknown := faces_unknown(record)):
        words = _("Face of bearing {refs} not recorded. Record the face first, then match.")
        form.add_error(None, words.format(refs=", ".join(unknown)))
        return None
    try:
        pattern = parse_stack(values)
    except StackFileError as error:
        for mistake in error.mistakes:
            room, _dot, name = mistake.field.rpartition(".")
            beside = name if room in {"motor", "lubrication"} and name in form.fields else None
            form.add_error(beside, mistake.message if beside else f"{mistake.field}: {mistake.message}")
        return None
    if not set_places(pattern):
        form.add_error(None, _("No thrust bearing in the record. Record the bearings first."))
        return None
    return pattern


def _unlike(known: Values, asked: Values) -> tuple[str, ...]:
    """Return the names of what is asked otherwise than the record's motor and oil have it."""
    names = (*SPEEDS, *LOADS, *OIL)
    return tuple(field_label(name) for name in names if not _alike(known.get(name), asked[name]))


def _is_given(asked: Any) -> bool:
    """Whether something was typed, chosen or ticked; a typed zero is."""
    return asked is not None and asked != "" and asked is not False


def _alike(known: Any, asked: Any) -> bool:
    if isinstance(known, int | float) and isinstance(asked, int | float):
        return isclose(known, asked, rel_tol=1e-4)
    return bool(known == asked) if _is_given(asked) else known is None


def answer_question(form: MatchForm, question: Question) -> Answer | None:
    """Try every rating of the envelope, or say in the form that there are too many."""
    place = question.place
    try:
        found = book_candidates(
            bore_mm=place.bore_mm, outside_diameter_mm=place.outside_diameter_mm, most=MOST_TRIED
        )
    except TooManyCandidatesError:
        words = _("More than {most} bearings have this size, too many to try at once. {what}")
        what = _("Enter the outside diameter.") if place.outside_diameter_mm is None else ""
        form.add_error("outside_diameter_mm", words.format(most=grouped(MOST_TRIED), what=what).strip())
        return None
    matches = match_candidates(place, [one.candidate for one in found])
    return Answer(question, ranked(matches, question.order), {one.pk: one for one in found})


def set_count(question: Question) -> int:
    """Return how many bearings the set has."""
    return len(set_places(question.place.pattern))


def asked_bearing(question: Question) -> Bearing:
    """Return the bearing that the pattern has at the topmost place of its set."""
    bearing = set_bearing(question.place.pattern)
    if bearing is None:
        raise ValueError("a question is read with a set")
    return bearing
