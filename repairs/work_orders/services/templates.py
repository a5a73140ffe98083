"""Edit the route templates. Jobs that are open keep the route they were laid out with."""

from __future__ import annotations

from django.db import transaction
from django.utils.translation import gettext as _

from repairs.ledger.services import Actor, record_event
from repairs.work_orders.errors import StaleVersionError, WorkOrderError
from repairs.work_orders.models import RouteTemplate, TemplateStep

# Positions are unique in a template; a step on its way between two of them stands far behind all.
ASIDE = 1_000_000


@transaction.atomic
def add_template(*, actor: Actor, name: str, for_build: str) -> RouteTemplate:
    """Begin a template without steps; nobody is offered it before it has one and is active."""
    _refuse_taken_name(name, None)
    template = RouteTemplate.objects.create(name=name, for_build=for_build, active=False)
    record_event(actor=actor, verb="template.added", subject=template, after=told_template(template))
    return template


@transaction.atomic
def change_template(
    *, actor: Actor, template: RouteTemplate, version: int, name: str, for_build: str, active: bool
) -> RouteTemplate:
    """Change what a template is called, which build it serves, and whether new jobs may start from it."""
    template = _locked(template, version)
    _refuse_taken_name(name, template)
    if active and not template.steps.exists():
        raise WorkOrderError(_("A template needs at least one step. Add a step first."), "active")
    before = told_template(template)
    template.name, template.for_build, template.active = name, for_build, active
    return _written(actor, template, before)


@transaction.atomic
def add_template_step(
    *, actor: Actor, template: RouteTemplate, version: int, kind: str, title: str, chargeable: bool
) -> RouteTemplate:
    """Put a step at the end of a template."""
    template = _locked(template, version)
    before = told_template(template)
    last = template.steps.last()
    position = last.position + 1 if last else 1
    TemplateStep.objects.create(
        template=template, position=position, kind=kind, title=title, chargeable=chargeable
    )
    return _written(actor, template, before)


@transaction.atomic
def change_template_step(
    *,
    actor: Actor,
    template: RouteTemplate,
    version: int,
    step_id: int,
    kind: str,
    title: str,
    chargeable: bool,
) -> RouteTemplate:
    """Change one step of a template."""
    template = _locked(template, version)
    before = told_template(template)
    step = _step(template, step_id)
    step.kind, step.title, step.chargeable = kind, title, chargeable
    step.save()
    return _written(actor, template, before)


@transaction.atomic
def move_template_step(
    *, actor: Actor, template: RouteTemplate, version: int, step_id: int, up: bool
) -> RouteTemplate:
    """Let a step change places with the one before or behind it; at the end it stays where it is."""
    template = _locked(template, version)
    before = told_template(template)
    step = _step(template, step_id)
    if up:
        other = template.steps.filter(position__lt=step.position).last()
    else:
        other = template.steps.filter(position__gt=step.position).first()
    if other is not None:
        places = step.position, other.position
        for moved, position in ((step, ASIDE), (other, places[0]), (step, places[1])):
            moved.position = position
            moved.save(update_fields=["position"])
    return _written(actor, template, before)


@transaction.atomic
def remove_template_step(
    *, actor: Actor, template: RouteTemplate, version: int, step_id: int
) -> RouteTemplate:
    """Take a step out of a template; an active template keeps at least one."""
    template = _locked(template, version)
    before = told_template(template)
    step = _step(template, step_id)
    if template.active and template.steps.count() == 1:
        raise WorkOrderError(_("An active template needs at least one step. Deactivate it first."))
    step.delete()
    return _written(actor, template, before)


def _locked(template: RouteTemplate, version: int) -> RouteTemplate:
    now = RouteTemplate.objects.select_for_update().get(pk=template.pk)
    if now.version != version:
        raise StaleVersionError(_("Someone else changed this template. This is the current version."))
    return now


def _step(template: RouteTemplate, step_id: int) -> TemplateStep:
    step = template.steps.filter(pk=step_id).first()
    if step is None:
        raise WorkOrderError(_("This step is no longer in the template."))
    return step


def _refuse_taken_name(name: str, own: RouteTemplate | None) -> None:
    others = RouteTemplate.objects.filter(name=name)
    if (others.exclude(pk=own.pk) if own else others).exists():
        raise WorkOrderError(_("A template named “{name}” already exists.").format(name=name), "name")


def _written(actor: Actor, template: RouteTemplate, before: dict[str, object]) -> RouteTemplate:
    template.version += 1
    template.save()
    after = told_template(template)
    if after != before:
        record_event(actor=actor, verb="template.changed", subject=template, before=before, after=after)
    return template


def told_template(template: RouteTemplate) -> dict[str, object]:
    """Return what an event tells of a template."""
    steps = template.steps.values_list("kind", "title", "chargeable")
    return {
        "name": template.name,
        "for_build": template.for_build,
        "active": template.active,
        "steps": [list(step) for step in steps],
    }
