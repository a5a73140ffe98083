"""The form that opens a job."""

from __future__ import annotations

from datetime import date
from typing import Any

from django import forms
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from repairs.customers.models import Contact, Customer
from repairs.motors.models import Motor
from repairs.motors.plate_fields import STATES
from repairs.office.serial_field import read_serial, serial_field
from repairs.work_orders.models import Job, RouteTemplate
from repairs.work_orders.services.opening import past_promise
from repairs.work_orders.services.receiving import NewContact, NewMotor

_OFF = {"autocomplete": "off"}


class OpenJobForm(forms.Form):
    """Everything that is asked on one page. A chosen motor or customer stands in a hidden field."""

    form_key = forms.CharField(widget=forms.HiddenInput, max_length=64)
    motor = forms.ModelChoiceField(
        queryset=Motor.objects.current().with_owner(), required=False, widget=forms.HiddenInput
    )
    customer = forms.ModelChoiceField(
        queryset=Customer.objects.current(), required=False, widget=forms.HiddenInput
    )
    seen_serial = forms.CharField(required=False, max_length=80, widget=forms.HiddenInput)

    find = forms.CharField(
        label=_("Find motor or customer"),
        required=False,
        max_length=120,
        widget=forms.TextInput(attrs={**_OFF, "type": "search"}),
        help_text=_("Any part of serial number, tag or name."),
    )
    customer_name = forms.CharField(
        label=_("New customer's name"), required=False, max_length=120, widget=forms.TextInput(attrs=_OFF)
    )
    serial = serial_field()
    # Said by the keys in the field (-, ?, ~); the page keeps no list beside it.
    serial_state = forms.ChoiceField(
        choices=list(STATES.items()), initial="read", required=False, widget=forms.HiddenInput
    )
    tag = forms.CharField(
        label=_("Customer's tag"), required=False, max_length=80, widget=forms.TextInput(attrs=_OFF)
    )
    build = forms.ChoiceField(label=_("Motor type"), choices=Motor.Build.choices, required=False)
    site = forms.CharField(
        label=_("Site"),
        required=False,
        max_length=120,
        widget=forms.TextInput(attrs={**_OFF, "list": "site-names"}),
    )
    contact = forms.ModelChoiceField(
        label=_("Contact"), queryset=Contact.objects.none(), required=False, empty_label=_("no contact")
    )
    contact_name = forms.CharField(label=_("New contact's name"), required=False, max_length=120)
    contact_telephone = forms.CharField(
        label=_("Phone"), required=False, max_length=60, widget=forms.TextInput(attrs={"type": "tel"})
    )

    complaint = forms.CharField(
        label=_("Complaint, customer's words"),
        max_length=4000,
        widget=forms.Textarea(attrs={"rows": 4}),
    )
    purchase_order = forms.CharField(label=_("PO no."), required=False, max_length=60)
    priority = forms.ChoiceField(label=_("Priority"), choices=Job.Priority.choices)
    promised_on = forms.DateField(
        label=_("Promised date"),
        required=False,
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        help_text=_("Today or later."),
    )
    template = forms.ModelChoiceField(
        label=_("Route"),
        queryset=RouteTemplate.objects.filter(active=True),
        required=False,
        empty_label=_("default for the motor type"),
    )

    def __init__(self, *args: Any, owner: Customer | None = None, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        # What a screen reader says; the page shows the keys as keys.
        self.fields["serial"].help_text = _("- not on plate, ? illegible, ~ before a value from elsewhere")
        field = self.fields["contact"]
        assert isinstance(field, forms.ModelChoiceField)
        if owner is not None:
            field.queryset = owner.contacts.all()

    def clean_promised_on(self) -> date | None:
        """Refuse a promise in the past together with whatever else is wrong."""
        promised: date | None = self.cleaned_data["promised_on"]
        if wrong := past_promise(promised, timezone.localdate()):
            raise forms.ValidationError(wrong)
        return promised

    def clean(self) -> dict[str, Any]:
        """Let a mark in the field of the serial number say how it was read, as everywhere on the plate."""
        cleaned = super().clean() or self.cleaned_data
        cleaned["serial"], cleaned["serial_state"] = read_serial(
            cleaned.get("serial") or "", cleaned.get("serial_state") or "read"
        )
        return cleaned

    def for_service(self) -> dict[str, Any]:
        """Return what the service asks for; a chosen motor or customer outweighs typed ones."""
        cleaned = self.cleaned_data
        names = ("complaint", "purchase_order", "priority", "promised_on", "template", "motor", "contact")
        asked = {name: cleaned[name] for name in names}
        asked["customer"], asked["customer_name"] = cleaned["customer"], cleaned["customer_name"]
        if cleaned["motor"] is None:
            keys = ("serial", "serial_state", "tag", "build", "site")
            # What was not asked, because the page did not show it, takes the value that the page begins with.
            asked["new_motor"] = NewMotor(**{name: cleaned[name] for name in keys if cleaned[name]})
        if cleaned["contact"] is None and cleaned["contact_name"].strip():
            asked["new_contact"] = NewContact(
                name=cleaned["contact_name"], telephone=cleaned["contact_telephone"]
            )
        return asked
