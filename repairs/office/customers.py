"""Customers, their sites and contacts."""

from __future__ import annotations

from typing import Any

from django import forms
from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods
from django.views.decorators.vary import vary_on_headers

from repairs.customers import services
from repairs.customers.models import Contact, Customer, Site
from repairs.office.customer_forms import (
    ContactForm,
    CustomerForm,
    NewContactForm,
    NewCustomerForm,
    NewSiteForm,
    SiteForm,
)
from repairs.office.history_rows import job_rows, motor_rows
from repairs.office.merge_rows import merge_context
from repairs.office.saving import new_key, save_guarded, save_once, stored_meanwhile, with_version
from repairs.people.middleware import actor_of
from repairs.people.permissions import Permission, allow
from repairs.people.requests import ShopRequest
from repairs.work_orders.histories import SHOWN, customers_counted, jobs_of_customer, motors_counted
from repairs.work_orders.models import Merge

PAGE = 50


@require_GET
@allow(Permission.VIEW_SHOP)
@vary_on_headers("HX-Request")
def customer_list(request: ShopRequest) -> HttpResponse:
    """List customers by name; what is typed above narrows the list."""
    typed = request.GET.get("q", "")[:120]
    page = Paginator(customers_counted(typed), PAGE).get_page(request.GET.get("page"))
    context = {
        "page_obj": page,
        "typed": typed,
        "may_edit": request.user.may(Permission.EDIT_CUSTOMERS),
    }
    part = request.htmx and not request.htmx.history_restore_request
    return render(request, "office/_customer_list.html" if part else "office/customer_list.html", context)


@require_GET
@allow(Permission.VIEW_SHOP)
def customer(request: ShopRequest, pk: int) -> HttpResponse:
    """Show a customer: where their motors stand, whom to call, what is in the shop."""
    shown = get_object_or_404(Customer.objects.select_related("merged_into"), pk=pk)
    current = shown.merged_into_id is None
    motors = list(motors_counted("", shown.pk)[: SHOWN + 1])
    context = {
        "customer": shown,
        "sites": shown.sites.all(),
        "contacts": shown.contacts.select_related("site"),
        "motors": motor_rows(motors[:SHOWN], request.user.units),
        "more_motors": len(motors) > SHOWN,
        "jobs": job_rows(jobs_of_customer(shown)),
        "may_edit": current and request.user.may(Permission.EDIT_CUSTOMERS),
        "may_open": current and request.user.may(Permission.OPEN_JOBS),
        "may_edit_motors": current and request.user.may(Permission.EDIT_MOTORS),
        **merge_context(Merge.Kind.CUSTOMER, shown, request.user),
    }
    return render(request, "office/customer.html", context)


def _form_page(
    request: ShopRequest, form: forms.Form, *, title: str, back: Any, status: int = 200, **more: Any
) -> HttpResponse:
    """Show a form of one row; 422 when it was refused, so that a fragment of it is put in place too."""
    status = 422 if status == 200 and form.errors else status
    context = {"form": form, "title": title, "back": back, **more}
    return render(request, "office/customer_form.html", context, status=status)


@require_http_methods(["GET", "POST"])
@allow(Permission.EDIT_CUSTOMERS)
def new_customer(request: ShopRequest) -> HttpResponse:
    """Add a customer."""
    initial = {
        "form_key": new_key(),
        "name": request.GET.get("name", "")[:120],
        "report_units": request.user.units,
    }
    form = NewCustomerForm(request.POST or None, initial=initial)
    if request.method == "POST" and form.is_valid():
        fields = _fields(form)
        actor = actor_of(request)
        answer = save_once(actor, form, lambda: {"pk": services.create_customer(actor=actor, **fields).pk})
        if answer:
            return redirect("office:customer", pk=answer["pk"])
    return _form_page(request, form, title=_("Add customer"), back=None)


def _fields(form: forms.Form) -> dict[str, object]:
    return {name: value for name, value in form.cleaned_data.items() if name not in {"form_key", "version"}}


