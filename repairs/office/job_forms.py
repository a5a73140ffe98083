"""Forms on a job's page."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from repairs.customers.models import Contact, Customer, Site
from repairs.office.customer_forms import VersionedForm
from repairs.work_orders.models import Job


class JobForm(VersionedForm):
    """A job's paperwork."""

    complaint = forms.CharField(
        label=_("Complaint, customer's words"),
        max_length=4000,
        required=False,
        widget=forms.Textarea(attrs={"rows": 4}),
    )
    purchase_order = forms.CharField(label=_("PO no."), required=False, max_length=60)
    priority = forms.ChoiceField(label=_("Priority"), choices=Job.Priority.choices)
    promised_on = forms.DateField(
        label=_("Promised date"),
        required=False,
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
    )
    site = forms.ModelChoiceField(
        label=_("Site"), queryset=Site.objects.none(), required=False, empty_label=_("no site")
    )
    contact = forms.ModelChoiceField(
        label=_("Contact"), queryset=Contact.objects.none(), required=False, empty_label=_("no contact")
    )

    def __init__(self, *args: Any, owner: Customer, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name, rows in (("site", owner.sites.all()), ("contact", owner.contacts.all())):
            field = self.fields[name]
            assert isinstance(field, forms.ModelChoiceField)
            field.queryset = rows
