"""Change a job's motor: the wrong one was chosen when the job was opened."""

from __future__ import annotations

from typing import Any

from django import forms
from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_http_methods

from repairs.motors.models import Motor
from repairs.office.customer_forms import VersionedForm
from repairs.office.saving import save_guarded
from repairs.people.middleware import actor_of
from repairs.people.permissions import Permission, allow
from repairs.people.requests import ShopRequest
from repairs.work_orders.models import Job
from repairs.work_orders.services.job_motor import change_job_motor, motor_stays


class MotorChoice(forms.ModelChoiceField):  # type: ignore[type-arg]
    """A motor with its tag, serial number and site, as far as they are known."""

    def label_from_instance(self, obj: Any) -> str:
        return " · ".join(str(word) for word in (obj.tag, obj.serial, obj.site) if word) or str(obj)


class JobMotorForm(VersionedForm):
    """Which motor the job is about, and why it is another one."""

    motor = MotorChoice(
        label=gettext_lazy("Motor in the shop"),
        queryset=Motor.objects.none(),
        empty_label=gettext_lazy("Choose a motor"),
    )
    reason = forms.CharField(
        label=gettext_lazy("Reason for the change"),
        max_length=400,
        help_text=gettext_lazy("For example: wrong serial number chosen at check-in."),
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )

    def __init__(self, *args: Any, job: Job, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        field = self.fields["motor"]
        assert isinstance(field, forms.ModelChoiceField)
        motors = Motor.objects.current().select_related("site").filter(customer_id=job.customer_id)
        field.queryset = motors.exclude(pk=job.motor_id).order_by("tag", "serial", "pk")


@require_http_methods(["GET", "POST"])
@allow(Permission.OPEN_JOBS)
def job_motor(request: ShopRequest, number: str) -> HttpResponse:
    """Show the customer's motors; give the job another one with a reason."""
    job = get_object_or_404(Job.objects.with_motor(), number=number)
    form = JobMotorForm(request.POST or None, job=job, initial={"version": job.version})
    status = 200
    if request.method == "POST":
        status = save_guarded(
            form, lambda: change_job_motor(actor=actor_of(request), job=job, **form.cleaned_data)
        )
        if status == 200:
            messages.success(request, _("Motor of job {number} changed.").format(number=number))
            return redirect("office:job", number=number)
    stays = "" if job.state == Job.State.OPEN else _("The job has ended.")
    context = {"job": job, "form": form, "stays": stays or motor_stays(job)}
    return render(request, "office/job_motor.html", context, status=status)
