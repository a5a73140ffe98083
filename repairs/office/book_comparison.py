"""Two sources of the bearing book side by side: what changed from one edition to the next, and by how much."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, Final

from django import forms
from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import render
from django.utils.text import capfirst
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_GET

from bearings.public import (
    FIGURES,
    Rating,
    Source,
    book_comparison,
    field_label,
    grouped,
    percent_sign,
    plain,
    type_name,
)
from repairs.edge.numbers import row_key
from repairs.motors.spec_figures import figure_words
from repairs.people.permissions import Permission, allow
from repairs.people.requests import ShopRequest

PAGE: Final = 50
KIND_WORDS: Final = {
    "fell": gettext_lazy("lower speed"),
    "unprinted": gettext_lazy("speed no longer published"),
    "changed": gettext_lazy("changed"),
    "gone": gettext_lazy("gone"),
    "new": gettext_lazy("new"),
    "same": gettext_lazy("unchanged"),
}
SHOWN: Final = {
    "differing": ("fell", "unprinted", "changed", "gone", "new"),
    "lower": ("fell", "unprinted"),
    "changed": ("fell", "unprinted", "changed"),
    "gone": ("gone",),
    "new": ("new",),
    "all": ("fell", "unprinted", "changed", "gone", "new", "same"),
}
SHOWN_WORDS: Final = (
    ("differing", gettext_lazy("all differences")),
    ("lower", gettext_lazy("lower speed")),
    ("changed", gettext_lazy("changed figures")),
    ("gone", gettext_lazy("not in newer edition")),
    ("new", gettext_lazy("new in newer edition")),
    ("all", gettext_lazy("all, with unchanged")),
)


class EditionsForm(forms.Form):
    """Which two sources, and what of them; all of it stands in the address."""

    older = forms.ModelChoiceField(label=gettext_lazy("Older source"), queryset=Source.objects.all())
    newer = forms.ModelChoiceField(label=gettext_lazy("Newer source"), queryset=Source.objects.all())
    show = forms.ChoiceField(label=gettext_lazy("Show"), choices=SHOWN_WORDS, required=False)
    q = forms.CharField(label=gettext_lazy("Designation starts with"), max_length=60, required=False)

    def clean(self) -> dict[str, object]:
        """Refuse a source against itself."""
        data = super().clean() or self.cleaned_data
        if data.get("older") is not None and data.get("older") == data.get("newer"):
            self.add_error("newer", _("Choose two different sources."))
        return data


@require_GET
@allow(Permission.VIEW_SHOP)
def book_editions(request: ShopRequest) -> HttpResponse:
    """Compare two sources; without a choice, ask for one."""
    asked = _asked(request)
    chosen = "older" in asked and "newer" in asked
    form = EditionsForm(asked) if chosen else EditionsForm(initial=asked)
    if not form.is_valid():
        return render(request, "office/book_editions.html", {"form": form}, status=422 if chosen else 200)
    data = form.cleaned_data
    pair = book_comparison.compare_sources(data["older"], data["newer"], data["q"])
    pages = Paginator(pair.of_kinds(SHOWN[data["show"] or "differing"]), PAGE)
    page = pages.get_page(request.GET.get("page"))
    context = {"form": form, "page_obj": page, "rows": edition_rows(page), "counted": counted(pair), **data}
    return render(request, "office/book_editions.html", context)


def _asked(request: ShopRequest) -> dict[str, str]:
    """Return the address's choices; of a newer source alone, the edition before it belongs to it."""
    asked = {name: value for name, value in request.GET.dict().items() if name in EditionsForm.base_fields}
    if "older" not in asked and (key := row_key(asked.get("newer"))):
        newer = Source.objects.filter(pk=key).first()
        before = book_comparison.edition_before(newer) if newer else None
        asked |= {"older": str(before.pk)} if before else {}
    return asked


def counted(pair: book_comparison.EditionPair) -> list[tuple[Any, str]]:
    """Return how many lines there are of each kind, in words."""
    return [(words, plain(pair.counts[kind])) for kind, words in KIND_WORDS.items()]


def edition_rows(lines: Iterable[book_comparison.EditionLine]) -> list[dict[str, object]]:
    """Return the lines of a page; their ratings come in one query."""
    lines = list(lines)
    keys = {pk for line in lines for pk in (line.older, line.newer) if pk is not None}
    ratings = Rating.objects.in_bulk(keys)
    return [_row(line, ratings.get(line.older or 0), ratings.get(line.newer or 0)) for line in lines]


def _row(line: book_comparison.EditionLine, older: Rating | None, newer: Rating | None) -> dict[str, object]:
    shown = newer or older
    differences = book_comparison.rating_differences(older, newer) if older and newer else []
    return {
        "kind": line.kind,
        "words": KIND_WORDS[line.kind],
        "rating": shown,
        "older": older,
        "newer": newer,
        "inside": " · ".join(word for word in (shown.variant, shown.cage) if word) if shown else "",
        "speed": "" if line.speed_change is None else percent(line.speed_change),
        "differences": [_difference(one) for one in differences],
    }


def _difference(one: book_comparison.Difference) -> dict[str, object]:
    label = capfirst(field_label(one.field).partition(",")[0]) if one.field != "speed_meaning" else ""
    return {
        "label": label or _("Speed rating notes"),
        "old": _said(one.field, one.old),
        "new": _said(one.field, one.new),
        "share": "" if one.share is None else percent(one.share),
        "down": one.share is not None and one.share < 0,
    }


def _said(name: str, value: Any) -> str:
    if value is None:
        return _("not entered") if name in FIGURES else _("nothing")
    if name in FIGURES:
        return _("not printed") if value == "-" else figure_words(name, value)
    return type_name(value) if name == "type" else str(value)


def percent(share: float) -> str:
    """Return a change with its sign; one that would round to nothing keeps a digit."""
    number = 100 * share
    if number == 0:
        return f"0{percent_sign()}"
    text = grouped(number, 1) if abs(number) >= 0.05 else plain(number, 1)
    return f"{'+' if number > 0 else ''}{text}{percent_sign()}"
