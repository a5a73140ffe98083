"""The long lists of a job's page as markup.

A template looks every cell up by itself, which costs more than all queries of the page. So the lists are written here,
and what people typed goes through ``escape`` one by one.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import lru_cache
from html import escape
from typing import Any, Final

from django.http import HttpRequest
from django.middleware.csrf import get_token
from django.template.loader import render_to_string
from django.utils import translation
from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext as _

from repairs.work_orders.models import Hold, StepKind

Rows = Iterable[Mapping[str, Any]]


def route(steps: Rows) -> SafeString:
    """Return the route as parts/_route_list.html has it."""
    done, skipped = _("done"), _("skipped")
    after = {
        "done": f'<span class="visually-hidden"> {done}</span>',
        "skipped": f" <small>{skipped}</small>",
    }
    lines = [
        f'<li class="route__step route__step--{step["state"]}"'
        + (' aria-current="step"' if step["state"] == "current" else "")
        + f'><span class="route__no">{number}</span><span class="route__name">{escape(step["name"])}'
        + after.get(step["state"], "")
        + f'</span><span class="route__by">{escape(step["by"])}</span></li>'
        for number, step in enumerate(steps, 1)
    ]
    return mark_safe("".join(lines))


def events(rows: Iterable[tuple[str, str, str]]) -> SafeString:
    """Return what happened, one line each."""
    lines = [f"<li><time>{at}</time><span>{escape(who)} {escape(what)}</span></li>" for at, who, what in rows]
    return mark_safe("".join(lines))


def pairs(rows: Iterable[tuple[Any, str]]) -> SafeString:
    """Return label and value as the lines of a list of facts."""
    return mark_safe(
        "".join(f"<dt>{escape(str(label))}</dt><dd>{escape(value)}</dd>" for label, value in rows)
    )


def plate(rows: Iterable[tuple[Any, str]]) -> SafeString:
    """Return the places of a nameplate as parts/_nameplate.html has them."""
    unknown = f'<span class="soft">{_("unknown")}</span>'
    places = [
        f"<div><dt>{escape(str(label))}</dt><dd>{escape(value) or unknown}</dd></div>"
        for label, value in rows
    ]
    return mark_safe("".join(places))


# The one form of the page that every print button sends.
PRINT_FORM: Final = "print-paper"


def papers(rows: Rows, *, may_print: bool) -> SafeString:
    """Return the papers, each with what was issued last and the way to print it."""
    print_word = _("Print")
    lines = []
    for paper in rows:
        name, note = escape(str(paper["name"])), escape(paper["note"])
        last = f'<a href="{paper["issued_url"]}">{note}</a>' if paper["issued_url"] else note
        button = (
            f'<button type="submit" class="button button--small" form="{PRINT_FORM}"'
            f' formaction="{paper["print_url"]}">{print_word}<span class="visually-hidden"> {name}</span></button>'
        )
        shown = button if paper["print_url"] and may_print else ""
        lines.append(f'<li><span><b>{name}</b> <small class="soft">{last}</small></span>{shown}</li>')
    return mark_safe("".join(lines))


def readings(rows: Rows) -> SafeString:
    """Return the readings as rows of a table."""
    lines = []
    for row in rows:
        cells = {key: escape(str(value)) for key, value in row.items()}
        note = f'<br><small class="soft">{cells["note"]}</small>' if cells["note"] else ""
        lines.append(
            f"<tr><td>{cells['quantity']}{note}</td><td>{cells['moment']}</td>"
            f'<td class="num nowrap">{cells["value"]} {cells["unit"]}</td>'
            f'<td class="num nowrap">{cells["limit"]}</td>'
            f'<td><span class="verdict verdict--{cells["verdict"]}">{cells["verdict_words"]}</span></td>'
            f"<td>{cells['source']}</td><td>{cells['by']}</td></tr>"
        )
    return mark_safe("".join(lines))


def stages(rows: Rows) -> SafeString:
    """Return the three stages of the stack with their drawings."""
    recording = _(
        "Hidden while the stack as built is recorded. It opens again when that record is submitted."
    )
    answering = _("Hidden until you say how each bearing looks, as the second person.")
    figures = escape(_("figures, findings and working"))
    lines = []
    for stage in rows:
        lines.append(
            f'<section><h3><a href="{stage["url"]}">{escape(str(stage["name"]))}</a></h3>'
            f'<p class="soft small">{escape(stage["note"])}</p>'
        )
        if stage["hidden"]:
            lines.append(
                f'<p class="section">{escape(answering if stage["answers_first"] else recording)}</p>'
            )
        elif stage["drawing"]:
            lines.append(
                f'<div class="drawing-frame">{stage["drawing"]}</div><p class="small">{escape(stage["words"])}</p>'
                f'<p class="small"><a href="{stage["figures_url"]}">{figures}</a>{_match_link(stage)}</p>'
            )
        lines.append("</section>")
    return mark_safe("".join(lines))


def _match_link(stage: Mapping[str, Any]) -> str:
    if not stage["match_url"]:
        return ""
    name = f'<span class="visually-hidden">, {escape(str(stage["name"]))}</span>'
    return f' · <a href="{stage["match_url"]}">{escape(_("Match bearings"))}{name}</a>'


def photos(rows: Rows) -> SafeString:
    """Return the photos as parts/_photo_strip.html has them."""
    lines = []
    for number, photo in enumerate(rows, 1):
        marks = "".join(
            f'<svg x="{mark["x_percent"]}%" y="{mark["y_percent"]}%" overflow="visible"><circle r="11"/>'
            f'<text y="4.5">{escape(mark["label"])}</text></svg>'
            for mark in photo["marks"]
        )
        layer = f'<svg class="photo__marks" aria-hidden="true">{marks}</svg>' if marks else ""
        lines.append(
            f'<li class="photo"><a class="photo__frame" href="{photo["url"]}"><img src="{photo["thumbnail_url"]}"'
            f' alt="{escape(photo["alt"])}" loading="lazy" width="320" height="240">{layer}</a>'
            f'<span class="photo__words">{number} · {escape(photo["caption"])}</span></li>'
        )
    return mark_safe("".join(lines))


# Letters that no template and no address holds; they keep the places of what differs from page to page.
_NUMBER: Final = "00-0000"
_TOKEN, _KEY, _STEPS = "\ue000", "\ue001", "\ue002"


def acts(
    request: HttpRequest, *, number: str, form_key: str, steps: Rows, shown: tuple[bool, bool, bool]
) -> SafeString:
    """Return the panels of what the reader may do; ``shown``: hold, route, end.

    The panels differ between pages by number, key, token and steps only, so each kind of them is written once.
    """
    if not any(shown):
        return mark_safe("")
    markup = _acts(shown, translation.get_language() or "")
    markup = markup.replace(_NUMBER, escape(number)).replace(_TOKEN, get_token(request))
    return mark_safe(markup.replace(_KEY, escape(form_key)).replace(_STEPS, step_options(steps)))


@lru_cache(maxsize=64)
def _acts(shown: tuple[bool, bool, bool], _language: str) -> str:
    hold, change_route, end = shown
    context = {
        "number": _NUMBER,
        "csrf_token": _TOKEN,
        "form_key": _KEY,
        "step_options": mark_safe(_STEPS),
        "show_hold": hold,
        "show_route": change_route,
        "show_end": end,
        "waits_for": Hold.WaitsFor.choices,
        "kinds": StepKind.choices,
    }
    return render_to_string("office/_job_acts.html", context)


def step_options(steps: Rows, chosen: str = "") -> SafeString:
    """Return the steps to choose from; the chosen one, else the current one, is selected."""
    lines = []
    for number, step in enumerate(steps, 1):
        selected = str(step["pk"]) == chosen if chosen else step["state"] == "current"
        mark = " selected" if selected else ""
        lines.append(f'<option value="{step["pk"]}"{mark}>{number} {escape(step["name"])}</option>')
    return mark_safe("".join(lines))
