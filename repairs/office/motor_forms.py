"""Forms about motors."""

from __future__ import annotations

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from repairs.customers.models import Customer, Site
from repairs.motors.models import Motor
from repairs.motors.plate_fields import STATES
from repairs.office.customer_forms import KeyedForm, VersionedForm
from repairs.office.serial_field import read_serial, serial_field

CLOSE_NAMES = 5


def find_customer(name: str) -> Customer:
    """Return the customer of that name, however it is written; refuse with the names that come close."""
    words = " ".join(name.split())
    found = Customer.objects.filter(name__iexact=words).select_related("merged_into").first()
    if found is not None:
        return found.merged_into or found
    close = list(Customer.objects.current().called(words).values_list("name", flat=True)[:CLOSE_NAMES])
    if close:
        text = _("No customer named “{name}”. Similar: {close}.")
        raise forms.ValidationError(text.format(name=words, close=", ".join(close)))
    raise forms.ValidationError(_("No customer named “{name}”. Add the customer first.").format(name=words))


def find_site(customer: Customer, name: str) -> Site | None:
    """Return a customer's site by its name; None for an empty one; refuse with the names that there are."""
    words = " ".join(name.split())
    if not words:
        return None
    sites = list(customer.sites.all())
    found = next((site for site in sites if site.name.casefold() == words.casefold()), None)
    if found is None:
        known = ", ".join(site.name for site in sites) or _("none yet")
        text = _("{customer} has no site “{name}”. Sites: {known}. Add it on the customer's page.")
        raise forms.ValidationError(text.format(customer=customer, name=words, known=known))
    return found


class MotorFields(forms.Form):
    """What a motor is, beside its plate."""

    customer = forms.CharField(
        label=gettext_lazy("Customer"),
        max_length=120,
        widget=forms.TextInput(attrs={"list": "customer-names", "autocomplete": "off"}),
    )
    site = forms.CharField(
        label=gettext_lazy("Site"),
        max_length=120,
        required=False,
        widget=forms.TextInput(attrs={"list": "site-names", "autocomplete": "off"}),
    )
    tag = forms.CharField(label=gettext_lazy("Customer's tag"), max_length=80, required=False)
    serial = serial_field()
    serial_state = forms.ChoiceField(
        label=gettext_lazy("Serial no. is"),
        choices=list(STATES.items()),
        initial="read",
        widget=forms.Select(
            attrs={
                "class": "plate-row__state",
                "data-plate-state": "",
                "aria-label": gettext_lazy("Serial no.: how it was read"),
            }
        ),
    )
    build = forms.ChoiceField(label=gettext_lazy("Motor type"), choices=Motor.Build.choices)
    seen_serial = forms.CharField(required=False, max_length=80, widget=forms.HiddenInput)
    note = forms.CharField(
        label=gettext_lazy("Note"), max_length=2000, required=False, widget=forms.Textarea(attrs={"rows": 2})
    )

    def clean_customer(self) -> Customer:
        return find_customer(self.cleaned_data["customer"])

    def clean(self) -> dict[str, object]:
        cleaned = super().clean() or self.cleaned_data
        cleaned["serial"], cleaned["serial_state"] = read_serial(
            cleaned.get("serial") or "",
            cleaned.get("serial_state") or "read",
            str(self.initial.get("serial_state", "read")),
        )
        if isinstance(cleaned.get("customer"), Customer):
            try:
                cleaned["site"] = find_site(cleaned["customer"], cleaned.get("site") or "")
            except forms.ValidationError as error:
                self.add_error("site", error)
        return cleaned


class NewMotorForm(MotorFields, KeyedForm):
    """A motor that is not in the list yet."""


class MotorForm(MotorFields, VersionedForm):
    """A motor in the list."""


class PlatePhotoForm(KeyedForm):
    """A photo of the plate."""

    file = forms.FileField(
        label=gettext_lazy("Nameplate photo"),
        help_text=gettext_lazy("JPEG, PNG, WebP or HEIC. The previous photo is kept on file."),
        widget=forms.ClearableFileInput(attrs={"accept": "image/*"}),
    )
