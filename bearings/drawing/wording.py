"""What the drawing says, beside the section and to those who cannot see it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from django.utils.translation import gettext as _

from bearings.drawing.options import DrawingOptions, LoadLabel
from bearings.engineering.quantities import Bearing, BearingType, Carries, Guide, Item, Part
from bearings.wording.labels import choice_label

Tone = Literal["down", "up", "plain", "soft", "stop"]


@dataclass(frozen=True, slots=True)
class Row:
    """One line of words: its tone decides weight and hue, never the meaning alone."""

    text: str
    tone: Tone


def type_name(kind: BearingType) -> str:
    """Return the trade's name of a bearing type."""
    return choice_label(kind)


def part_name(part: Part) -> str:
    """Return what a part is, with the side of a shoulder when it is known."""
    if part.kind == "shoulder":
        if part.ring == "inner":
            return _("flange of the mount")
        return _("housing shoulder") if part.ring == "outer" else _("shoulder")
    names = {
        "spacer": _("spacer"),
        "shim": _("shim"),
        "snap_ring": _("snap ring"),
        "lock_nut": _("lock nut"),
        "lock_washer": _("lock washer"),
        "spring_pack": _("spring pack"),
        "slinger": _("slinger"),
    }
    return names[part.kind]


def ring_words(part: Part) -> str:
    """Return what a part sits against; empty where the kind alone says it."""
    if part.kind in ("lock_nut", "lock_washer", "slinger") and part.ring in (None, "inner"):
        return ""
    if part.kind == "shoulder" and part.ring in ("inner", "outer"):
        return ""
    if part.kind == "snap_ring" and part.ring is not None:
        return _("in mount groove") if part.ring == "inner" else _("in housing groove")
    if part.ring is None:
        return _("ring not recorded")
    if part.ring == "inner":
        return _("inner ring only")
    return _("outer ring only") if part.ring == "outer" else _("inner and outer ring")


def carries_words(carries: Carries) -> str:
    """Return the direction that is carried, the word in capitals."""
    if carries == "down":
        return _("carries DOWN thrust")
    if carries == "up":
        return _("carries UP thrust")
    return _("carries thrust both ways") if carries == "both" else _("carries no thrust")


def face_words(bearing: Bearing) -> str:
    """Return how the bearing lies."""
    if bearing.type == "angular_contact_ball":
        if bearing.wide_face is None:
            return _("wide face not recorded")
        return _("wide face down") if bearing.wide_face == "down" else _("wide face up")
    if bearing.type == "spherical_roller_thrust":
        if bearing.wide_face is None:
            return _("housing washer side not recorded")
        return _("housing washer down") if bearing.wide_face == "down" else _("housing washer up")
    return type_name(bearing.type)


def _direction_row(carries: Carries) -> Row:
    if carries in ("down", "up"):
        return Row(carries_words(carries), "down" if carries == "down" else "up")
    return Row(carries_words(carries), "plain")


def identity(bearing: Bearing) -> str:
    """Return designation, maker and mark on one line, as far as they are recorded."""
    known = [bearing.designation, bearing.maker, bearing.variant]
    if bearing.mark:
        known.append(_("mark %(mark)s") % {"mark": bearing.mark})
    elif bearing.serial:
        known.append(_("serial %(serial)s") % {"serial": bearing.serial})
    return " · ".join(part for part in known if part)


def load_words(load: LoadLabel, options: DrawingOptions) -> str:
    """Return what a bearing carries in the case that is drawn, and what it carries warm where that differs."""
    force = options.force_text(load.axial_n)
    cold = _("unloaded") if load.unloaded else _("takes %(force)s") % {"force": force}
    if load.warm_n is None:
        return cold
    warm = _("unloaded") if load.warm_n < 1.0 else options.force_text(load.warm_n)
    if warm == (_("unloaded") if load.unloaded else force):
        return cold
    return _("%(cold)s, warm %(warm)s") % {"cold": cold if load.unloaded else force, "warm": warm}


