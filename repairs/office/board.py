"""The board: every open job under the step at which it stands."""

from __future__ import annotations

from dataclasses import replace
from urllib.parse import urlencode

from django.http import HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET
from django.views.decorators.vary import vary_on_headers

from repairs.documents.models import PaperFault
from repairs.office.board_rows import Reader, grouped, since
from repairs.people.permissions import Permission, allow
from repairs.people.requests import ShopRequest
from repairs.rechecks.reading import flags_of_jobs
from repairs.work_orders.board import COUNTED_UP_TO, BoardFilter, BoardPage, board_page, figures
from repairs.work_orders.models import Job, StepKind


@require_GET
@allow(Permission.VIEW_SHOP)
@vary_on_headers("HX-Request")
def board(request: ShopRequest) -> HttpResponse:
    """Show one page of open jobs; filters and place live in the address."""
    reader = Reader(units=request.user.unit_system, today=timezone.localdate(), now=timezone.now())
    chosen = BoardFilter.from_query(request.GET)
    page = board_page(chosen, reader=request.user, today=reader.today)
    reader = replace(reader, rechecked=flags_of_jobs(row.pk for row in page.rows))
    context = _list_context(chosen, page, reader)
    if request.htmx and not request.htmx.history_restore_request:
        return render(request, "office/_board.html", context)
    context |= {"figures": _figures(reader), "filters": _filters(chosen)}
    context["may_open"] = request.user.may(Permission.OPEN_JOBS)
    if request.user.may(Permission.MANAGE_PEOPLE):
        context["paper_faults"] = PaperFault.objects.open()
    return render(request, "office/board.html", context)


def _list_context(chosen: BoardFilter, page: BoardPage, reader: Reader) -> dict[str, object]:
    groups = grouped(page.rows, reader)
    if groups and chosen.after is not None:
        groups[0].begun = chosen.after.board_place == page.rows[0].board_place
    if groups and page.after is not None:
        groups[-1].goes_on = True
    return {
        "groups": groups,
        "chosen": chosen,
        "board_url": reverse("office:board"),
        "first_url": _address(chosen) if chosen.after else "",
        "next_url": _address(chosen, page.after.as_text()) if page.after else "",
    }


def _address(chosen: BoardFilter, after: str = "") -> str:
    query = chosen.as_query() | ({"after": after} if after else {})
    return f"{reverse('office:board')}?{urlencode(query)}" if query else reverse("office:board")


def _figures(reader: Reader) -> list[dict[str, object]]:
    """Return the figures over the board; each is a link to the rows it counts."""
    counted = figures(reader.today)
    held = _("on hold")
    if counted.held_since:
        held = _("on hold, oldest {since}").format(since=since(counted.held_since, reader))
    entries = (
        (counted.open, _("open"), BoardFilter(), False),
        (counted.late, _("late"), BoardFilter(late=True), counted.late > 0),
        (counted.on_hold, held, BoardFilter(hold=True), False),
        (counted.hand_over, _("handoff waiting"), BoardFilter(hand_over=True), False),
    )
    return [
        {
            "number": f"{COUNTED_UP_TO}+" if number > COUNTED_UP_TO else str(number),
            "words": words,
            "url": _address(link),
            "late": late,
        }
        for number, words, link, late in entries
    ]


def _filters(chosen: BoardFilter) -> dict[str, object]:
    """Return the choices of the filter line, with what is chosen."""
    flags = (("late", _("late")), ("hold", _("on hold")), ("hand_over", _("handoff")), ("mine", _("mine")))
    return {
        "steps": StepKind.choices,
        "priorities": Job.Priority.choices,
        "flags": [(name, label, getattr(chosen, name)) for name, label in flags],
    }
