"""Carry a form out, and put what is refused beside the field that it is about."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import Any, Final
from uuid import uuid4

from django import forms
from django.utils.translation import gettext as _

from repairs.customers.services import CustomerError, StaleCustomerError
from repairs.ledger.services import Actor, LedgerError, carry_out_once
from repairs.motors.services import MotorError, StaleMotorError
from repairs.photos.services import PhotoError
from repairs.work_orders.errors import StaleVersionError, WorkOrderError

STALE: Final = (StaleCustomerError, StaleMotorError, StaleVersionError)
REFUSALS: Final = (CustomerError, MotorError, WorkOrderError, LedgerError, PhotoError)


def new_key() -> str:
    """Return the key of a form that is shown for the first time."""
    return uuid4().hex


def refuse(form: forms.BaseForm, error: Exception) -> None:
    """Put a refusal beside its field, or over the form when it has no field there."""
    field = getattr(error, "field", None)
    form.add_error(field if field in form.fields else None, str(error))


def save_once(
    actor: Actor,
    form: forms.Form,
    work: Callable[..., dict[str, object]],
    body: Mapping[str, Any] | None = None,
    *,
    prepare: Callable[[], Any] | None = None,
    discard: Callable[[Any], None] | None = None,
) -> dict[str, Any] | None:
    """Carry a valid form out once for its key; return the answer, or None with the reason in the form.

    ``body`` is what makes two submissions the same one, when that is not simply what the form says.
    ``prepare`` and ``discard`` are those of ``carry_out_once``.
    """
    key = form.cleaned_data["form_key"]
    same = body or {name: value for name, value in form.cleaned_data.items() if name != "form_key"}
    try:
        if prepare is None:
            answer, _again = carry_out_once(actor=actor, key=key, body=same, work=work)
        else:
            answer, _again = carry_out_once(
                actor=actor, key=key, body=same, prepare=prepare, work=work, discard=discard
            )
    except REFUSALS as error:
        refuse(form, error)
        return None
    return answer


def save_guarded(form: forms.Form, change: Callable[[], Any]) -> int:
    """Make a change of a row; return 200, or 422 or 409 with the reasons in the form."""
    if not form.is_valid():
        return 422
    try:
        change()
    except STALE as error:
        form.add_error(None, str(error))
        return 409
    except REFUSALS as error:
        refuse(form, error)
        return 422
    return 200


def with_version(form: forms.Form, version: int) -> None:
    """Let a form that was refused as stale be sent again: both values were seen."""
    form.data = {**{name: form.data[name] for name in form.data}, "version": str(version)}


def stored_meanwhile(
    form: forms.Form, stored: Mapping[str, Any], names: Iterable[str]
) -> list[tuple[str, str]]:
    """Return label and stored value of each field that now differs from what is typed."""
    rows = []
    for name in names:
        typed, kept = form.cleaned_data.get(name), stored[name]
        if typed != kept:
            rows.append((str(form.fields[name].label), str(kept) if kept not in (None, "") else _("empty")))
    return rows
