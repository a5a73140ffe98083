"""Gates: what keeps a step from being signed off, in words fit to show.

They are asked by the services, whatever a page showed. A reason that names its fact can be overridden by two people
(``services/overrides.py``) for that fact alone; one without a key is put right. A lead alone opens the gate of money.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from django.utils.translation import gettext as _

from repairs.ledger.services import SYSTEM, Actor
from repairs.people.permissions import Permission, role_may
from repairs.work_orders.builders import builders
from repairs.work_orders.looks import disagreements, somebody_disagrees, unanswered
from repairs.work_orders.models import Job, Override, SignOff, StackRecord, Stage, Step, StepKind
from repairs.work_orders.reasons import Reason, is_never_overridden, key_of
from repairs.work_orders.services.chain import LINKS
from repairs.work_orders.services.laying_out import difference_words, newest_lay_out
from repairs.work_orders.services.stack_approving import open_stops
from repairs.work_orders.services.stack_signing import current_specified, standing_differences
from repairs.work_orders.standing import faces_differ, never_carried
from repairs.work_orders.warning_words import difference_text, shop_units

Gate = Callable[[Step, Actor], list[str]]


def blocking_reasons(step: Step, *, actor: Actor) -> list[str]:
    """Return why this person may not sign a step off now; an empty list opens the gate."""
    reasons = gate_reasons(step, actor)
    if not any(key_of(reason) for reason in reasons):
        return reasons
    covered = covered_keys(step.job)
    return [reason for reason in reasons if is_never_overridden(reason) or key_of(reason) not in covered]


def covered_keys(job: Job) -> set[str]:
    """Return the facts that the overrides in force on a job were given for."""
    kept = Override.objects.in_force().filter(job=job).values_list("reasons", flat=True)
    return {row["key"] for rows in kept for row in rows if row["key"]}


def gate_reasons(step: Step, actor: Actor) -> list[str]:
    """Return what stands in the way of a step, whatever two people let pass."""
    let_pass = step.sign_offs.filter(signed_as=SignOff.As.OVERRIDE).exists()
    reasons = [] if let_pass or not step.chargeable else _approval(step)
    for gate in (*GATES.get(step.kind, ()), *_added.get(step.kind, ())):
        if not (let_pass and gate in A_LEAD_MAY_OPEN):
            reasons += [reason for reason in gate(step, actor) if reason not in reasons]
    return reasons


def left_out_key(step: Step) -> str:
    """Return the fact that a step of the chain is not done."""
    return f"link:{step.kind}:{step.pk}"


def chain_of(job: Job) -> tuple[str, ...]:
    """Return the kinds of steps that this job ships by: a motor that hangs on a stack has all of the chain."""
    return CHAIN if has_stack(job) else (StepKind.FINAL_TEST, StepKind.SHIP)


def step_done(step: Step, kind: str) -> bool:
    """Whether the job has steps of a kind and none of them is still to do or was skipped."""
    states = set(step.job.steps.filter(kind=kind).values_list("state", flat=True))
    return states == {Step.State.DONE}


def _linked(step: Step, kind: str) -> list[str]:
    """Return what is open of an earlier link of the chain: a step to do, one left out, or none on the route."""
    rows = list(step.job.steps.filter(kind=kind).order_by("position"))
    if not rows:
        words = _("The route has no step “{kind}”. A lead adds it to the route.")
        return [Reason(words.format(kind=StepKind(kind).label), f"link:{kind}:none")]
    waiting = [one for one in rows if one.state == Step.State.WAITING]
    if not waiting and rows[-1].state == Step.State.SKIPPED:
        words = _("“{title}” was skipped without two people's approval. Do the step, or ask for an override.")
        return [Reason(words.format(title=rows[-1].title), left_out_key(rows[-1]))]
    words = _("“{title}” is not signed off yet.")
    return [Reason(words.format(title=one.title), left_out_key(one)) for one in waiting]


def _before(kind: str) -> Gate:
    """Return the gate that asks for an earlier link where the job has the whole chain."""

    def asked(step: Step, _actor: Actor) -> list[str]:
        return _linked(step, kind) if kind in chain_of(step.job) else []

    return asked


def _approval(step: Step) -> list[str]:
    if step_done(step, StepKind.APPROVAL):
        return []
    return [_("The estimate is not approved. A lead can let the job proceed, with a reason.")]


def _newest(step: Step, stage: str) -> StackRecord | None:
    records = step.job.stack_records.filter(stage=stage).select_related("assessment", "job__motor")
    return records.order_by("-revision").first()


def has_stack(job: Job) -> bool:
    """Whether the job is one with a thrust stack: its route says so, or somebody recorded one."""
    return job.steps.filter(kind__in=STACK_STEPS).exists() or job.stack_records.exists()


def _found_is_signed(step: Step, _actor: Actor) -> list[str]:
    record = _newest(step, Stage.AS_FOUND)
    if record is not None and record.is_frozen:
        return []
    return [_("The stack as found is not recorded and signed yet.")]


def _specified_is_approved(step: Step, _actor: Actor) -> list[str]:
    if not has_stack(step.job):
        return []
    newest, record = _newest(step, Stage.SPECIFIED), current_specified(step.job)
    if newest is not None and newest.is_frozen and newest.is_proposal:
        return [_("The stack is only proposed. A lead must specify it, as proposed or changed.")]
    if newest is None or record is None:
        return [_("No lead has approved a specified stack yet.")]
    if newest.pk != record.pk:
        text = _("Revision {number} of the specified stack is not approved yet.")
        return [text.format(number=newest.revision)]
    if open_stops(record):
        return [_("The specified stack has an open STOP finding.")]
    return []


def _proposal_is_approved(step: Step, _actor: Actor) -> list[str]:
    """What is estimated must be the right bearings: the proposed stack is checked and approved before."""
    if not has_stack(step.job) or not step.job.steps.filter(kind=StepKind.ESTIMATE).exists():
        return []
    record = _newest(step, Stage.SPECIFIED)
    if record is not None and record.is_frozen:
        return []
    return [_("No lead has approved a proposed stack yet. A lead can let the job proceed, with a reason.")]


def _laid_out(step: Step, actor: Actor) -> list[str]:
    if open_links := _linked(step, StepKind.LAY_OUT):
        words = _("The dry layout is not signed off yet. Do not heat bearings before it is.")
        return [Reason(words, key_of(one)) for one in open_links]
    specified = current_specified(step.job)
    signed = SignOff.objects.filter(step__job=step.job, step__kind=StepKind.LAY_OUT).order_by("-at").first()
    if specified is None or signed is None or specified.signed_at is None or signed.at >= specified.signed_at:
        return []
    if not _built_matches(step, actor):
        # The lead specified anew what already stands on the mount.
        return []
    text = _("Revision {number} of the specified stack is newer than the dry layout. Repeat the dry layout.")
    return [Reason(text.format(number=specified.revision), f"layout-older:{specified.pk}")]


def _lies_as_specified(step: Step, _actor: Actor) -> list[str]:
    """The stack on the bench is looked at part by part; one that was laid out by an older revision counts as none."""
    specified, lay_out = current_specified(step.job), newest_lay_out(step.job)
    if specified is None:
        return []
    if lay_out is None or lay_out.specified_id != specified.pk:
        words = _("The dry layout is not checked against the specified stack yet.")
        return [Reason(words, f"layout-unchecked:{specified.pk}")]
    return [
        Reason(difference_words(one), f"layout:{lay_out.pk}:{one['code']}:{one['ref']}")
        for one in lay_out.differences
    ]


def _agreed_with_customer(_step: Step, actor: Actor) -> list[str]:
    """Chargeable work hangs on this signature, so the bench does not give it to itself."""
    if role_may(actor.role, Permission.OPEN_JOBS):
        return []
    return [_("Only the office or a lead signs this step: they talk to the customer.")]


def _photo_on_step(step: Step, _actor: Actor) -> list[str]:
    if step.photos.filter(withdrawn_at__isnull=True).exists():
        return []
    words = _("Take a photo of the stack laid out beside the mount first.")
    return [Reason(words, f"layout-photo:{step.pk}")]


def _built_matches(step: Step, _actor: Actor) -> list[str]:
    if not has_stack(step.job):
        return []
    record, specified = _newest(step, Stage.AS_BUILT), current_specified(step.job)
    if record is None or not record.is_frozen:
        revision = record.revision if record else 0
        words = _("The stack as built is not recorded and submitted yet.")
        return [Reason(words, f"not-built:{step.job_id}:{revision}")]
    if specified is None:
        return [_("No lead has approved a specified stack yet.")]
    reasons = never_carried(record)
    rows = standing_differences(record, specified)
    if not rows:
        return reasons
    texts = " ".join(difference_text(row, shop_units()) for row in rows)
    words = _("The stack as built differs from the specified stack: {texts}").format(texts=texts)
    facts = ";".join(f"{row['code']}:{row['ref_before']}:{row['ref_after']}" for row in rows)
    never = faces_differ(rows, record, specified)
    return [*reasons, Reason(words, f"difference:{record.pk}:{specified.pk}:{facts}", never=never)]


def _second_person(step: Step, actor: Actor) -> list[str]:
    """The second person built nothing, and answered for every bearing; asked of nobody, that nobody did."""
    record = _newest(step, Stage.AS_BUILT)
    if record is None:
        return []
    if actor.user_id in builders(step.job):
        return [_("You built or recorded this stack. Another person must check it before the cap goes on.")]
    if disagreements(record, actor.user_id):
        return _answered(record, actor.user_id)
    return _nobody_disagrees(record) or _answered(record, actor.user_id)


def _nobody_disagrees(record: StackRecord) -> list[str]:
    """One pair of eyes that saw a face otherwise stands until the stack is recorded again; no other pair outvotes it.

    It says no bearing and no face, so that whoever records again or looks next still answers for what is there.
    """
    if not somebody_disagrees(record):
        return []
    words = _(
        "A second person saw a bearing facing the other way than recorded. Take the cap "
        "off and have someone else record the stack again."
    )
    return [Reason(words, f"look:{record.pk}", never=True)]


def _answered(record: StackRecord, person_id: int | None) -> list[str]:
    """Return what one person still has to answer of a stack as built, and where the eye and the record disagree."""
    if wrong := disagreements(record, person_id):
        words = _("{seen} Take the cap off and have someone else record the stack again.")
        return [Reason(words.format(seen=" ".join(wrong)), f"look:{record.pk}", never=True)]
    if missing := unanswered(record, person_id):
        words = _("Second person: enter which way the wide face of bearing {refs} faces.")
        return [Reason(words.format(refs=", ".join(missing)), f"second:{record.pk}")]
    return []


def _seen_by_second(step: Step, _actor: Actor) -> list[str]:
    if not has_stack(step.job):
        return []
    record = _newest(step, Stage.AS_BUILT)
    if record is not None and (stands := _nobody_disagrees(record)):
        return stands
    open_links = _linked(step, StepKind.SECOND_PERSON)
    if record is None or record.signed_at is None or open_links:
        words = _("A second person has not verified the stack yet.")
        own = Reason(words, f"second:{record.pk if record else 0}")
        return [own, *open_links] if open_links else [own]
    seen = SignOff.objects.filter(
        step__job=step.job, step__kind=StepKind.SECOND_PERSON, at__gte=record.signed_at
    ).exclude(signed_as=SignOff.As.OVERRIDE)
    hands = builders(step.job)
    for signature in seen:
        by_old_rules = signature.rules < SignOff.RULES_NOW
        if signature.person_id not in hands and (by_old_rules or not _answered(record, signature.person_id)):
            return []
    words = _(
        "The stack was recorded again after the second-person check. Repeat that step with another person."
    )
    return [Reason(words, f"second:{record.pk}")]


def _whole_chain(step: Step, _actor: Actor) -> list[str]:
    """What ships has every link: signed off, and still so by what stands now; no STOP and no difference stands."""
    kinds = [kind for kind in chain_of(step.job) if kind != StepKind.SHIP]
    reasons: list[str] = []
    for kind in kinds:
        reasons += _linked(step, kind)
        done = step.job.steps.filter(kind=kind, state=Step.State.DONE).order_by("position").last()
        if done is not None and _by_todays_rules(done):
            reasons += gate_reasons(done, SYSTEM) if kind != StepKind.SECOND_PERSON else []
    reasons += [*_specified_is_approved(step, SYSTEM), *_built_matches(step, SYSTEM)]
    if StepKind.SECOND_PERSON in kinds:
        reasons += _seen_by_second(step, SYSTEM)
    return list(dict.fromkeys(reasons))


def _by_todays_rules(step: Step) -> bool:
    """Whether a step was signed under these gates; a signature of older ones is not asked for what it never was."""
    newest = step.sign_offs.exclude(signed_as=SignOff.As.OVERRIDE).order_by("-pk").first()
    return newest is not None and newest.rules >= SignOff.RULES_NOW


STACK_STEPS: Final = (StepKind.SPECIFY, StepKind.LAY_OUT, StepKind.MOUNT, StepKind.SECOND_PERSON)
# What a motor that hangs on a stack ships by. To leave one of these out, or to let one pass, takes two people.
CHAIN: Final = LINKS
GATES: Final[dict[str, tuple[Gate, ...]]] = {
    StepKind.STRIP_RECORD: (_found_is_signed,),
    StepKind.OBSERVE: (_proposal_is_approved,),
    StepKind.ESTIMATE: (_agreed_with_customer,),
    StepKind.APPROVAL: (_agreed_with_customer,),
    StepKind.SPECIFY: (_specified_is_approved,),
    StepKind.LAY_OUT: (_specified_is_approved, _lies_as_specified, _photo_on_step),
    StepKind.MOUNT: (_specified_is_approved, _laid_out, _built_matches),
    StepKind.SECOND_PERSON: (_specified_is_approved, _built_matches, _second_person),
    StepKind.END_PLAY: (_specified_is_approved, _built_matches, _seen_by_second),
    # A motor is not run on a stack that nobody verified, whatever happened to the steps between.
    StepKind.FINAL_TEST: (
        _specified_is_approved,
        _built_matches,
        _seen_by_second,
        _before(StepKind.END_PLAY),
    ),
    StepKind.SHIP: (_whole_chain,),
}
_added: dict[str, list[Gate]] = {}


def add_gate(kind: str, gate: Gate) -> None:
    """Let a room above the work orders keep a kind of step from being signed; it does so when it is ready."""
    gates = _added.setdefault(kind, [])
    if gate not in gates:
        gates.append(gate)


# Money can be answered for by a lead; how the stack is built cannot.
A_LEAD_MAY_OPEN: Final = frozenset({_proposal_is_approved})
