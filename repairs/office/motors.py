"""Motors: what they are, what their plates say, what was done to them."""

from __future__ import annotations

from typing import Any, TypedDict

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST
from django.views.decorators.vary import vary_on_headers

from repairs.customers.models import Customer
from repairs.edge.names import number_key
from repairs.edge.numbers import row_key
from repairs.ledger.files import NewFiles
from repairs.motors.models import Motor, ThrustSheet
from repairs.motors.nameplate import shown
from repairs.motors.plate_fields import BY_KEY, FIELDS, GROUPS, STATES
from repairs.motors.plausibility import remarks
from repairs.motors.services import MotorError, change_motor, create_motor
from repairs.motors.thrust_words import newest_rows
from repairs.motors.working import worked_figures
from repairs.office.history_rows import job_rows, motor_rows
from repairs.office.merge_rows import merge_context
from repairs.office.motor_forms import MotorForm, NewMotorForm, PlatePhotoForm
from repairs.office.plate_form import SERIAL_AFTER, PlateForm
from repairs.office.recheck_rows import told_rows
from repairs.office.saving import new_key, save_guarded, save_once, stored_meanwhile, with_version
from repairs.office.serial_field import serial_as_typed
from repairs.people.middleware import actor_of
from repairs.people.permissions import Permission, allow
from repairs.people.requests import ShopRequest
from repairs.photos.models import Photo
from repairs.photos.services import prepare_photo, save_photo
from repairs.rechecks.reading import told_of_motor, with_rechecks_of_motors
from repairs.work_orders.histories import jobs_of_motor, motors_counted
from repairs.work_orders.models import Merge

PAGE = 50
NAMES_OFFERED = 20


@require_GET
@allow(Permission.VIEW_SHOP)
@vary_on_headers("HX-Request")
def motor_list(request: ShopRequest) -> HttpResponse:
    """List motors, newest first; what is typed narrows the list."""
    typed, owner = request.GET.get("q", "")[:120], None
    if asked := request.GET.get("customer"):
        owner = get_object_or_404(Customer, pk=row_key(asked))
    page = Paginator(motors_counted(typed, owner.pk if owner else None), PAGE).get_page(
        request.GET.get("page")
    )
    context = {
        "page_obj": page,
        "motors": motor_rows(page.object_list, request.user.units),
        "typed": typed,
        "owner": owner,
        "may_edit": request.user.may(Permission.EDIT_MOTORS),
    }
    part = request.htmx and not request.htmx.history_restore_request
    return render(request, "office/_motor_list.html" if part else "office/motor_list.html", context)


@require_GET
@allow(Permission.VIEW_SHOP)
def customer_names(request: ShopRequest) -> HttpResponse:
    """Return names to choose from while one types a customer's name."""
    typed = request.GET.get("customer", "")[:120]
    names = (
        Customer.objects.current().called(typed).values_list("name", flat=True)[:NAMES_OFFERED]
        if typed.strip()
        else ()
    )
    return render(request, "office/_names.html", {"names": names})


@require_GET
@allow(Permission.VIEW_SHOP)
def motor(request: ShopRequest, pk: int) -> HttpResponse:
    """Show a motor."""
    return _motor_page(request, _motor(pk), PlatePhotoForm(initial={"form_key": new_key()}))


def _motor(pk: int) -> Motor:
    motors = with_rechecks_of_motors(Motor.objects.with_owner().select_related("plate_photo", "merged_into"))
    return get_object_or_404(motors.annotate(thrust=ThrustSheet.objects.newest_values("pk")), pk=pk)


