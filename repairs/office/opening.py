"""Open a job on one page: find or make customer and motor, take the complaint down, go to the job."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods
from django.views.decorators.vary import vary_on_headers

from repairs.customers.models import Customer
from repairs.edge.names import number_key
from repairs.edge.numbers import row_key
from repairs.motors.models import Motor
from repairs.office.history_rows import job_rows
from repairs.office.opening_forms import OpenJobForm
from repairs.office.saving import new_key, save_once
from repairs.office.serial_field import bare_serial
from repairs.office.short_words import plate_words
from repairs.people.middleware import actor_of
from repairs.people.permissions import Permission, allow
from repairs.people.requests import ShopRequest
from repairs.work_orders.errors import WorkOrderError
from repairs.work_orders.finding import Found, find
from repairs.work_orders.histories import jobs_of_motor
from repairs.work_orders.models import Job
from repairs.work_orders.services.receiving import receive_job

HISTORY_SHOWN = 6
KNOWN_SHOWN = 5


@require_http_methods(["GET", "POST"])
@allow(Permission.OPEN_JOBS)
@vary_on_headers("HX-Request")
def open_job(request: ShopRequest) -> HttpResponse:
    """Show the page, steer it by its buttons, or open the job."""
    do = request.POST.get("do", "open")
    if request.method == "GET":
        return _page(request, {"form_key": new_key(), **_preset(request.GET)})
    if do != "open":
        return _page(request, steered(request.POST.dict(), do), part=do if request.htmx else "")
    chosen = _chosen(request.POST)
    form = OpenJobForm(request.POST, owner=chosen[1])
    if form.is_valid() and (number := _opened(request, form)):
        text = _("Job {number} opened. Print its job tag and traveler here.")
        messages.success(request, text.format(number=number))
        return redirect("office:job", number=number)
    return _page(request, request.POST.dict(), form=form, status=422)


def _preset(query: Mapping[str, str]) -> dict[str, object]:
    return {name: query[name] for name in ("motor", "customer") if row_key(query.get(name))}


def steered(typed: dict[str, str], do: str) -> dict[str, str]:
    """Return what was typed with one button's wish carried out."""
    verb, _colon, argument = do.partition(":")
    if verb == "motor":
        return {**typed, "motor": argument, "customer": "", "find": ""}
    if verb == "customer":
        return {**typed, "customer": argument, "motor": "", "find": ""}
    if verb == "forget":
        return {**typed, "motor": "", "customer": ""}
    return typed


def _row(model: Any, text: str) -> Any:
    key = row_key(text)
    return model.filter(pk=key).first() if key else None


def _chosen(values: Mapping[str, Any]) -> tuple[Motor | None, Customer | None]:
    """Return the motor and the customer that stand chosen; a motor brings its owner."""
    motor = _row(Motor.objects.current().with_owner(), str(values.get("motor", "")))
    if motor is not None:
        return motor, motor.customer
    return None, _row(Customer.objects.current(), str(values.get("customer", "")))


def _opened(request: ShopRequest, form: OpenJobForm) -> str:
    """Open the job once for its form's key; return its number, or nothing with the reason in the form."""
    actor = actor_of(request)

    def work() -> dict[str, object]:
        _refuse_known_serial(form)
        job: Job = receive_job(actor=actor, today=timezone.localdate(), **form.for_service())
        return {"number": job.number}

    # What was sent counts, and not the row that a key stands for: a motor found twice is still the same form.
    sent = {name: request.POST.get(name, "") for name in form.fields if name not in {"find", "seen_serial"}}
    answer = save_once(actor, form, work, body=sent)
    return str(answer["number"]) if answer else ""


def _refuse_known_serial(form: OpenJobForm) -> None:
    """Refuse a typed serial number of a known motor that was not shown to the person yet."""
    cleaned = form.cleaned_data
    serial = number_key(cleaned["serial"])
    if cleaned["motor"] is not None or not serial or number_key(cleaned["seen_serial"]) == serial:
        return
    if motors_with_serial(serial):
        text = _(
            "Repeat motor: we have had this serial number in before. Choose it below, or save again if this is "
            "a different motor."
        )
        raise WorkOrderError(text, "serial")


def motors_with_serial(serial: str) -> list[Motor]:
    """Return known motors that bear a serial number, however it is written."""
    return list(Motor.objects.with_serial(serial).with_owner().order_by("-pk")[:KNOWN_SHOWN])


def _page(
    request: ShopRequest,
    values: Mapping[str, Any],
    *,
    form: OpenJobForm | None = None,
    part: str = "",
    status: int = 200,
) -> HttpResponse:
    motor, owner = _chosen(values)
    units, serial = request.user.units, bare_serial(str(values.get("serial", "")))
    known = [] if motor else motors_with_serial(serial)
    if form is None:
        shown = {**values, "seen_serial": serial if known else ""}
        form = OpenJobForm(initial=shown, owner=owner)
    elif known:
        form.data = {
            **{name: form.data[name] for name in form.data},
            "seen_serial": " ".join(serial.split()),
        }
    context = {
        "form": form,
        "motor": motor_with_history(motor, units) if motor else None,
        "owner": owner,
        "known": [motor_with_history(one, units) for one in known],
        "found": _found(str(values.get("find", "")), owner) if not motor else None,
        "sites": owner.sites.values_list("name", flat=True) if owner and not motor else (),
    }
    if part:
        name = "office/_open_job_known.html" if part == "serial" else "office/_open_job_who.html"
        return render(request, name, context)
    return render(request, "office/open_job.html", context, status=status)


def _found(typed: str, owner: Customer | None) -> Found:
    """Return what answers the search; a chosen customer offers its own motors as long as nothing is typed."""
    if typed.strip() or owner is None:
        return find(typed)
    return replace(find(owner.name), customers=[])


def motor_with_history(motor: Motor, units: str) -> dict[str, object]:
    """Return a motor with what was done to it, newest first."""
    jobs = job_rows(jobs_of_motor(motor)[: HISTORY_SHOWN + 1])
    power, speed = motor.si("power_w"), motor.si("rated_speed_rpm")
    return {
        "row": motor,
        "plate": plate_words(power, speed, units),
        "jobs": jobs[:HISTORY_SHOWN],
        "more": len(jobs) > HISTORY_SHOWN,
        "open": [job for job in jobs if job["is_open"]],
    }
