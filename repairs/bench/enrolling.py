"""Enrol a tablet that several people share."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from repairs.bench.sign_in_forms import CodeForm
from repairs.people.client_address import client_address
from repairs.people.device_services import DeviceError, enrol_device
from repairs.people.permissions import open_to_everyone
from repairs.people.tablet_session import device_of, give_token, leave


@require_http_methods(["GET", "POST"])
@open_to_everyone
def enrol(request: HttpRequest) -> HttpResponse:
    """Take the code that an administrator was given, and leave the tablet's token in its browser."""
    form = CodeForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        try:
            device, token = enrol_device(code=form.cleaned_data["code"], place=client_address(request))
        except DeviceError as error:
            form.add_error(error.field, str(error))
        else:
            leave(request)
            messages.success(request, _("This tablet is now “{name}”.").format(name=device.name))
            response = redirect("bench:people")
            give_token(response, token)
            return response
    context = {"form": form, "device": device_of(request)}
    return render(request, "bench/enrol.html", context, status=422 if form.errors else 200)