def short_load_words(load: LoadLabel, options: DrawingOptions) -> list[str]:
    """Return the same where there is no column of words, line by line: the force alone, of an idle bearing more."""
    if not load.unloaded and load.axial_n > 0:
        return [options.force_text(load.axial_n)]
    if load.warm_n is None or load.warm_n < 1.0:
        return [_("unloaded")]
    return [_("unloaded"), _("warm %(force)s") % {"force": options.force_text(load.warm_n)}]


def bearing_rows(bearing: Bearing, options: DrawingOptions) -> list[Row]:
    """Return direction and lie of a bearing of the stack; the card adds which bearing it is."""
    if bearing.is_one_way and bearing.wide_face is None:
        rows = [Row(_("direction NOT KNOWN"), "plain")]
    else:
        rows = [_direction_row(bearing.carries)]
    rows.append(Row(face_words(bearing), "soft"))
    if options.size == "card" and identity(bearing):
        rows.insert(0, Row(identity(bearing), "plain"))
    return rows


def part_rows(part: Part, options: DrawingOptions) -> list[Row]:
    """Return name and place of a part; the card adds its height and note."""
    pieces = [part_name(part), ring_words(part)]
    if options.size == "card" and part.height_mm is not None:
        pieces.append(options.length_text(part.height_mm))
    rows = [Row(", ".join(piece for piece in pieces if piece), "soft")]
    if options.size == "card" and part.note and part.note != part_name(part):
        rows.append(Row(part.note, "soft"))
    return rows


def guide_rows(guide: Guide, options: DrawingOptions) -> list[Row]:
    """Return what a guide carries and its end play."""
    rows = [
        _direction_row(guide.carries),
        Row(_("guide: %(type)s") % {"type": type_name(guide.bearing.type)}, "soft"),
    ]
    if guide.end_play_um is not None:
        play = options.length_text(guide.end_play_um / 1000)
        rows.append(Row(_("end play %(play)s") % {"play": play}, "soft"))
    if options.size == "card" and identity(guide.bearing):
        rows.insert(0, Row(identity(guide.bearing), "plain"))
    return rows


def net_words(net_axial_n: float, options: DrawingOptions) -> str:
    """Return the whole thrust of the case that is drawn."""
    force = options.force_text(abs(net_axial_n))
    if net_axial_n < 0:
        return _("net thrust %(force)s UP") % {"force": force}
    return _("net thrust %(force)s DOWN") % {"force": force}


def item_sentence(ref: str, item: Item | Guide, load: LoadLabel | None, options: DrawingOptions) -> str:
    """Return one item in words: number, what it is, how it lies, what it carries, how it differs."""
    if isinstance(item, Part):
        pieces = [part_name(item), ring_words(item)]
    elif isinstance(item, Guide):
        pieces = [
            _("guide"),
            type_name(item.bearing.type),
            identity(item.bearing),
            carries_words(item.carries),
        ]
    else:
        direction = (
            _("direction NOT KNOWN")
            if item.is_one_way and item.wide_face is None
            else carries_words(item.carries)
        )
        lie = face_words(item) if item.is_one_way else ""
        pieces = [type_name(item.type), identity(item), lie, direction]
        if item.spring_force_n is not None or item.spring_rate_n_per_mm is not None:
            pieces.append(_("on springs"))
    if load is not None:
        pieces.append(load_words(load, options))
    pieces.append(options.marks.get(ref, ""))
    return f"{ref}: " + ", ".join(piece for piece in pieces if piece)


def whole_in_words(
    items: Sequence[tuple[str, Item | Guide]],
    loads: Mapping[str, LoadLabel],
    net_axial_n: float | None,
    options: DrawingOptions,
) -> str:
    """Return the whole arrangement, from the top of the mount downwards."""
    sentences = [item_sentence(ref, item, loads.get(ref), options) for ref, item in items]
    if net_axial_n is not None:
        sentences.append(net_words(net_axial_n, options))
    return _("From the top of the mount:") + " " + ". ".join(sentences) + "."
