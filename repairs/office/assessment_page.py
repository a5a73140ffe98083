"""What the page of an assessment shows, of a kept answer and of a check made just now alike."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.utils.safestring import SafeString, mark_safe

from bearings.public import Assembly, Figures, StoredAssessment, arrangement_sentence, parse_stack
from repairs.office.assessment_charts import charts_of
from repairs.office.assessment_guides import grease_table, guide_table
from repairs.office.assessment_heat import heat_table
from repairs.office.assessment_settles import settle_lines
from repairs.office.assessment_sharing import duty_table, sharing_tables, spring_tables
from repairs.office.assessment_tables import life_table, load_table, margin_table, speed_table
from repairs.office.assessment_working import (
    TOPIC_OF,
    bearing_inputs,
    duty_inputs,
    finding_figures,
    working_topics,
)
from repairs.people.models import User
from repairs.people.permissions import Permission
from repairs.work_orders.headlines import headline_of, headline_view
from repairs.work_orders.judging import (
    NEVER_ACCEPTED,
    FindingRow,
    Judgement,
    faces_unknown,
    finding_rows,
    folded,
    judge,
    not_checked_rows,
    shop_limits,
    stored_findings,
    stored_not_checked,
    unstored,
)
from repairs.work_orders.models import StackRecord, Stage
from repairs.work_orders.picturing import picture, stored_loads
from repairs.work_orders.unproven import unproven, unproven_rows

Context = dict[str, Any]


def assessment_context(stored: StoredAssessment, user: User) -> Context:
    """Return everything that is said of an assessment: words, findings, tables, working, charts."""
    units = user.unit_system
    stack, answer, figures = parse_stack(stored.stack), stored.answer, Figures(units)
    found, reasons = stored_findings(stored), stored_not_checked(stored)
    rows: list[FindingRow] = [
        {
            **row,
            "source": finding_figures(kept, figures),
            "url": f"#working-{TOPIC_OF[row['code']]}" if row["code"] in TOPIC_OF else "",
        }
        for row, kept in zip(finding_rows(found, units), answer["findings"], strict=True)
    ]
    rows = folded(rows) + unproven_rows(unproven(answer), reasons)
    return {
        "checked": True,
        "version": stored.engine_version,
        "words": answer["arrangement"]["words"],
        "drawing": _drawing(stack, units, stored_loads(answer), answer["arrangement"]["words"]),
        "findings": rows,
        # Notes fold: they ask nothing of anybody.
        "notes": [row for row in rows if row["severity"] == "note"],
        "headline": headline_view(answer, found, units),
        "settles": settle_lines(answer, figures),
        "not_checked": not_checked_rows(reasons),
        "loads": load_table(answer, stack, figures),
        "life": life_table(answer, stack, figures),
        "speeds": speed_table(answer, stack, figures),
        "sharing": sharing_tables(answer, stack, figures),
        "springs": spring_tables(answer, stack, figures),
        "duty": duty_table(answer, stack, figures),
        "heat": heat_table(answer, stack, figures),
        "guides": guide_table(answer, stack, figures),
        "grease": grease_table(answer, stack, figures),
        "margins": margin_table(answer, stack, found, figures),
        "inputs": duty_inputs(stack, figures),
        "bearings": bearing_inputs(stack, figures),
        "topics": working_topics(answer.get("working", []), Figures(units, exact=True)),
        "charts": charts_of(stored, stack, units),
    }


def _drawing(stack: Assembly, units: str, loads: Any, words: str) -> SafeString:
    # Made by bearings.drawing, which escapes every text.
    return mark_safe(picture(stack, loads=loads, units=units, prefix="assessed", summary=words or None))


def record_context(record: StackRecord, user: User, typed: Mapping[str, str] | None = None) -> Context:
    """Return the page of a record: of a signed one what was kept, of any other the checker's answer now."""
    if record.assessment is not None:
        context = assessment_context(record.assessment, user)
    else:
        judgement = judge(record, record.job.motor, shop_limits())
        now = judgement.assessment
        context = _hindered(judgement, user) if now is None else assessment_context(unstored(now), user)
    _add_acceptance(context["findings"], record, user, typed or {})
    return {**context, "live": record.assessment is None}


def _hindered(judgement: Judgement, user: User) -> Context:
    """Return what can be said of a stack that could not be checked as a whole."""
    units = user.unit_system
    words = arrangement_sentence(judgement.arrangement) if judgement.arrangement else ""
    drawing = _drawing(judgement.stack, units, (None, None, None), words) if judgement.stack else SafeString()
    reasons = [{"severity": "not_checked", "title": text} for text in judgement.hindrances]
    findings = folded(finding_rows(list(judgement.findings), units))
    return {
        "checked": False,
        "words": words,
        "drawing": drawing,
        "findings": findings,
        "headline": headline_of(judgement, units),
        "not_checked": reasons,
    }


def _add_acceptance(
    findings: list[FindingRow], record: StackRecord, user: User, typed: Mapping[str, str]
) -> None:
    """Say of each finding who accepted it and why; offer a lead to accept those that may be accepted."""
    if record.stage != Stage.SPECIFIED:
        return
    accepted = {(one.code, one.ref): one for one in record.accepted_findings.all()}
    may_accept = not record.is_frozen and user.may(Permission.APPROVE_STACKS) and not faces_unknown(record)
    for row in findings:
        row["acceptance"] = taken = accepted.get((row["code"], row["ref"]))
        row["confirmable"] = (
            taken is not None
            and taken.needs_second
            and taken.second_id is None
            and taken.person_id != user.pk
            and not record.is_frozen
            and user.may(Permission.CONFIRM_OVERRIDES)
        )
        if taken is None and may_accept and row["severity"] != "note":
            row["acceptable"] = row["code"] not in NEVER_ACCEPTED
            row["typed"] = typed.get("reason", "") if _same(row, typed) else ""


def _same(row: FindingRow, typed: Mapping[str, str]) -> bool:
    return bool(row["code"] == typed.get("code") and row["ref"] == typed.get("ref"))
