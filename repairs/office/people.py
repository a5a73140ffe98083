"""People of the shop."""

from __future__ import annotations

from typing import Any
from uuid import uuid4

from django import forms
from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from repairs.ledger.services import LedgerError, carry_out_once
from repairs.office.people_forms import NewPersonForm, PasswordForm, PersonForm
from repairs.people.middleware import actor_of
from repairs.people.models import User
from repairs.people.permissions import Permission, allow
from repairs.people.requests import ShopRequest
from repairs.people.services import (
    PersonError,
    StalePersonError,
    add_person,
    change_person,
    set_password,
)

PERSON_FIELDS = ("first_name", "last_name", "role", "units", "language", "is_active", "version")


@require_http_methods(["GET", "POST"])
@allow(Permission.MANAGE_PEOPLE)
def people(request: ShopRequest) -> HttpResponse:
    """List everybody; add somebody."""
    form = NewPersonForm(request.POST or None, initial={"form_key": uuid4().hex})
    if request.method == "POST" and form.is_valid() and _added(request, form):
        messages.success(
            request, _("{name} added; can sign in now.").format(name=form.cleaned_data["first_name"])
        )
        return redirect("office:people")
    context = {"people": User.objects.order_by("-is_active", "first_name", "username"), "form": form}
    return render(request, "office/people.html", context, status=422 if form.errors else 200)


def _added(request: ShopRequest, form: NewPersonForm) -> bool:
    fields = {name: value for name, value in form.cleaned_data.items() if name != "form_key"}

    def work() -> dict[str, object]:
        return {"pk": add_person(actor=actor_of(request), **fields).pk}

    return _done_once(request, form, work)


def _done_once(request: ShopRequest, form: forms.Form, work: Any) -> bool:
    """Carry a form out once; a refusal is put beside its field."""
    # The ledger keeps a digest of what was sent, and a digest of a short password could be guessed from.
    body = {name: value for name, value in form.cleaned_data.items() if name != "password"}
    try:
        carry_out_once(actor=actor_of(request), key=form.cleaned_data["form_key"], body=body, work=work)
    except (PersonError, LedgerError) as error:
        form.add_error(getattr(error, "field", None), str(error))
        return False
    return True


@require_http_methods(["GET", "POST"])
@allow(Permission.MANAGE_PEOPLE)
def person(request: ShopRequest, pk: int) -> HttpResponse:
    """Change a person."""
    shown = get_object_or_404(User, pk=pk)
    form = PersonForm(request.POST or None, initial={name: getattr(shown, name) for name in PERSON_FIELDS})
    status = 200
    if request.method == "POST":
        status = save_person(
            form, lambda: change_person(actor=actor_of(request), person=shown, **form.cleaned_data)
        )
        if status == 200:
            messages.success(request, _("{name} saved.").format(name=shown.username))
            return redirect("office:people")
    return _person_page(request, shown, form, PasswordForm(initial={"form_key": uuid4().hex}), status)


def save_person(form: forms.Form, change: Any) -> int:
    """Make a change; return 200, or 422 with the reasons in the form, or 409 when the row had changed meanwhile."""
    if not form.is_valid():
        return 422
    try:
        change()
    except StalePersonError as error:
        form.add_error(None, str(error))
        return 409
    except PersonError as error:
        form.add_error(error.field, str(error))
        return 422
    return 200


def _person_page(
    request: ShopRequest, shown: User, form: PersonForm, password_form: PasswordForm, status: int
) -> HttpResponse:
    shown.refresh_from_db()
    context = {"person": shown, "form": form, "password_form": password_form, "stale": status == 409}
    if status == 409:
        # What is typed stays; sending it again now means "mine", because both are seen.
        form.data = {name: form.data[name] for name in form.data} | {"version": str(shown.version)}
    return render(request, "office/person.html", context, status=status)


@require_POST
@allow(Permission.MANAGE_PEOPLE)
def person_password(request: ShopRequest, pk: int) -> HttpResponse:
    """Give a person a new password."""
    shown = get_object_or_404(User, pk=pk)
    form = PasswordForm(request.POST)

    def work() -> dict[str, object]:
        set_password(actor=actor_of(request), person=shown, password=form.cleaned_data["password"])
        return {"pk": shown.pk}

    if form.is_valid() and _done_once(request, form, work):
        messages.success(request, _("New password set for {name}.").format(name=shown))
        return redirect("office:people")
    whole = PersonForm(initial={name: getattr(shown, name) for name in PERSON_FIELDS})
    return _person_page(request, shown, whole, form, 422)
