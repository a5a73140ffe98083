"""Damage in words: each mode with a short definition of ours beside it, the heads, where the terms come from."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final, NamedTuple, Union

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from repairs.measurements.engineering.tables.damage_modes import (
    BY_CODE,
    HEADS_SOURCE,
    NONE,
    UNDETERMINED,
)

if TYPE_CHECKING:
    from django.utils.functional import _StrPromise

Text = Union[str, "_StrPromise"]


class ModeWords(NamedTuple):
    """What a mode is called, and what one sees."""

    name: Text
    seen: Text


HEADS: Final[dict[str, Text]] = {
    "5.1": gettext_lazy("Rolling contact fatigue"),
    "5.2": gettext_lazy("Wear"),
    "5.3": gettext_lazy("Corrosion"),
    "5.4": gettext_lazy("Electrical erosion"),
    "5.5": gettext_lazy("Plastic deformation"),
    "5.6": gettext_lazy("Cracking and fracture"),
    "": gettext_lazy("No mode of the standard"),
}
# Definitions of ours, not the standard's sentences. What one sees, never why.
MODES: Final[dict[str, ModeWords]] = {
    NONE: ModeWords(gettext_lazy("No damage found"), gettext_lazy("Checked, and nothing seen.")),
    "5.1.2": ModeWords(
        gettext_lazy("Subsurface-initiated fatigue"),
        gettext_lazy("Flakes or pits with sharp edges in a smooth load track. They start under the surface."),
    ),
    "5.1.3": ModeWords(
        gettext_lazy("Surface-initiated fatigue"),
        gettext_lazy("Fine cracks and shallow flakes in a dull, frosted track. They start at the surface."),
    ),
    "5.2.2": ModeWords(
        gettext_lazy("Abrasive wear"),
        gettext_lazy(
            "Material worn off by hard particles. Surfaces are dull or polished, clearance is larger."
        ),
    ),
    "5.2.3": ModeWords(
        gettext_lazy("Adhesive wear"),
        gettext_lazy("Smeared or torn surfaces: material moved from one part to the other."),
    ),
    "5.3.2": ModeWords(
        gettext_lazy("Moisture corrosion"),
        gettext_lazy("Rust or dark etched spots, often in lines at ball or roller spacing."),
    ),
    "5.3.3": ModeWords(
        gettext_lazy("Frictional corrosion"),
        gettext_lazy("Oxide where two parts rubbed in place. Fretting or false brinelling, not clear which."),
    ),
    "5.3.3.2": ModeWords(
        gettext_lazy("Fretting corrosion"),
        gettext_lazy("Red-brown or black oxide on bore, outside diameter or face, where the ring sits."),
    ),
    "5.3.3.3": ModeWords(
        gettext_lazy("False brinelling"),
        gettext_lazy("Dull hollows at ball or roller spacing, worn in while the bearing stood still."),
    ),
    "5.4.2": ModeWords(
        gettext_lazy("Excessive current erosion"),
        gettext_lazy("Single craters or burned, melted spots where current passed."),
    ),
    "5.4.3": ModeWords(
        gettext_lazy("Current leakage erosion"),
        gettext_lazy("Many tiny craters close together: gray tracks, later even flutes across the track."),
    ),
    "5.5.2": ModeWords(
        gettext_lazy("Overload deformation"),
        gettext_lazy(
            "Dents at ball or roller spacing, or a bent part. Grinding marks still show in the dents."
        ),
    ),
    "5.5.3": ModeWords(
        gettext_lazy("Indentations from particles"),
        gettext_lazy("Scattered dents of many sizes, rolled in by particles."),
    ),
    "5.6.2": ModeWords(
        gettext_lazy("Forced fracture"),
        gettext_lazy("Broken at once. The break is coarse and has no arrest lines."),
    ),
    "5.6.3": ModeWords(
        gettext_lazy("Fatigue fracture"),
        gettext_lazy("A crack that grew with many load cycles. Arrest lines lead to the final break."),
    ),
    "5.6.4": ModeWords(
        gettext_lazy("Thermal cracking"),
        gettext_lazy("Fine cracks across the direction of sliding, mostly with heat colors."),
    ),
    UNDETERMINED: ModeWords(
        gettext_lazy("Damaged, mode not determined"),
        gettext_lazy("Damage is there, but which kind is not clear."),
    ),
}


def mode_words(code: str, *, with_code: bool = True) -> str:
    """Return a mode in words, with its subclause: Abrasive wear (5.2.2)."""
    words = str(MODES[code].name) if code in MODES else code
    numbered = with_code and code in BY_CODE and BY_CODE[code].source is not None
    return _("{mode} ({clause})").format(mode=words, clause=code) if numbered else words


def terms_source() -> str:
    """Say where the terms come from and how sure their numbers are."""
    standard = f"{HEADS_SOURCE.standard}:{HEADS_SOURCE.edition}"
    return _(
        "Terms of {standard}: heads as restated in a secondary copy, subclause numbers from memory, "
        "unverified. Descriptions in our own words."
    ).format(standard=standard)
