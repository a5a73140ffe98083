"""A fit in words: its range, what it does to the bearing, the heat to mount it; each figure with its source."""

from __future__ import annotations

from decimal import Decimal
from typing import Final

from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from bearings.public import (
    GROWTH_SHARE,
    RING_DIFFERENCE_K,
    Figures,
    FitBar,
    FitRange,
    SeatFits,
    Spread,
    Units,
    heating,
    plain,
    preload_change,
    raceway_growth,
)
from repairs.measurements.models import SeatRecord
from repairs.measurements.seat_judging import fits_of
from repairs.measurements.seat_words import small_text

# The ceilings that the words below name.
_CEILINGS_C: Final = {"sealed": 80, "usual": 110, "highest": 120}
_HEAT: Final[dict[str, str | Promise]] = {
    "no_heat": gettext_lazy("The ring is loose on this seat. No heat needed."),
    "within": gettext_lazy(
        "At most {sealed}, which a sealed or greased bearing also tolerates (common practice, no source)."
    ),
    "above_sealed": gettext_lazy(
        "Above {sealed}: not for a sealed or greased bearing (common practice, no source). At most {usual}, the usual "
        "ceiling (common practice, no source)."
    ),
    "above_normal": gettext_lazy(
        "Above {usual}, the usual ceiling (common practice, no source). Not above {highest} (a secondary source), and "
        "only where the bearing's maker allows it."
    ),
    "above_ceiling": gettext_lazy(
        "Above {highest}, which harms the ring (a secondary source). Heat alone will not "
        "do: check the fit again, or cool the shaft."
    ),
}


def fit_text(fit: FitRange | None, units: Units) -> str:
    """Return a range of fit in words: from the loosest to the tightest."""
    if fit is None:
        return _("not known")
    if fit.tightest_um == fit.loosest_um:
        return one_text(fit.tightest_um, units)
    return _("{loosest} to {tightest}").format(
        loosest=one_text(fit.loosest_um, units), tightest=one_text(fit.tightest_um, units)
    )


def one_text(interference_um: Decimal, units: Units) -> str:
    """Return one interference, or the clearance that a negative one is."""
    size = small_text(abs(interference_um), units)
    if interference_um == 0:
        return _("neither tight nor loose")
    return (_("{size} tight") if interference_um > 0 else _("{size} loose")).format(size=size)


def fit_rows(seat: SeatRecord, units: Units) -> list[tuple[str, str]]:
    """Return the fits that are known, from the widest to the narrowest."""
    fits = fits_of(seat.figures)
    measured = fits.measured_um
    both = None if measured is None else FitRange(tightest_um=measured, loosest_um=measured)
    return [
        (_("zone, ring by tolerance"), fit_text(fits.by_tolerance, units)),
        (_("seat measured, ring by tolerance"), fit_text(fits.seat_measured, units)),
        (_("both measured, means"), fit_text(both, units)),
    ]


def ring_text(seat: SeatRecord) -> str:
    """Name the ring's tolerance with its standard."""
    if not seat.figures.get("ring_um"):
        return ""
    surface = _("outside diameter") if seat.surface == "od" else _("bore")
    standard = "ISO 199" if seat.bearing_type == "spherical_roller_thrust" else "ISO 492"
    return f"{surface}, {seat.tolerance_class} ({standard})"


def effect_lines(seat: SeatRecord, units: Units) -> list[str]:
    """Say what the fit does to the bearing, as narrow as it is known."""
    fit = _best(fits_of(seat.figures))
    if fit is None or seat.bearing_type == "spherical_roller_thrust":
        return []
    if fit.tightest_um <= 0:
        return [_("The ring is loose, so the fit changes neither clearance nor preload.")]
    growth = raceway_growth(fit)
    least, most = GROWTH_SHARE
    words = _(
        "The raceway changes by {least} to {most} of the interference (common practice, no source): {range}. "
        "The radial clearance closes by as much."
    )
    lines = [words.format(least=least, most=most, range=_spread(growth, units))]
    angle = seat.bearing.get("contact_angle_deg")
    if isinstance(angle, (int, float)) and 0 < angle < 90:
        axial = preload_change(growth, angle)
        pair = Spread(least_um=axial.least_um * 2, most_um=axial.most_um * 2)
        words = _(
            "At {angle}° one bearing closes axially by {one}; an opposed pair whose rings both sit like this by {pair} "
            "(growth over 2 tan α; geometry, at rest)."
        )
        lines.append(words.format(angle=plain(angle), one=_spread(axial, units), pair=_spread(pair, units)))
    return lines


def _best(fits: SeatFits) -> FitRange | None:
    return fits.best_known


def _spread(spread: Spread, units: Units) -> str:
    return _("{least} to {most}").format(
        least=small_text(spread.least_um, units), most=small_text(spread.most_um, units)
    )


def heat_of(seat: SeatRecord, units: Units) -> dict[str, object] | None:
    """Return the temperature to mount a ring on a shaft or mount; None for a housing or where no fit is known."""
    fit = _best(fits_of(seat.figures))
    if fit is None or seat.surface == "od":
        return None
    found = heating(seat.nominal_mm, fit.tightest_um)
    low, high = map(float, RING_DIFFERENCE_K)
    return {
        "verdict": found.verdict,
        "temperature": _degrees(found.temperature_c, units),
        "words": str(_HEAT[found.verdict]).format(
            **{name: _degrees(Decimal(celsius), units) for name, celsius in _CEILINGS_C.items()}
        ),
        "warns": found.verdict in {"above_normal", "above_ceiling"},
        "how": _(
            "For {tight} on a shaft at {ambient}, with {spare} to spare and {growth} (common practice, no "
            "source). While it is heated the inner ring may be {low} to {high} warmer than the outer one at most "
            "(common practice, no source); an induction heater warms the inner ring first."
        ).format(
            tight=one_text(fit.tightest_um, units),
            ambient=_degrees(Decimal(20), units),
            spare=small_text(Decimal(50), units),
            growth=_("6.7·10⁻⁶ per °F") if units == "us" else _("12·10⁻⁶ per kelvin"),
            low=plain(low * 9 / 5 if units == "us" else low),
            high=Figures(units).difference(high),
        ),
    }


def _degrees(celsius: Decimal, units: Units) -> str:
    return Figures(units).standard_temperature(float(celsius))


def fit_bars_of(found: SeatRecord | None, left: SeatRecord | None) -> list[FitBar]:
    """Return the bars of a seat: its zone, what was measured as found and as left, the ring."""
    newest = left or found
    if newest is None:
        return []
    bars = []
    if newest.figures.get("zone_um"):
        low, high = (Decimal(text) for text in newest.figures["zone_um"])
        bars.append(FitBar(newest.zone or _("limits"), "zone", low, high))
    bars += [_measured(one) for one in (found, left) if one is not None and one.sizes_mm is not None]
    if newest.figures.get("ring_um"):
        low, high = (Decimal(text) for text in newest.figures["ring_um"])
        bars.append(FitBar(ring_text(newest).partition(" (")[0], "ring", low, high))
    if newest.ring_mm is not None:
        size = (newest.ring_mm - newest.nominal_mm) * 1000
        bars.append(FitBar(_("ring as measured"), "ring", size, size))
    return bars


def _measured(seat: SeatRecord) -> FitBar:
    sizes = [Decimal(size) for plane in seat.figures["planes"] for size in plane["sizes"] if size]
    marks = [(size - seat.nominal_mm) * 1000 for size in sizes]
    return FitBar(str(seat.get_moment_display()), "measured", min(marks), max(marks), marks)
