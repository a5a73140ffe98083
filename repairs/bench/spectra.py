"""A vibration spectrum at the bench: a file is read, its peaks are held against the bearings of the stack as built."""

from __future__ import annotations

from typing import Final
from uuid import uuid4

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from bearings.public import plain
from repairs.ledger.services import LedgerError, carry_out_once
from repairs.measurements.as_built import built_record
from repairs.measurements.engineering.spectrum_file import SpectrumError
from repairs.measurements.engineering.subjects import BY_CODE
from repairs.measurements.shop_tests.judging import judge_test
from repairs.measurements.shop_tests.machine import machine_of
from repairs.measurements.shop_tests.presenting import NoteLine, present
from repairs.measurements.shop_tests.services import TestEntry, record_test
from repairs.measurements.shop_tests.spectra import TEST, SpectrumForm, entry_of, orders_at, read_file
from repairs.measurements.words import spectrum as words
from repairs.measurements.words.figures import Written
from repairs.people.middleware import actor_of
from repairs.people.permissions import Permission, allow
from repairs.people.requests import ShopRequest
from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.models import Step

# At one turn a second an order is its own frequency.
MINUTE: Final = 60.0


@require_http_methods(["GET", "POST"])
@allow(Permission.WORK_STEPS)
def spectrum(request: ShopRequest, number: str, step_id: int) -> HttpResponse:
    """Read a spectrum's file and keep its peaks. A file needs the network: it is not kept on the tablet."""
    found = Step.objects.select_related("job__motor", "job__customer")
    step = get_object_or_404(found, pk=step_id, job__number=number)
    units, posted = request.user.unit_system, request.method == "POST"
    rated = machine_of(step.job).speed_rpm
    form = SpectrumForm(
        request.POST if posted else None,
        request.FILES if posted else None,
        units=units,
        initial={"frequency": "Hz", "amplitude": "in/s pk" if units == "us" else "mm/s rms"},
    )
    doubts: list[NoteLine] = []
    if posted and form.is_valid() and (entry := _read(request, step, form, rated)) is not None:
        doubts = _doubts(request, step, entry)
        if (made := _keep(request, step, form, entry)) is not None:
            messages.success(request, _("Spectrum saved."))
            return redirect("bench:test_record", number=number, pk=made)
    context = {
        "job": step.job,
        "step": step,
        "form": form,
        "doubts": doubts,
        "cautions": words.WORDS.cautions,
        "rated": Written(units).of(rated, "speed") if rated else "",
        "orders": [(one.name, plain(one.hz, 4)) for one in orders_at(step.job, MINUTE)],
        "built": built_record(step.job) is not None,
        "form_key": uuid4().hex,
    }
    return render(request, "bench/spectrum.html", context, status=422 if posted else 200)


def _read(request: ShopRequest, step: Step, form: SpectrumForm, rated: float | None) -> TestEntry | None:
    """Read the file; why it is refused stands on the form."""
    data = form.cleaned_data
    try:
        read = read_file(data["file"].file, data["frequency"], data["amplitude"])
    except SpectrumError as error:
        form.add_error("file", words.refusal(error, Written(request.user.unit_system)))
        return None
    run = data.get("run_rpm")
    speed = run[0] if run else rated
    return entry_of(
        read,
        orders_at(step.job, speed),
        run,
        units={"frequency": data["frequency"], "amplitude": data["amplitude"]},
        confirmed=request.POST.getlist("confirmed"),
        instrument=data["instrument"],
        note=data["note"],
    )


def _doubts(request: ShopRequest, step: Step, entry: TestEntry) -> list[NoteLine]:
    judged = judge_test(
        step.job, BY_CODE[TEST], entry.values, measurer=actor_of(request).user_id, at=timezone.now()
    )
    sheet = present(judged.answer, words.WORDS, request.user.unit_system)
    return [one for one in sheet.notes if one.severity == "doubt"]


def _keep(request: ShopRequest, step: Step, form: SpectrumForm, entry: TestEntry) -> int | None:
    """Keep the test once; a refusal stands on the form."""
    actor = actor_of(request)

    def work() -> dict[str, object]:
        return {"id": record_test(actor=actor, job=step.job, step=step, entry=entry).pk}

    try:
        answer, _new = carry_out_once(
            actor=actor, key=request.POST.get("form_key", ""), body=request.POST.dict(), work=work
        )
    except (WorkOrderError, LedgerError) as error:
        form.add_error(None, str(error))
        return None
    return int(answer["id"])
