"""A stack record on paper: drawing, list in words, what it carries and how fast, what was found about it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, NotRequired, TypedDict

from django.utils.translation import gettext as _

from bearings.public import (
    Assembly,
    Bearing,
    Guide,
    NotChecked,
    Part,
    StoredAssessment,
    Units,
    carries_words,
    face_words,
    identity,
    item_refs,
    parse_stack,
    part_name,
    ring_words,
    type_name,
)
from repairs.documents.content import margins
from repairs.documents.content.reader import Reader, moment_words
from repairs.work_orders.differing import differences
from repairs.work_orders.headlines import headline_view
from repairs.work_orders.judging import (
    FindingRow,
    judge,
    not_checked_rows,
    shop_limits,
    stored_findings,
    stored_not_checked,
)
from repairs.work_orders.models import Job, StackRecord, Stage
from repairs.work_orders.picturing import Shown, difference_marks, loads_of, picture, stored_loads
from repairs.work_orders.services.stack_signing import current_specified, standing_differences
from repairs.work_orders.unproven import unproven
from repairs.work_orders.warning_words import difference_text

Marks = Mapping[str, str]
Rows = list[dict[str, str]]
BearingFigures = Mapping[str, Mapping[str, str]]


class Headline(TypedDict):
    """The verdict of a signed record, what decides it, and what it asks for; the findings say the rest."""

    severity: str
    verdict: str
    label: str
    decided_by: str
    words: str
    asks: Rows


class Checked(TypedDict):
    """What a paper says of the checker's answer."""

    words: str
    findings: list[FindingRow]
    not_checked: list[FindingRow]
    headline: NotRequired[Headline | None]
    figures: BearingFigures
    speeds: Rows
    loads_table: dict[str, object]
    strength: list[list[str]]
    engine: str


class Item(TypedDict):
    """One part of the stack on paper."""

    ref: str
    kind: str
    what: str
    identity: str
    face: str
    face_words: str
    carries_words: str
    carries: NotRequired[str]
    serial: NotRequired[str]
    designation: NotRequired[str]
    maker: NotRequired[str]
    mark: NotRequired[str]
    source: NotRequired[str]
    load: NotRequired[str]
    permissible: NotRequired[str]
    differs: NotRequired[str]


class Who(TypedDict):
    """Whose record it is, and since when."""

    stage: str
    stage_name: str
    revision: int
    signed: bool
    by: str
    at: str


class _Own(TypedDict, total=False):
    """The shop's own words about a record."""

    reason: str
    note: str


class Section(Who, Checked, _Own):
    """One record of a stack."""

    drawing: str
    items: list[Item]


class Changes(TypedDict):
    """What differs between two records, or why they are not compared."""

    before: str
    after: str
    rows: Rows
    problem: str
    marks: dict[str, str]


def newest(job: Job, stage: str) -> StackRecord | None:
    """Return the newest revision of a stage with what a paper says of it."""
    return (
        job.stack_records.filter(stage=stage)
        .select_related("job__motor", "assessment", "signed_by", "submitted_by", "compared_with")
        .order_by("-revision")
        .first()
    )


def to_build_by(job: Job) -> StackRecord | None:
    """Return the approved specified stack, else the stack as found."""
    specified = current_specified(job)
    return specified if specified is not None else newest(job, Stage.AS_FOUND)


def stack_section(
    record: StackRecord,
    reader: Reader,
    *,
    size: str = "full",
    prefix: str = "stack",
    marks: Marks | None = None,
    for_customer: bool = False,
) -> Section:
    """Return one record: a signed one by its stored answer, an open one as it stands.

    A customer reads sentences of ours about findings, and neither the shop's reasons nor its notes.
    """
    stack, loads, checked = _checked(record, reader, for_customer)
    drawing = ""
    if stack is not None and stack.items:
        drawing = picture(
            stack, loads=loads, units=reader.units, prefix=prefix, size=size, paper=True, marks=marks,
            summary=checked["words"] or None,
        )  # fmt: skip
    items = _item_rows(stack, checked["figures"], marks or {})
    own: _Own = {} if for_customer else {"reason": record.reason, "note": record.note}
    return {**_who(record), **checked, **own, "drawing": drawing, "items": items}


def _who(record: StackRecord) -> Who:
    signer = record.signed_by or record.submitted_by
    return {
        "stage": record.stage,
        "stage_name": str(record.get_stage_display()),
        "revision": record.revision,
        "signed": record.is_frozen,
        "by": str(signer) if signer else "",
        "at": moment_words(record.signed_at or record.submitted_at),
    }


def _checked(
    record: StackRecord, reader: Reader, for_customer: bool
) -> tuple[Assembly | None, Shown, Checked]:
    stored = record.assessment
    told = margins.customer_findings if for_customer else margins.shop_findings
    if stored is not None:
        answer: Mapping[str, Any] = stored.answer
        reasons = stored_not_checked(stored)
        open_ = [] if for_customer else margins.shop_unproven(record, answer, reasons)
        checked: Checked = {
            "words": answer["arrangement"]["words"],
            "findings": told(stored_findings(stored), record, reader.units) + open_,
            "not_checked": margins.customer_unproven(record, reasons)
            if for_customer
            else not_checked_rows(_beside(unproven(answer), reasons)),
            "headline": None if for_customer else _headline(stored, reader),
            "figures": margins.bearing_figures(answer, reader),
            "speeds": margins.speed_rows(answer, reader),
            "loads_table": margins.load_table(answer, reader),
            "strength": margins.strength_lines(answer, reader),
            "engine": stored.engine_version,
        }
        return parse_stack(stored.stack), stored_loads(answer), checked
    return _as_it_stands(record, reader, for_customer)