def _motor_page(request: ShopRequest, shown_motor: Motor, photo_form: PlatePhotoForm) -> HttpResponse:
    may = request.user.may
    context = {
        "motor": shown_motor,
        "serial": serial_words(shown_motor),
        "plates": plate_groups(shown_motor, request.user.units),
        "worked": worked_figures(shown_motor, request.user.units),
        "remarks": [
            {"severity": one.severity, "title": one.text, "source": one.source}
            for one in remarks(shown_motor)
        ],
        "thrust": newest_rows(shown_motor, request.user.units),
        "recheck_rows": told_rows(told_of_motor(shown_motor), request.user.units),
        "jobs": job_rows(jobs_of_motor(shown_motor)),
        "photo_form": photo_form,
        "may_edit": may(Permission.EDIT_MOTORS) and shown_motor.merged_into_id is None,
        "may_open": may(Permission.OPEN_JOBS) and shown_motor.merged_into_id is None,
        **merge_context(Merge.Kind.MOTOR, shown_motor, request.user),
    }
    return render(request, "office/motor.html", context, status=422 if photo_form.errors else 200)


def serial_words(motor: Motor) -> str:
    """Return the serial number, or why there is none."""
    if motor.serial_state in {"illegible", "missing"}:
        return str(STATES[motor.serial_state])
    return f"{motor.serial}, {_('inferred')}" if motor.serial_state == "inferred" else motor.serial


class PlateGroup(TypedDict):
    """One heading of a plate with its labels and values."""

    title: str | Promise
    rows: list[tuple[str | Promise, str]]


def plate_groups(motor: Motor, units: str) -> list[PlateGroup]:
    """Return what stands on the plate, group by group, in the reader's units."""
    groups: list[PlateGroup] = []
    for group, title in GROUPS:
        rows = [
            (field.label, shown(field, motor.nameplate[field.key], units))
            for field in FIELDS
            if field.group == group and field.key in motor.nameplate
        ]
        if rows:
            groups.append({"title": title, "rows": rows})
    return groups


@require_http_methods(["GET", "POST"])
@allow(Permission.EDIT_MOTORS)
def new_motor(request: ShopRequest) -> HttpResponse:
    """Add a motor with what its plate says."""
    owner = None
    if asked := request.GET.get("customer"):
        owner = get_object_or_404(Customer, pk=row_key(asked))
    initial = {"form_key": new_key(), "customer": owner.name if owner else ""}
    form = NewMotorForm(request.POST or None, initial=initial)
    plate = PlateForm(request.POST or None, {}, request.user.units)
    if request.method == "POST" and form.is_valid() and plate.is_valid():
        actor = actor_of(request)
        aside = {"form_key", "seen_serial"}
        fields = {name: value for name, value in form.cleaned_data.items() if name not in aside}
        form.cleaned_data["nameplate"] = plate.nameplate

        def work() -> dict[str, object]:
            _propose_known(form, None)
            return {"pk": create_motor(actor=actor, nameplate=plate.nameplate, **fields).pk}

        if answer := save_once(actor, form, work):
            return redirect("office:motor", pk=answer["pk"])
    return _edit_page(request, form, plate, None, 200)


@require_http_methods(["GET", "POST"])
@allow(Permission.EDIT_MOTORS)
def edit_motor(request: ShopRequest, pk: int) -> HttpResponse:
    """Change a motor and what its plate says."""
    row = _motor(pk)
    form = MotorForm(request.POST or None, initial=_as_typed(_initial(row)))
    plate = PlateForm(request.POST or None, row.nameplate, request.user.units)
    status = 200
    if request.method == "POST":
        status = 422
        if form.is_valid() and plate.is_valid():
            fields = {name: value for name, value in form.cleaned_data.items() if name != "seen_serial"}

            def change() -> Motor:
                _propose_known(form, row)
                return change_motor(actor=actor_of(request), motor=row, nameplate=plate.nameplate, **fields)

            status = save_guarded(form, change)
        if status == 200:
            messages.success(request, _("{motor} saved.").format(motor=row))
            return redirect("office:motor", pk=row.pk)
    return _edit_page(request, form, plate, row, status)


