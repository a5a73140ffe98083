"""Sentences that ask about what is entered into the bearing book, with both figures."""

from __future__ import annotations

from django.utils.translation import gettext as _

from bearings.engineering.rating_plausibility import (
    BoundaryDoubt,
    EntryDoubt,
    EnvelopeDoubt,
    GeometryMistake,
    RatingDoubt,
)
from bearings.wording.figures import Figures, plain
from bearings.wording.labels import field_label


def doubt_field(doubt: EntryDoubt) -> str:
    """Return the field that a doubt stands beside."""
    return getattr(doubt, "field", "static_rating_n")


def doubt_sentence(doubt: EntryDoubt, figures: Figures | None = None) -> str:
    """Return what is doubtful, with the figure entered and the one that it is held against."""
    reader = figures or Figures(exact=True)
    if isinstance(doubt, RatingDoubt):
        return _rating(doubt, reader)
    if isinstance(doubt, EnvelopeDoubt):
        return _envelope(doubt, reader)
    if isinstance(doubt, BoundaryDoubt):
        return _boundary(doubt, reader)
    return _(
        "Static rating %(static)s is %(ratio)s times the dynamic rating %(dynamic)s; %(low)s to %(high)s is "
        "usual for this type. Check both figures and their units."
    ) % {
        "static": reader.force(doubt.static_n),
        "dynamic": reader.force(doubt.dynamic_n),
        "ratio": reader.ratio(doubt.ratio),
        "low": plain(doubt.low),
        "high": plain(doubt.high),
    }


def _unit_question(unit: str) -> str:
    return {
        "lbf": _("Is it in lbf?"),
        "kN": _("Is it in kN?"),
        "kgf": _("Is it in kgf?"),
    }[unit]


def _rating(doubt: RatingDoubt, reader: Figures) -> str:
    text = _("The %(field)s entered is %(entered)s; the balls suggest %(geometry)s (ratio %(ratio)s).") % {
        "field": field_label(doubt.field),
        "entered": reader.force(doubt.entered_n),
        "geometry": reader.force(doubt.geometry_n),
        "ratio": reader.ratio(doubt.ratio),
    }
    act = _("Check the figure, its unit, and the ball count and diameter.")
    return f"{text} {_unit_question(doubt.suspected) if doubt.suspected else act}"


def _envelope(doubt: EnvelopeDoubt, reader: Figures) -> str:
    text = _("The %(field)s entered is %(entered)s; about %(expected)s is usual for this size.") % {
        "field": field_label(doubt.field),
        "entered": reader.force(doubt.entered_n),
        "expected": reader.force(doubt.expected_n),
    }
    act = _("Check the figure, its unit and the sizes.")
    return f"{text} {_unit_question(doubt.suspected) if doubt.suspected else act}"


def _boundary(doubt: BoundaryDoubt, reader: Figures) -> str:
    text = _(
        "The %(field)s entered is %(entered)s; %(standard)s is standard for this designation (%(origin)s)."
    ) % {
        "field": field_label(doubt.field),
        "entered": reader.length(doubt.entered_mm),
        "standard": reader.length(doubt.standard_mm),
        "origin": doubt.origin,
    }
    in_inches = _("Is it in inches?")
    return f"{text} {in_inches}" if doubt.inches else text


def impossible_sentence(mistake: GeometryMistake) -> tuple[str, str]:
    """Return the field that balls which cannot be are refused at, and why, with what would be possible."""
    reader = Figures(exact=True)
    needed, there = reader.length(round(mistake.needed_mm, 3)), reader.length(round(mistake.there_mm, 3))
    if mistake.reason == "overlap":
        return "ball_count", _(
            "The balls would overlap: they need %(needed)s of the pitch circle; it has %(there)s. Enter fewer "
            "or smaller balls, or a larger pitch diameter."
        ) % {"needed": needed, "there": there}
    return "ball_diameter_mm", _(
        "A %(needed)s ball does not fit; there is room for %(there)s. Enter a smaller ball."
    ) % {"needed": needed, "there": there}
