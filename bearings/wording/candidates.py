"""Why a candidate is refused, not checked or warned of, in words."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, Final

from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from bearings.drawing.wording import type_name
from bearings.engineering.candidates import Reason
from bearings.wording.figures import Figures, Units, plain
from bearings.wording.findings import finding_sentence
from bearings.wording.labels import enumeration
from bearings.wording.reasons import not_checked_sentence

GAPS: Final[dict[str, Promise]] = {
    "bore-unknown": gettext_lazy("Bore is not in the book."),
    "outside-diameter-unknown": gettext_lazy("Outside diameter is not in the book."),
    "outside-diameter-not-asked": gettext_lazy("No outside diameter was entered."),
    "height-unknown": gettext_lazy("Height is not in the book."),
    "height-not-asked": gettext_lazy("No height was entered."),
    "contact-angle-unknown": gettext_lazy("Contact angle is not in the book."),
}
SIZES: Final[dict[str, Promise]] = {
    "bore-differs": gettext_lazy("Bore is %(found)s; needs %(asked)s."),
    "outside-diameter-differs": gettext_lazy("Outside diameter is %(found)s; needs %(asked)s."),
}


def _too_high(reason: Reason, figures: Figures) -> str:
    return _(
        "The set of %(count)s is %(set)s high; the space is %(space)s. That is %(difference)s too high; the "
        "spacers can give up %(limit)s."
    ) % _heights(reason, figures)


def _too_low(reason: Reason, figures: Figures) -> str:
    return _(
        "The set of %(count)s is %(set)s high; the space is %(space)s. That is %(difference)s too low; spacers "
        "can make up %(limit)s."
    ) % _heights(reason, figures)


def _heights(reason: Reason, figures: Figures) -> dict[str, Any]:
    given: Any = reason.params
    return {
        "count": given["count"],
        "set": figures.length(given["set_mm"]),
        "space": figures.length(given["space_mm"]),
        "difference": figures.length(reason.value),
        "limit": figures.length(reason.limit),
    }


def _type_differs(reason: Reason, figures: Figures) -> str:
    given: Any = reason.params
    return _("Different bearing type: %(found)s; the pattern needs %(asked)s.") % {
        "found": type_name(given["found"]),
        "asked": type_name(given["asked"]),
    }


def candidate_sentence(reason: Reason, units: Units = "si") -> str:
    """Return a reason in the reader's language and units."""
    if reason.finding is not None:
        return finding_sentence(reason.finding, units)
    if reason.not_checked is not None:
        sentence = not_checked_sentence(reason.not_checked)
        return sentence[:1].upper() + sentence[1:] + "."
    figures = Figures(units)
    if reason.code in SIZES:
        sizes = {"found": figures.length(reason.value), "asked": figures.length(reason.limit)}
        return str(SIZES[reason.code]) % sizes
    if reason.code == "contact-angle-differs":
        return _("Contact angle is %(found)s°; the pattern has %(asked)s°.") % {
            "found": plain(reason.value or 0.0),
            "asked": plain(reason.limit or 0.0),
        }
    sentences = {"set-too-high": _too_high, "set-too-low": _too_low, "type-differs": _type_differs}
    return sentences[reason.code](reason, figures) if reason.code in sentences else str(GAPS[reason.code])


def candidate_sentences(reasons: Iterable[Reason], units: Units = "si") -> list[str]:
    """Return reasons as sentences; what is said of several like bearings is said once and names the others."""
    found: dict[tuple[object, ...], tuple[Reason, list[str]]] = {}
    for reason in reasons:
        first, others = found.setdefault(_kind(reason), (reason, []))
        ref = _ref(reason)
        if first is not reason and ref:
            others.append(ref)
    sentences = []
    for reason, others in found.values():
        text = candidate_sentence(reason, units)
        if others:
            words = ngettext(
                "%(text)s Same for bearing %(refs)s.", "%(text)s Same for bearings %(refs)s.", len(others)
            )
            text = words % {"text": text, "refs": enumeration(others)}
        sentences.append(text)
    return sentences


def _ref(reason: Reason) -> str:
    if reason.finding is not None:
        return reason.finding.ref or ""
    return str(reason.not_checked.params.get("ref") or "") if reason.not_checked is not None else ""


def _kind(reason: Reason) -> tuple[object, ...]:
    """Return what two reasons share that say the same of two bearings."""
    finding, unchecked = reason.finding, reason.not_checked
    if finding is not None:
        rest = sorted((name, repr(one)) for name, one in finding.params.items())
        return finding.code, finding.severity, finding.value, finding.limit, *rest
    if unchecked is not None:
        rest = sorted((name, repr(one)) for name, one in unchecked.params.items() if name != "ref")
        return unchecked.check, unchecked.reason, *rest
    return reason.code, reason.value, reason.limit