def _headline(stored: StoredAssessment, reader: Reader) -> Headline:
    """Return the headline of a signed record, in the words and units of the paper."""
    view = headline_view(stored.answer, stored_findings(stored), reader.units)
    return {
        "severity": view.severity,
        "verdict": view.verdict,
        "label": view.label,
        "decided_by": view.decided_by,
        "words": view.words,
        "asks": [{"words": one.words} for one in view.asks],
    }


def _beside(subjects: Sequence[str], reasons: Sequence[NotChecked | str]) -> list[NotChecked | str]:
    """Return what could not be checked besides the subjects that have a line of their own."""
    return [one for one in reasons if isinstance(one, str) or one.check not in subjects]


def _as_it_stands(
    record: StackRecord, reader: Reader, for_customer: bool
) -> tuple[Assembly | None, Shown, Checked]:
    """A record without a stored answer: nothing about loads, lives and speeds is claimed on paper."""
    judgement = judge(record, record.job.motor, shop_limits())
    found = judgement.assessment
    reasons = [_("the stack record is not complete")] if for_customer else list(judgement.hindrances)
    told = margins.customer_findings if for_customer else margins.shop_findings
    if found is not None:
        unsigned = _("this record is not signed yet; loads, lives and speeds print once it is signed")
        reasons = [unsigned] if for_customer else [unsigned, *judgement.hindrances]
    checked: Checked = {
        "words": "",
        "findings": told(list(found.findings), record, reader.units) if found else [],
        "not_checked": [{"severity": "not_checked", "title": reason} for reason in reasons],
        "figures": {},
        "speeds": [],
        "loads_table": {"refs": [], "rows": []},
        "strength": [],
        "engine": "",
    }
    return judgement.stack, loads_of(None), checked


def _item_rows(stack: Assembly | None, figures: BearingFigures, marks: Marks) -> list[Item]:
    if stack is None:
        return []
    rows = [_item(ref, item, figures) for ref, item in zip(item_refs(stack.items), stack.items, strict=True)]
    rows += [_guide(f"g{number}", guide, figures) for number, guide in enumerate(stack.guides, 1)]
    for row in rows:
        row["differs"] = marks.get(row["ref"], "")
    return rows


def _item(ref: str, item: Bearing | Part, figures: BearingFigures) -> Item:
    if isinstance(item, Part):
        own = item.note or ""
        return {
            "ref": ref,
            "kind": item.kind,
            "what": part_name(item),
            "identity": ", ".join(
                word for word in (ring_words(item), own if own != part_name(item) else "") if word
            ),
            "face": "",
            "face_words": "",
            "carries_words": "",
            "serial": "",
        }
    return _bearing(ref, item, figures)


def _bearing(ref: str, bearing: Bearing, figures: BearingFigures) -> Item:
    unknown, carried = bearing.is_one_way and bearing.wide_face is None, figures.get(ref, {})
    return {
        "ref": ref,
        "kind": "bearing",
        "what": type_name(bearing.type),
        "identity": identity(bearing),
        "designation": bearing.designation or "",
        "maker": " · ".join(word for word in (bearing.maker, bearing.variant, bearing.cage) if word),
        "mark": bearing.mark or bearing.serial or "",
        "source": bearing.source or "",
        "face": (bearing.wide_face or "unknown") if bearing.is_one_way else "none",
        "face_words": face_words(bearing) if bearing.is_one_way else "",
        "carries": "unknown" if unknown else bearing.carries,
        "carries_words": _("direction NOT KNOWN") if unknown else carries_words(bearing.carries),
        "load": carried.get("load", ""),
        "permissible": carried.get("permissible", ""),
    }


def _guide(ref: str, guide: Guide, figures: BearingFigures) -> Item:
    row = _bearing(ref, guide.bearing, figures)
    words = carries_words(guide.carries)
    return {**row, "kind": "guide", "carries": guide.carries, "carries_words": words, "face": "none"}


def changes(before: StackRecord | None, after: StackRecord | None, reader: Reader) -> Changes | None:
    """Return what differs between two records in words; None when one of them is not there."""
    if before is None or after is None:
        return None
    titles = str(before.get_stage_display()), str(after.get_stage_display())
    try:
        rows: Rows = [
            {
                "code": row["code"],
                "ref_before": row["ref_before"],
                "ref_after": row["ref_after"],
                "text": difference_text(row, reader.units),
            }
            for row in differences(before, after)
        ]
    except ValueError:
        problem = _("Not compared: one of the two records is incomplete.")
        return {"before": titles[0], "after": titles[1], "rows": [], "problem": problem, "marks": {}}
    return {
        "before": titles[0], "after": titles[1], "rows": rows, "problem": "", "marks": difference_marks(rows)
    }  # fmt: skip


def built_differs(job: Job, units: Units) -> list[str]:
    """Return the words of every difference between the stack as built and the one it must match."""
    built, specified = newest(job, Stage.AS_BUILT), current_specified(job)
    if built is None or specified is None:
        return []
    if not built.is_frozen:
        # Whoever records it again sees this paper too, and must not see what differed.
        before = job.stack_records.signed().filter(stage=Stage.AS_BUILT).order_by("-revision").first()
        differed = before is not None and standing_differences(before, specified)
        return [_("The last recorded stack did not match. It is being recorded again.")] if differed else []
    if built.compared_with_id != specified.pk:
        return [_("The stack as built was compared with an older specified stack. Record it again.")]
    return [difference_text(row, units) for row in built.differences or []]
