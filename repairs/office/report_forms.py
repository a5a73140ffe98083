"""What the office fills in to issue a report or to make a private link."""

from __future__ import annotations

from django import forms
from django.conf import settings
from django.utils.translation import gettext_lazy as _

from repairs.customers.models import Customer
from repairs.documents.links import DEFAULT_DAYS, MOST_DAYS
from repairs.people.models import User


class ReportForm(forms.Form):
    """How the report is printed, and why it takes another one's place."""

    paper = forms.ChoiceField(label=_("Paper size"), choices=Customer.Paper.choices)
    units = forms.ChoiceField(label=_("Units"), choices=User.Units.choices)
    language = forms.ChoiceField(label=_("Language"), choices=settings.LANGUAGES)
    reason = forms.CharField(
        label=_("Reason for a new issue"),
        max_length=300,
        required=False,
        help_text=_("The customer reads this on the report. Leave empty for the first issue."),
    )

    @classmethod
    def for_customer(cls, customer: Customer) -> ReportForm:
        """Return the form as the customer likes to read."""
        known = dict(settings.LANGUAGES)
        initial: dict[str, object] = {"paper": customer.paper, "units": customer.report_units}
        initial["language"] = customer.report_language if customer.report_language in known else "en"
        return cls(initial=initial)


class LinkForm(forms.Form):
    """How long a private link opens the customer's page."""

    days = forms.IntegerField(
        label=_("Link expires in (days)"),
        min_value=1,
        max_value=MOST_DAYS,
        initial=DEFAULT_DAYS,
        help_text=_("1 to 730"),
        widget=forms.NumberInput(attrs={"inputmode": "numeric"}),
    )
