"""Where a figure of the checker comes from, in words: names of standards and books stay, everything else is translated.

The engine keeps a source as a text of its contract, several parted by semicolons. Each part is a sentence of its own
here, so that nobody has to translate half of one.
"""

from __future__ import annotations

import re
from typing import Final

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

# A standard with its part, year and place: the same in every language.
STANDARD: Final = re.compile(
    r"(?:(?:ISO|ASTM|DIN|EN|ANSI|ABMA|IEC|IEEE|NEMA)[ /]?)+(?:TR )?[A-Z]{0,2} ?[0-9][\w.:/-]*"
    r"(?:,? (?:[Tt]ables?|clause|Annex) [\w.-]+(?: and \d+)?)?"
)
# Said of a source in brackets behind it.
_REMARKS: Final = frozenset(
    {
        gettext_noop("from memory, unverified"),
        gettext_noop("factors from memory, unverified"),
        gettext_noop("heat balance from memory, unverified"),
        gettext_noop("constants from memory, unverified"),
        gettext_noop("bm from memory, unverified"),
        gettext_noop("Y0 between the confirmed angles from memory, unverified"),
        gettext_noop("common practice, no source"),
        gettext_noop("recast"),
    }
)
_REMARKED: Final = re.compile(r"(?P<named>.+) \((?P<remark>[^()]+)\)")
_PARTS: Final = frozenset(
    {
        gettext_noop("common practice, no source"),
        gettext_noop("shop policy"),
        gettext_noop("life asked for"),
        gettext_noop("input"),
        gettext_noop("definition"),
        gettext_noop("statics"),
        gettext_noop("statics: u = (P - F0) / k, solid from P = F0 + k travel"),
        gettext_noop("static balance"),
        gettext_noop("geometry"),
        gettext_noop("geometry: the least gap of each direction"),
        gettext_noop("geometry of the rings, oil moves from small to large diameter"),
        gettext_noop("not tested"),
        gettext_noop("kinematics of rolling without slip"),
        gettext_noop("set factor: common practice, no source"),
        gettext_noop("range: common practice, no source"),
        gettext_noop("sum of both: common practice, no source"),
        gettext_noop("limit: common practice, no source, shop policy"),
        gettext_noop("equal parts assumed: common practice, no source"),
        gettext_noop("equal stiffness assumed: like bearings, ball geometry unknown"),
        gettext_noop("groove radii assumed"),
        gettext_noop("usual groove radius assumed"),
        gettext_noop("±25% at best"),
        gettext_noop("printed speeds of the bearing's source"),
        gettext_noop("minimum-load factor of the bearing's source"),
        gettext_noop("linear damage rule (Palmgren, Miner), series system of ISO/TR 1281-1"),
        gettext_noop("expansion of steel 11.5e-6 / K"),
        gettext_noop("ring on a mount of the same steel (Lame)"),
        gettext_noop("ring on a solid steel shaft (Lame): interference times bore over raceway diameter"),
        gettext_noop("shaft and inner rings at one temperature"),
        gettext_noop("Hertz, complete elliptic integrals"),
        gettext_noop("Hertz contact with elliptic integrals"),
        gettext_noop("E = 207 GPa, nu = 0.3"),
        gettext_noop("rigid rings, contact angle rising with load"),
        gettext_noop(
            "derived from F = K d^1.5: the difference equals the approach of one bearing under all of the load"
        ),
        gettext_noop("Palmgren, constant contact angle"),
        gettext_noop("Palmgren, Ball and Roller Bearing Engineering"),
        gettext_noop("heat flow of ISO 15312"),
        gettext_noop("handbook estimate, ka C0 dm^2"),
        gettext_noop("no ISO standard gives one"),
        gettext_noop("handbook, 1.8 Fr or 0.001 C0"),
        gettext_noop("handbook rule for lithium soap grease"),
        gettext_noop("handbook rule for pure thrust, 0.5 C0"),
        gettext_noop("cage material and ring stabilization"),
        gettext_noop("thrust roller bearings from memory, unverified"),
        gettext_noop("its limit of eC Cu / P = 5 from memory, unverified"),
        gettext_noop("ISO 281 and ISO 76 from the balls"),
        gettext_noop("ISO 281:2007 Table 9 gives 1.19 and 0.56 at 50 degrees"),
        gettext_noop("ISO 281:2007 Table 13, lower bound"),
        gettext_noop("ISO 281:2007 B.18 to B.21, simplified"),
        gettext_noop("ISO 281:2007 Annex B, contact pressure 1 500 N/mm2"),
        gettext_noop("ISO 76:2006 has 2.3 Fr tan(alpha) + Fa"),
        gettext_noop("ISO/TR 1281-1, series system"),
        gettext_noop("ISO/TR 1281-2, three-parameter law"),
        gettext_noop("ISO 15, diameter series 2"),
        gettext_noop("ISO 15312, printed reference speed"),
        gettext_noop("ASTM D341 with 0.7"),
        gettext_noop("table of Fa/C0 (common practice, no source), not ISO 281 Table 3"),
        # The pump's thrust on its shaft.
        gettext_noop("pump maker"),
        gettext_noop("motor nameplate"),
        gettext_noop("pump makers' data sheets: thrust factor at the head in question"),
        gettext_noop("the pump maker's figure governs"),
        gettext_noop("fallback, common practice, no source"),
        gettext_noop("between 40 and 100 interpolated: common practice, no source"),
        gettext_noop("affinity of speed and head"),
        gettext_noop("solid steel, 7850 kg/m³ (EN 1991-1-1, table A.4: from memory, unverified)"),
        gettext_noop("Hooke's law"),
        gettext_noop("steel, E = 200 GPa"),
    }
)


def sources_in_words(text: str) -> str:
    """Return the sources of a figure as people read them; what is no text of ours stays as it is."""
    return "; ".join(_in_words(part) for part in text.split("; "))


def is_known(text: str) -> bool:
    """Tell whether every part of a source is a standard's own name or a text that can be translated."""
    return all(
        _is_known_part(part)
        or (
            (found := _REMARKED.fullmatch(part))
            and found["remark"] in _REMARKS
            and _is_known_part(found["named"])
        )
        for part in text.split("; ")
    )


def _is_known_part(part: str) -> bool:
    return part in _PARTS or STANDARD.fullmatch(part) is not None


def _in_words(part: str) -> str:
    if part in _PARTS:
        return _(part)
    found = _REMARKED.fullmatch(part)
    if found is None or found["remark"] not in _REMARKS:
        return part
    words = _("{source} ({sureness})")
    return words.format(source=_in_words(found["named"]), sureness=_(found["remark"]))