def _propose_known(form: Any, row: Motor | None) -> None:
    """Refuse once a serial number that other motors bear, and show them: sent again, it is another motor.

    The customer's own motor with the very same number is refused for good by the service.
    """
    serial, seen = form.cleaned_data["serial"], form.cleaned_data["seen_serial"]
    if number_key(seen) == number_key(serial) or (row and row.serial_key == number_key(serial)):
        return
    motors = Motor.objects.with_serial(serial).with_owner().order_by("-pk")
    known = [one for one in motors[:NAMES_OFFERED] if row is None or one.pk != row.pk]
    owner = form.cleaned_data["customer"]
    if not known or any(
        one.customer == owner and one.serial.casefold() == serial.casefold() for one in known
    ):
        return
    form.known = known
    form.data = {**{name: form.data[name] for name in form.data}, "seen_serial": serial}
    words = _(
        "Repeat motor: we have had this serial number in before. Use that record, or save again if this is "
        "a different motor."
    )
    raise MotorError(words, "serial")


def _initial(row: Motor) -> dict[str, object]:
    names = ("tag", "serial", "serial_state", "build", "note", "version")
    owner = {"customer": row.customer.name, "site": row.site.name if row.site else ""}
    return {**owner, **{name: getattr(row, name) for name in names}}


def _as_typed(initial: dict[str, object]) -> dict[str, object]:
    """Return a motor's fields as the form shows them: a serial number that cannot be read as its mark."""
    return {**initial, "serial": serial_as_typed(str(initial["serial"]), str(initial["serial_state"]))}


def _edit_page(
    request: ShopRequest, form: Any, plate: PlateForm, row: Motor | None, status: int
) -> HttpResponse:
    differs: list[tuple[str, str]] = []
    if status == 409 and row is not None:
        row = _motor(row.pk)
        with_version(form, row.version)
        differs = _stored_meanwhile(form, plate, row, request.user.units)
    context = {
        "form": form,
        "motor": row,
        "groups": plate.groups(frozenset({"main"})),
        "refused": plate.refused(),
        "serial_after": SERIAL_AFTER,
        "states": list(STATES.items()),
        "differs": differs,
        "known": getattr(form, "known", []),
        "sites": row.customer.sites.values_list("name", flat=True) if row else (),
    }
    status = 422 if status == 200 and (form.errors or plate.errors) else status
    return render(request, "office/motor_form.html", context, status=status)


def _stored_meanwhile(form: Any, plate: PlateForm, row: Motor, units: str) -> list[tuple[str, str]]:
    """Return what is stored now and differs from what is typed, on the plate too."""
    stored = {**_initial(row), "customer": row.customer, "site": row.site}
    names = ("customer", "site", "tag", "serial", "serial_state", "build", "note")
    keys = [key for key in BY_KEY if plate.nameplate.get(key) != row.nameplate.get(key)]
    rows = [
        (str(BY_KEY[key].label), shown(BY_KEY[key], row.nameplate.get(key), units) or _("empty"))
        for key in keys
    ]
    return [*stored_meanwhile(form, stored, names), *rows]


@require_POST
@allow(Permission.EDIT_MOTORS)
def plate_photo(request: ShopRequest, pk: int) -> HttpResponse:
    """Take a photo of the plate in; a refused file leaves the one before."""
    row = _motor(pk)
    form = PlatePhotoForm(request.POST, request.FILES)
    if form.is_valid():
        actor, file = actor_of(request), form.cleaned_data["file"]
        form.cleaned_data["file"] = (file.name, file.size)

        def work(prepared: tuple[Photo, list[str]]) -> dict[str, object]:
            photo = save_photo(prepared[0])
            change_motor(actor=actor, motor=row, version=row.version, plate_photo=photo)
            return {"pk": row.pk, "said": prepared[1]}

        with NewFiles() as new:

            def prepare() -> tuple[Photo, list[str]]:
                caption = _("nameplate of {motor}").format(motor=row)
                return prepare_photo(actor_id=actor.person_id, file=file, new=new, caption=caption)

            answer = save_once(actor, form, work, prepare=prepare)
        if answer:
            messages.success(request, " ".join([_("Photo saved."), *answer.get("said", [])]))
            return redirect("office:motor", pk=row.pk)
    return _motor_page(request, row, form)
