"""Forms about customers, sites and contacts."""

from __future__ import annotations

from typing import Any

from django import forms
from django.conf import settings
from django.utils.translation import gettext_lazy as _

from repairs.customers.models import Customer, Site
from repairs.people.models import User


class KeyedForm(forms.Form):
    """A form that adds something: it is carried out once."""

    form_key = forms.CharField(widget=forms.HiddenInput, max_length=64)


class VersionedForm(forms.Form):
    """A form that changes something: it carries the version that was shown."""

    version = forms.IntegerField(widget=forms.HiddenInput)


class CustomerFields(forms.Form):
    name = forms.CharField(label=_("Name"), max_length=120)
    address = forms.CharField(
        label=_("Address"), max_length=500, required=False, widget=forms.Textarea(attrs={"rows": 3})
    )
    note = forms.CharField(
        label=_("Note (shop only)"),
        max_length=2000,
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
    )
    report_language = forms.ChoiceField(label=_("Report language"), choices=settings.LANGUAGES)
    report_units = forms.ChoiceField(label=_("Report units"), choices=User.Units.choices)
    paper = forms.ChoiceField(label=_("Paper size"), choices=Customer.Paper.choices)


class NewCustomerForm(CustomerFields, KeyedForm):
    """A customer who is not in the list yet."""


class CustomerForm(CustomerFields, VersionedForm):
    """A customer in the list."""


class SiteFields(forms.Form):
    name = forms.CharField(label=_("Site"), max_length=120)
    address = forms.CharField(
        label=_("Address"), max_length=500, required=False, widget=forms.Textarea(attrs={"rows": 3})
    )


class NewSiteForm(SiteFields, KeyedForm):
    """A place of a customer's."""


class SiteForm(SiteFields, VersionedForm):
    """A place that is in the list."""


class ContactFields(forms.Form):
    name = forms.CharField(label=_("Name"), max_length=120)
    role = forms.CharField(label=_("Role"), max_length=120, required=False)
    telephone = forms.CharField(
        label=_("Phone"), max_length=60, required=False, widget=forms.TextInput(attrs={"type": "tel"})
    )
    email = forms.EmailField(label=_("Email"), required=False, max_length=254)
    site = forms.ModelChoiceField(
        label=_("Site"), queryset=Site.objects.none(), required=False, empty_label=_("no site")
    )

    def __init__(self, *args: Any, customer: Customer, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        field = self.fields["site"]
        assert isinstance(field, forms.ModelChoiceField)
        field.queryset = customer.sites.all()


class NewContactForm(ContactFields, KeyedForm):
    """A person at the customer's."""


class ContactForm(ContactFields, VersionedForm):
    """A person in the list."""
