"""Jobs: one motor, one visit."""

from __future__ import annotations

from datetime import date

from django.conf import settings
from django.db import models
from django.db.models import Case, F, Value, When
from django.db.models.functions import Coalesce
from django.utils.translation import gettext_lazy as _

from repairs.customers.models import Contact, Customer, Site
from repairs.motors.models import Motor
from repairs.work_orders.models.moments import MadeAtBench
from repairs.work_orders.models.step_kinds import ALL_STEPS_DONE, BOARD_PLACES


class JobCounter(models.Model):
    """The last number given in a year; locked while a number is taken, so that none is skipped."""

    year = models.PositiveIntegerField(primary_key=True)
    last = models.PositiveIntegerField(default=0)

    def __str__(self) -> str:
        return f"{self.year}: {self.last}"


class JobQuerySet(models.QuerySet["Job"]):
    def open(self) -> JobQuerySet:
        """Jobs that are neither closed nor cancelled."""
        return self.filter(state=Job.State.OPEN)

    def late(self, on: date) -> JobQuerySet:
        """Open jobs promised before ``on``; a job promised today is not late."""
        return self.open().filter(promised_on__lt=on)

    def on_hold(self) -> JobQuerySet:
        """Open jobs that wait for somebody."""
        return self.open().filter(on_hold=True)

    def with_motor(self) -> JobQuerySet:
        """Jobs with what a page's head shows, in one query."""
        return self.select_related("motor", "customer", "site", "contact")


class Job(models.Model):
    """A work order. ``step_position``, ``on_hold`` and ``alert_*`` repeat what the rows below say, for the board."""

    class State(models.TextChoices):
        OPEN = "open", _("open")
        CLOSED = "closed", _("closed")
        CANCELLED = "cancelled", _("canceled")

    class Priority(models.TextChoices):
        NORMAL = "normal", _("normal")
        RUSH = "rush", _("rush")
        BREAKDOWN = "breakdown", _("breakdown, overtime approved")

    number = models.CharField(_("job"), max_length=12, unique=True)
    motor = models.ForeignKey(Motor, models.PROTECT, related_name="jobs")
    customer = models.ForeignKey(Customer, models.PROTECT, related_name="jobs")
    site = models.ForeignKey(Site, models.PROTECT, null=True, blank=True, related_name="jobs")
    contact = models.ForeignKey(Contact, models.PROTECT, null=True, blank=True, related_name="jobs")
    complaint = models.TextField(_("customer's complaint"), max_length=4000, blank=True)
    purchase_order = models.CharField(_("PO no."), max_length=60, blank=True)
    priority = models.CharField(
        _("priority"), max_length=10, choices=Priority.choices, default=Priority.NORMAL
    )
    promised_on = models.DateField(_("promised"), null=True, blank=True)
    opened_at = models.DateTimeField(auto_now_add=True)
    opened_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    state = models.CharField(max_length=10, choices=State.choices, default=State.OPEN)
    closed_at = models.DateTimeField(null=True, blank=True)
    end_reason = models.CharField(_("reason the job ended"), max_length=400, blank=True)
    invoice_number = models.CharField(_("invoice no."), max_length=60, blank=True)
    version = models.PositiveIntegerField(default=1)

    step_position = models.PositiveIntegerField(default=0)
    step_title = models.CharField(max_length=120, blank=True)
    step_kind = models.CharField(max_length=20, blank=True)
    steps_total = models.PositiveIntegerField(default=0)
    on_hold = models.BooleanField(default=False)
    hold_words = models.CharField(max_length=160, blank=True)
    hold_since = models.DateTimeField(null=True, blank=True)
    hand_over_open = models.BooleanField(default=False)
    last_person = models.CharField(max_length=150, blank=True)
    last_at = models.DateTimeField(null=True, blank=True)
    alert_severity = models.CharField(max_length=4, blank=True)
    alert = models.JSONField(null=True, blank=True)
    # What two people let pass on this job, with the weight of a stop; empty where nothing was.
    override_words = models.CharField(max_length=200, blank=True)
    # What the board sorts by, kept by the database: a job without a promise comes last under its step.
    board_place = models.GeneratedField(
        expression=Case(
            *(When(step_kind=kind, then=Value(place)) for kind, place in BOARD_PLACES.items()),
            default=Value(ALL_STEPS_DONE),
        ),
        output_field=models.PositiveSmallIntegerField(),
        db_persist=True,
    )
    due_on = models.GeneratedField(
        expression=Coalesce(F("promised_on"), Value(date.max)),
        output_field=models.DateField(),
        db_persist=True,
    )

    objects = JobQuerySet.as_manager()

    class Meta:
        ordering = ["-id"]
        indexes = [
            models.Index(fields=["state", "board_place", "due_on", "id"], name="job_board"),
            models.Index(fields=["state", "promised_on"], name="job_late"),
            models.Index(fields=["state", "on_hold", "hold_since"], name="job_hold"),
            models.Index(fields=["state", "hand_over_open"], name="job_hand_over"),
            models.Index(fields=["purchase_order"], name="job_po"),
        ]
        constraints = [
            models.CheckConstraint(
                condition=models.Q(state="open", closed_at__isnull=True)
                | (~models.Q(state="open") & models.Q(closed_at__isnull=False)),
                name="job_closed_at_only_when_ended",
            )
        ]

    def __str__(self) -> str:
        return self.number

    @property
    def step_to_do(self) -> int | str:
        """The first step that is still to do, for forms that name the step they were made at; empty where none is."""
        waiting = self.steps.filter(state="waiting").order_by("position")
        return waiting.values_list("pk", flat=True).first() or ""


