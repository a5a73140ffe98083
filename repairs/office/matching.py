"""Match: which bearings of the book can take the place of a set, tried as whole stacks, compared, taken into a job."""

from __future__ import annotations

from urllib.parse import urlencode

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import HttpResponse, QueryDict
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST

from bearings.public import Rating
from repairs.edge.numbers import row_key
from repairs.office.addresses import job_address
from repairs.office.match_compare import chosen_keys, comparison_context, refused_choice
from repairs.office.match_forms import MatchForm, asked_in
from repairs.office.match_page import answer_context, hidden_pairs, question_context, question_string
from repairs.office.match_question import Question, answer_question, prefilled, read_question, set_count
from repairs.office.saving import new_key
from repairs.people.middleware import actor_of
from repairs.people.permissions import Permission, allow
from repairs.people.requests import ShopRequest
from repairs.work_orders.errors import StaleVersionError, WorkOrderError
from repairs.work_orders.hiding import hidden_from
from repairs.work_orders.models import Job, StackRecord, Stage
from repairs.work_orders.proposing import before_estimate
from repairs.work_orders.services.stack_editing import latest
from repairs.work_orders.services.stack_matching import seen_mark, use_candidate


def _record(request: ShopRequest) -> StackRecord | None:
    """Return the record whose pattern is asked about; one that is kept from the reader is refused."""
    key = request.GET.get("record", "")
    if not key:
        return None
    record = get_object_or_404(StackRecord.objects.for_assessment(), pk=row_key(key))
    if hidden_from(request.user, record.job, record.stage):
        raise PermissionDenied
    return record


def _asked(request: ShopRequest) -> tuple[MatchForm, StackRecord | None, Question | None]:
    """Return the form of the address, its record, and the question where it is asked and good."""
    record, units = _record(request), request.user.units
    if "rated_speed_rpm" not in request.GET:
        initial = {"sort": "margin", **asked_in(request.GET, units)}
        return MatchForm(initial=initial, with_record=record is not None, units=units), record, None
    form = MatchForm(request.GET, with_record=record is not None, units=units)
    return form, record, read_question(form, record)


def _head(record: StackRecord | None, query: QueryDict) -> dict[str, object]:
    head = {"record": record, "question": question_string(query)}
    return head | ({"job": record.job, "job_url": job_address(record.job.number)} if record else {})


@require_GET
@allow(Permission.VIEW_SHOP)
def match(request: ShopRequest) -> HttpResponse:
    """Ask for an envelope, a pattern and a duty; show every rating that was tried, in its order."""
    return _match_page(request)


def _match_page(request: ShopRequest, refused: str = "", status: int = 200) -> HttpResponse:
    form, record, question = _asked(request)
    context = {**_head(record, request.GET), "form": form, "refused": refused, "typed": request.POST}
    answer = answer_question(form, question) if question else None
    if answer is not None:
        context |= {**answer_context(answer, request.user, request.GET.get("page")), "answered": True}
        context |= {"hidden": hidden_pairs(request.GET), **_use_context(request, record)}
    elif form.is_bound:
        status = 422
    return render(request, "office/match.html", context, status=status)


def _use_context(request: ShopRequest, record: StackRecord | None) -> dict[str, object]:
    """Return what taking a candidate into the job would do, for those who may."""
    if (
        record is None
        or record.job.state != Job.State.OPEN
        or not request.user.may(Permission.SPECIFY_STACKS)
    ):
        return {"may_use": False}
    if hidden_from(request.user, record.job, Stage.SPECIFIED):
        return {"may_use": False}
    newest = latest(record.job, Stage.SPECIFIED)
    return {
        "may_use": True,
        "newest": newest,
        "seen": seen_mark(newest),
        "proposes": before_estimate(record.job),
        "form_key": request.POST.get("form_key") or new_key(),
    }


@require_GET
@allow(Permission.VIEW_SHOP)
def match_record(request: ShopRequest, number: str, pk: int) -> HttpResponse:
    """Put a record's own question: its envelope and pattern, its motor's speeds, thrusts and oil."""
    record = get_object_or_404(StackRecord.objects.for_assessment(), job__number=number, pk=pk)
    if hidden_from(request.user, record.job, record.stage):
        raise PermissionDenied
    return redirect(f"{reverse('office:match')}?{urlencode(prefilled(record, request.user.units))}")


@require_GET
@allow(Permission.VIEW_SHOP)
def match_compare(request: ShopRequest) -> HttpResponse:
    """Show two to four candidates side by side, every difference by a word."""
    form, record, question = _asked(request)
    if question is None:
        return render(request, "office/match.html", {**_head(record, request.GET), "form": form}, status=422)
    keys = chosen_keys(request.GET.getlist("c"))
    context = {**_head(record, request.GET), "refused": refused_choice(keys)}
    context |= question_context(question, request.user.unit_system)
    if not context["refused"]:
        context |= comparison_context(question, keys, request.user) | _use_context(request, record)
    return render(request, "office/match_compare.html", context, status=422 if context["refused"] else 200)


@require_POST
@allow(Permission.SPECIFY_STACKS)
def match_use(request: ShopRequest) -> HttpResponse:
    """Take a candidate into the specified stack of the job that the match was opened for."""
    _form, record, question = _asked(request)
    if record is None or hidden_from(request.user, record.job, Stage.SPECIFIED):
        raise PermissionDenied
    if question is None:
        return _match_page(request, status=422)
    rating = _chosen_rating(request.POST.get("rating", ""))
    try:
        used = _use(request, record, rating)
    except WorkOrderError as error:
        return _match_page(request, str(error), 409 if isinstance(error, StaleVersionError) else 422)
    messages.success(request, _used_words(rating, set_count(question)))
    return redirect("bench:stack", number=used.job.number, stage=used.stage)


def _chosen_rating(key: str) -> Rating:
    return get_object_or_404(Rating.objects.select_related("source"), pk=row_key(key))


def _use(request: ShopRequest, record: StackRecord, rating: Rating) -> StackRecord:
    posted = request.POST
    return use_candidate(
        actor=actor_of(request),
        pattern=record,
        rating=rating,
        seen=posted.get("seen", ""),
        reason=posted.get("reason", ""),
        form_key=posted.get("form_key", ""),
    )


def _used_words(rating: Rating, count: int) -> str:
    words = _("{designation} is in the specified stack.").format(designation=str(rating))
    if count < 2:
        return words
    more = _("Order its {count} bearings as one matched set.")
    return f"{words} {more.format(count=count)}"
