"""What a hand can do to a record on the recorder's page: one verb, one service."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.http import QueryDict
from django.utils.translation import gettext as _

from repairs.bench.recorder_rows import Refusal
from repairs.edge.numbers import row_key, version_of, whole_number
from repairs.ledger.services import Actor
from repairs.work_orders.errors import AnothersEntryError, WorkOrderError
from repairs.work_orders.judging import ref_of
from repairs.work_orders.models import StackRecord, Stage
from repairs.work_orders.services import stack_answering as answering
from repairs.work_orders.services import stack_approving as approving
from repairs.work_orders.services import stack_changes as changes
from repairs.work_orders.services import stack_editing as editing
from repairs.work_orders.services import stack_signing as signing
from repairs.work_orders.services.question_answers import answer_question
from repairs.work_orders.stack_history import event_rows
from repairs.work_orders.warning_words import called


def seen_version(posted: QueryDict) -> int:
    """Return the version that a form was rendered from; a form without one saw none."""
    return version_of(posted.get("version"))


def carry_out(actor: Actor, record: StackRecord, posted: QueryDict) -> StackRecord:
    """Do what the pressed button says, and return the record as it is then."""
    verb, _colon, target = posted.get("do", "").partition(":")
    uid, _colon, argument = target.partition(":")
    common: dict[str, Any] = {"actor": actor, "record": record, "version": seen_version(posted)}
    if verb == "accept":
        reason = posted.get(f"reason-{target}", "")
        told = posted.get(f"tell-{target}", "")
        approving.accept_finding(**common, code=uid, ref=argument, reason=reason, tell_customer=told)
        return changes.newer_state(record)
    if verb == "confirm":
        approving.confirm_finding(**common, code=uid, ref=argument)
        return changes.newer_state(record)
    common["form_key"] = posted.get("form_key", "")
    if verb == "answer":
        field, _colon, value = target.rpartition(":")
        return answer_question(**common, field=field, value=value)
    if verb == "turn":
        return editing.turn_over(**common, uid=uid)
    if verb in {"up", "down", "place"}:
        return editing.move_item(**common, uid=uid, place=_place(record, verb, uid, argument))
    if verb == "remove":
        return editing.remove_item(**common, uid=uid)
    if verb == "undo":
        return changes.undo_change(**common, confirmed=row_key(uid))
    if verb == "describe":
        top = record.top_identified if target == "note" else target == "top"
        return editing.describe_record(**common, top_identified=top, note=posted.get("note", ""))
    if verb in {"absent", "present"}:
        return answering.say_absent(**common, asked=target, absent=verb == "absent")
    if verb == "sign":
        return _sign(record, {**common, "note": posted.get("note")})
    if verb == "specify":
        return approving.specify_as_proposed(
            actor=actor, proposal=record, form_key=posted.get("form_key", "")
        )
    if verb == "approve":
        return approving.approve_specified(**common, note=posted.get("note"))
    raise WorkOrderError(_("This cannot be done here."))


def _place(record: StackRecord, verb: str, uid: str, argument: str) -> int:
    if verb == "place":
        return whole_number(argument) or 0
    at = next((index for index, entry in enumerate(record.items) if entry["uid"] == uid), 0)
    return at + (1 if verb == "down" else -1)


def _sign(record: StackRecord, common: Mapping[str, Any]) -> StackRecord:
    if record.stage == Stage.AS_FOUND:
        return signing.sign_record(**common)
    if record.stage == Stage.AS_BUILT:
        return signing.submit_built(**common)
    return approving.submit_specified(**common)


def refusal_of(error: WorkOrderError, posted: QueryDict) -> Refusal:
    """Return a refusal as the page shows it: what the others did meanwhile, and one's own act to be sent again."""
    if isinstance(error, AnothersEntryError):
        own = _("undo another person's change")
        return {"text": str(error), "own": own, "again": f"undo:{error.entry_id}"}
    if not isinstance(error, changes.StaleRecordError):
        return {"text": str(error)}
    verb, _colon, target = posted.get("do", "").partition(":")
    own = own_words(verb, error.record, target.partition(":")[0])
    return {
        "text": str(error),
        "events": event_rows(error.events),
        "own": own,
        "again": posted.get("do", "") if own else "",
    }


def own_words(verb: str, record: StackRecord, uid: str) -> str:
    """Say an act that was not carried out, where it still makes sense."""
    ref = ref_of(record.items, uid)
    if verb in {"turn", "up", "down", "remove"} and not ref:
        return ""
    words = {
        "turn": _("flip {part}"),
        "up": _("move {part} up"),
        "down": _("move {part} down"),
        "remove": _("remove {part}"),
        "sign": _("sign the record"),
        "approve": _("approve the stack"),
        "absent": _("mark a part as not found"),
        "present": _("undo “not found” for a part"),
        "answer": _("answer a checker question"),
        "describe": _("save the note or top mark"),
    }
    return words[verb].format(part=called(ref)) if verb in words else ""
