"""Shop tests at the bench: the form of one with its verdict while one types, the kept test, its correction."""

from __future__ import annotations

from collections.abc import Callable
from uuid import uuid4

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from repairs.bench import shop_test_page as page
from repairs.bench.outbox import note_refusal, refusal_words, through_outbox
from repairs.bench.recorder import find_job
from repairs.ledger.services import LedgerError, carry_out_once
from repairs.measurements.models import TestRecord
from repairs.measurements.shop_tests.forms import TestForm
from repairs.measurements.shop_tests.services import correct_test, record_test
from repairs.people.middleware import actor_of
from repairs.people.permissions import Permission, allow
from repairs.people.requests import ShopRequest
from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.models import Step


def _step(number: str, step_id: int) -> Step:
    found = Step.objects.select_related("job__motor", "job__customer")
    return get_object_or_404(found, pk=step_id, job__number=number)


@require_http_methods(["GET", "POST"])
@through_outbox
@allow(Permission.WORK_STEPS)
def shop_test(request: ShopRequest, number: str, step_id: int, test: str) -> HttpResponse:
    """Make one test of a step's sheet."""
    step = _step(number, step_id)
    asked = page.asked_test(step, test, request.user)
    if asked is None:
        raise Http404
    form = asked.form(request.POST if request.method == "POST" else None)
    actor = actor_of(request)

    def keep() -> TestRecord:
        entry = form.entry(request.POST.getlist("confirmed"))
        return record_test(actor=actor, job=step.job, step=step, entry=entry)

    return _test_page(request, asked, form, keep)


@require_POST
@allow(Permission.WORK_STEPS)
def test_verdict(request: ShopRequest, number: str, step_id: int, test: str) -> HttpResponse:
    """Return what the entries say while one types; nothing is kept."""
    asked = page.asked_test(_step(number, step_id), test, request.user)
    if asked is None:
        raise Http404
    context = page.verdict_context(asked, asked.form(request.POST), request)
    return render(request, "bench/_test_verdict.html", context)


@require_GET
@allow(Permission.WORK_STEPS)
def test_record(request: ShopRequest, number: str, pk: int) -> HttpResponse:
    """Show a test as it was made."""
    job = find_job(number)
    found = TestRecord.objects.select_related("step", "replaces", "replaced_by")
    record = get_object_or_404(found, pk=pk, job=job)
    return render(request, "bench/test_record.html", page.record_context(job, record, request.user))


@require_http_methods(["GET", "POST"])
@through_outbox
@allow(Permission.WORK_STEPS)
def correct(request: ShopRequest, number: str, pk: int) -> HttpResponse:
    """Make the test that takes another one's place; the first stays readable."""
    record = get_object_or_404(
        TestRecord.objects.select_related("step__job__motor", "step__job__customer"),
        pk=pk,
        job__number=number,
    )
    asked = page.asked_test(record.step, record.test, request.user) if record.step else None
    if asked is None:
        raise Http404
    form = asked.form(request.POST if request.method == "POST" else None, record)
    actor, reason = actor_of(request), request.POST.get("reason", "")[:300]

    def keep() -> TestRecord:
        entry = form.entry(request.POST.getlist("confirmed"))
        return correct_test(actor=actor, record=record, entry=entry, reason=reason)

    return _test_page(request, asked, form, keep, correcting=record)


def _test_page(
    request: ShopRequest,
    asked: page.AskedTest,
    form: TestForm,
    keep: Callable[[], TestRecord],
    correcting: TestRecord | None = None,
) -> HttpResponse:
    status = 200
    if request.method == "POST":
        kept = _kept(request, form, keep)
        if kept is not None:
            words = {"pass": _("Test saved. Pass."), "fail": _("Test saved. Fail: out of limits.")}
            messages.success(request, words.get(kept.verdict, _("Test saved.")))
            return redirect(page.next_url(asked))
        status = 422
        note_refusal(request, refusal_words(form))
    context = page.test_context(asked, form, request, correcting)
    context["form_key"] = request.POST.get("form_key") or uuid4().hex
    return render(request, "bench/test.html", context, status=status)


def _kept(request: ShopRequest, form: TestForm, keep: Callable[[], TestRecord]) -> TestRecord | None:
    """Keep the test once; a refusal stands on the form."""
    if not form.is_valid():
        return None

    def work() -> dict[str, object]:
        return {"id": keep().pk}

    try:
        answer, _new = carry_out_once(
            actor=actor_of(request), key=request.POST.get("form_key", ""), body=request.POST.dict(), work=work
        )
    except (WorkOrderError, LedgerError) as error:
        field = getattr(error, "field", None)
        form.add_error(field if field in form.fields else None, str(error))
        return None
    return TestRecord.objects.get(pk=answer["id"])