class Hold(models.Model):
    """Why a job waits, since when, and for whom. The reason stays in the shop; the customer reads ``tell_customer``."""

    class WaitsFor(models.TextChoices):
        CUSTOMER = "customer", _("customer")
        PARTS = "parts", _("parts")
        OUTSIDE = "outside", _("outside service")
        SHOP = "shop", _("shop")
        ENGINEER = "engineer", _("engineer")

    job = models.ForeignKey(Job, models.PROTECT, related_name="holds")
    waits_for = models.CharField(_("waiting for"), max_length=10, choices=WaitsFor.choices)
    reason = models.CharField(_("reason"), max_length=200)
    tell_customer = models.CharField(_("tell the customer"), max_length=300, blank=True)
    since = models.DateTimeField(auto_now_add=True)
    set_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    released_at = models.DateTimeField(null=True, blank=True)
    released_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, null=True, related_name="+")

    class Meta:
        ordering = ["-id"]
        constraints = [
            models.UniqueConstraint(
                fields=["job"], condition=models.Q(released_at__isnull=True), name="one_open_hold_per_job"
            )
        ]

    def __str__(self) -> str:
        return self.reason


class Pickup(models.Model):
    """When and with whom the motor left the shop. Never changed: the newest row counts, older ones stay readable."""

    job = models.ForeignKey(Job, models.PROTECT, related_name="pickups")
    left_on = models.DateField(_("picked up"))
    carrier = models.CharField(_("carrier"), max_length=120, blank=True)
    signed_by = models.CharField(_("signed by"), max_length=120)
    note = models.CharField(_("note"), max_length=400, blank=True)
    at = models.DateTimeField(auto_now_add=True)
    person = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    person_name = models.CharField(max_length=150)

    class Meta:
        ordering = ["-id"]

    def __str__(self) -> str:
        return f"{self.job} {self.left_on}"


class HandOver(MadeAtBench):
    """What the one who leaves tells the one who goes on."""

    job = models.ForeignKey(Job, models.PROTECT, related_name="hand_overs")
    written_at = models.DateTimeField(auto_now_add=True)
    written_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    done = models.TextField(_("done / not done"), max_length=2000)
    parts_lie = models.CharField(_("where the parts are"), max_length=300, blank=True)
    danger = models.CharField(_("hazards: energized, hot, lifted, locked out"), max_length=300, blank=True)
    not_to_trust = models.CharField(_("suspect readings"), max_length=300, blank=True)
    lock_of = models.CharField(_("whose lock"), max_length=150, blank=True)
    next_action = models.CharField(_("next"), max_length=300, blank=True)
    step_title = models.CharField(_("step"), max_length=120, blank=True)
    meant_for = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="+"
    )
    accepted_at = models.DateTimeField(null=True, blank=True)
    accepted_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, null=True, related_name="+")

    class Meta:
        ordering = ["-id"]

    def __str__(self) -> str:
        return self.done[:60]
