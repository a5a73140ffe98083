"""Speed and thrust margins on paper: the stored answer in words and units, nothing computed again."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, Final

from django.utils.translation import gettext as _

from bearings.public import (
    Finding,
    NotChecked,
    Units,
    case_label,
    customer_not_checked,
    customer_sentence,
    speed_label,
    subject_label,
)
from repairs.documents.content.reader import Reader, day_words, moment_words
from repairs.work_orders.headlines import entered_cases
from repairs.work_orders.judging import FindingRow, finding_rows, folded
from repairs.work_orders.models import AcceptedFinding, StackRecord
from repairs.work_orders.unproven import code_of, unproven, unproven_rows

Answer = Mapping[str, Any]
SEVERITIES: Final = ("stop", "warn", "note")


def speed_rows(answer: Answer, reader: Reader) -> list[dict[str, str]]:
    """Return each speed of the motor against what the stack permits."""
    figures = reader.figures
    return [
        {
            "speed": speed_label(row["speed"]),
            "motor": figures.speed(row["speed_rpm"]),
            "permissible": figures.speed(row["permissible_rpm"]),
            "margin": figures.percent(row["margin"]),
            "below": "stop" if row["margin"] < 0 else "",
        }
        for row in answer["speed"]["margins"]
    ]


def load_table(answer: Answer, reader: Reader) -> dict[str, object]:
    """Return what each bearing carries in each case that could be made."""
    figures = reader.figures
    refs = [row["ref"] for row in answer["speed"]["bearings"]]
    guides = [row["ref"] for case in answer["cases"][:1] for row in case["guides"]]
    rows = []
    for case in entered_cases(answer):
        loads = {row["ref"]: row["axial_n"] for row in [*case["bearings"], *case["guides"]]}
        rows.append(
            {
                "case": case_label(case["name"]),
                "net": _direction(case["net_axial_n"], figures.force(abs(case["net_axial_n"]))),
                "loads": [_load(loads.get(ref), reader) for ref in [*refs, *guides]],
                "carried": bool(case["carried"]),
            }
        )
    return {"refs": [*refs, *guides], "rows": rows}


def _direction(net: float, force: str) -> str:
    if net == 0:
        return force
    return _("{force} down").format(force=force) if net > 0 else _("{force} up").format(force=force)


def _load(force: float | None, reader: Reader) -> str:
    if force is None:
        return _("not checked")
    return _("unloaded") if force < 1 else reader.figures.force(force)


def strength_lines(answer: Answer, reader: Reader) -> list[list[str]]:
    """Return life, least static safety and the thrust that unloads a bearing, each as label and value."""
    figures, life = reader.figures, answer["life"]
    lines = [
        [_("calculated life (L10h)"), figures.hours(life["stack_l10h"])],
        [_("adjusted life (L10mh)"), figures.hours(life["stack_l10mh"])],
    ]
    safeties = [row["safety"] for row in answer["static"]["bearings"] if row["safety"] is not None]
    lines.append([_("static safety, lowest"), figures.ratio(min(safeties)) if safeties else _("unknown")])
    if answer["unloading_thrust_n"] is not None:
        lines.append([_("upthrust bearing unloads above"), figures.force(answer["unloading_thrust_n"])])
    speed = answer["speed"]
    if speed["permissible_rpm"] is not None:
        lines.append(
            [
                _("allowable speed, lowest"),
                _("%(speed)s (bearing %(ref)s)")
                % {"speed": figures.speed(speed["permissible_rpm"]), "ref": speed["governing"]},
            ]
        )
    return lines


def bearing_figures(answer: Answer | None, reader: Reader) -> dict[str, dict[str, str]]:
    """Return, by ref, what a bearing carries while running and how fast it may turn."""
    if answer is None:
        return {}
    running = next((case for case in answer["cases"] if case["name"] == "running"), None)
    loads = (
        {row["ref"]: row["axial_n"] for row in [*running["bearings"], *running["guides"]]} if running else {}
    )
    return {
        row["ref"]: {
            "load": _load(loads.get(row["ref"]), reader) if running else _("not checked"),
            "permissible": reader.figures.speed(row["permissible_rpm"])
            if row["permissible_rpm"] is not None
            else _("not checked"),
        }
        for row in answer["speed"]["bearings"]
    }


Reasons = Sequence[NotChecked | str]


def acceptances(record: StackRecord) -> dict[tuple[str, str], AcceptedFinding]:
    """Return the findings that as many people accepted as it takes, by code and ref.

    What was accepted of the specified stack holds for the stack that was built like it in every part.
    """
    agreed = [record]
    if record.compared_with is not None and not record.differences:
        agreed.append(record.compared_with)
    return {(one.code, one.ref): one for own in agreed for one in own.accepted_findings.standing()}


def shop_findings(findings: list[Finding], record: StackRecord, units: Units) -> list[FindingRow]:
    """Return findings as the shop reads them, each accepted one with who took it, when and why."""
    return _worst_first(_with_acceptance(folded(finding_rows(findings, units)), record))


def shop_unproven(record: StackRecord, answer: Mapping[str, Any], reasons: Reasons) -> list[FindingRow]:
    """Return the subjects that decide and are not proven, each with the lead's reason to approve the stack though."""
    return _with_acceptance(unproven_rows(unproven(answer), reasons), record)


def customer_unproven(record: StackRecord, reasons: Reasons) -> list[FindingRow]:
    """Return the names of what is not proven, each with what the shop wrote for the customer when it approved."""
    accepted = acceptances(record)
    told = dict.fromkeys(customer_not_checked(reasons), "")
    for one in reasons:
        taken = accepted.get((code_of(one.check), "")) if isinstance(one, NotChecked) else None
        if taken is not None and isinstance(one, NotChecked):
            words = _("Accepted by the shop foreman on {day}.").format(day=day_words(taken.at))
            told[subject_label(one.check)] = f"{words} {taken.tell_customer}".strip()
    text = _("{subject}. {accepted}")
    return [
        {"severity": "not_checked", "title": text.format(subject=name, accepted=words) if words else name}
        for name, words in told.items()
    ]


def _with_acceptance(rows: list[FindingRow], record: StackRecord) -> list[FindingRow]:
    accepted = acceptances(record)
    for row in rows:
        one = accepted.get((row["code"], row["ref"]))
        row["accepted"] = (
            _("Accepted by {person}, {at}: “{reason}”").format(
                person=", ".join(name for name in (one.person_name, one.second_name) if name),
                at=moment_words(one.at),
                reason=one.reason,
            )
            if one
            else ""
        )
    return rows


def customer_findings(findings: list[Finding], record: StackRecord, units: Units) -> list[FindingRow]:
    """Return findings as a customer reads them: our own sentences, each once, and what the shop wrote for them."""
    accepted = acceptances(record)
    rows: dict[tuple[str, str], FindingRow] = {}
    for finding in findings:
        title, ref = customer_sentence(finding, units), finding.ref or ""
        one = accepted.get((finding.code, ref))
        words = ""
        if one is not None:
            words = _("Accepted by the shop foreman on {day}.").format(day=day_words(one.at))
            words = f"{words} {one.tell_customer}".strip()
        rows.setdefault(
            (finding.severity, title),
            {
                "severity": finding.severity,
                "code": finding.code,
                "ref": ref,
                "title": title,
                "source": "",
                "accepted": words,
            },
        )
    return _worst_first(list(rows.values()))


def _worst_first(rows: list[FindingRow]) -> list[FindingRow]:
    return sorted(rows, key=lambda row: SEVERITIES.index(row["severity"]))