@require_http_methods(["GET", "POST"])
@allow(Permission.EDIT_CUSTOMERS)
def edit_customer(request: ShopRequest, pk: int) -> HttpResponse:
    """Change a customer."""
    shown = get_object_or_404(Customer, pk=pk)
    names = ("name", "address", "note", "report_language", "report_units", "paper")
    form = CustomerForm(request.POST or None, initial=_initial(shown, names, shown.version))
    return _edit(request, shown, form, shown, names, services.change_customer, "customer")


def _initial(row: Any, names: tuple[str, ...], version: int) -> dict[str, object]:
    return {**{name: getattr(row, name) for name in names}, "version": version}


def _edit(
    request: ShopRequest,
    owner: Customer,
    form: Any,
    row: Any,
    names: tuple[str, ...],
    change: Any,
    argument: str,
) -> HttpResponse:
    """Change a customer, site or contact under the customer's version."""
    status = 200
    if request.method == "POST":
        status = save_guarded(
            form, lambda: change(actor=actor_of(request), **{argument: row}, **form.cleaned_data)
        )
        if status == 200:
            messages.success(request, _("{name} saved.").format(name=form.cleaned_data["name"]))
            return redirect("office:customer", pk=owner.pk)
    differs = []
    if status == 409:
        row.refresh_from_db()
        owner.refresh_from_db()
        with_version(form, owner.version)
        differs = stored_meanwhile(form, _initial(row, names, 0), names)
    return _form_page(request, form, title=str(row), back=owner, status=status, differs=differs)


@require_http_methods(["GET", "POST"])
@allow(Permission.EDIT_CUSTOMERS)
def new_site(request: ShopRequest, pk: int) -> HttpResponse:
    """Add a place of a customer's."""
    owner = get_object_or_404(Customer, pk=pk)
    form = NewSiteForm(request.POST or None, initial={"form_key": new_key()})
    return _add(request, owner, form, services.add_site, _("Add site for {customer}"))


@require_http_methods(["GET", "POST"])
@allow(Permission.EDIT_CUSTOMERS)
def new_contact(request: ShopRequest, pk: int) -> HttpResponse:
    """Add a person at a customer's."""
    owner = get_object_or_404(Customer, pk=pk)
    form = NewContactForm(request.POST or None, initial={"form_key": new_key()}, customer=owner)
    return _add(request, owner, form, services.add_contact, _("Add contact for {customer}"))


def _add(request: ShopRequest, owner: Customer, form: Any, add: Any, title: str) -> HttpResponse:
    if request.method == "POST" and form.is_valid():
        actor = actor_of(request)
        fields = _fields(form)
        if save_once(actor, form, lambda: {"pk": add(actor=actor, customer=owner, **fields).pk}):
            messages.success(request, _("{name} added.").format(name=fields["name"]))
            return redirect("office:customer", pk=owner.pk)
    return _form_page(request, form, title=title.format(customer=owner), back=owner)


@require_http_methods(["GET", "POST"])
@allow(Permission.EDIT_CUSTOMERS)
def site(request: ShopRequest, pk: int) -> HttpResponse:
    """Change a site."""
    shown = get_object_or_404(Site.objects.select_related("customer"), pk=pk)
    names = ("name", "address")
    form = SiteForm(request.POST or None, initial=_initial(shown, names, shown.customer.version))
    return _edit(request, shown.customer, form, shown, names, services.change_site, "site")


@require_http_methods(["GET", "POST"])
@allow(Permission.EDIT_CUSTOMERS)
def contact(request: ShopRequest, pk: int) -> HttpResponse:
    """Change a contact."""
    shown = get_object_or_404(Contact.objects.select_related("customer", "site"), pk=pk)
    names = ("name", "role", "telephone", "email", "site")
    form = ContactForm(
        request.POST or None,
        initial=_initial(shown, names, shown.customer.version),
        customer=shown.customer,
    )
    return _edit(request, shown.customer, form, shown, names, services.change_contact, "contact")
