"""The checker's answer as JSON values: an assessment with its sentences."""

from __future__ import annotations

from typing import Final

from bearings.engineering.assessment import Assessment
from bearings.engineering.case_results import CaseResult
from bearings.engineering.comparison import Comparison
from bearings.engineering.headline import SubjectResult
from bearings.engineering.load_gaps import Missing
from bearings.engineering.settling import Settle
from bearings.engineering.sharing_result import SharingResult
from bearings.engineering.subjects import SUBJECT_OF_CODE
from bearings.stack_file.mistakes import StackFileError
from bearings.wording.differences import difference_sentence, upside_down_sentence
from bearings.wording.figures import Units
from bearings.wording.findings import finding_sentence
from bearings.wording.reasons import arrangement_sentence, reason_sentence
from bearings.wording.verdicts import asks_sentence, headline_sentence

Answer = dict[str, object]
ANSWER_VERSION: Final = 2


def _case(case: CaseResult) -> Answer:
    warm = case.warm
    return case._asdict() | {
        "bearings": [row._asdict() for row in case.bearings],
        "guides": [row._asdict() for row in case.guides],
        "skidding": [row._asdict() for row in case.skidding],
        "warm": None
        if warm is None
        else warm._asdict()
        | {
            "bearings": [row._asdict() for row in warm.bearings],
            "guides": [row._asdict() for row in warm.guides],
        },
    }


def _subject(assessment: Assessment, result: SubjectResult) -> Answer:
    places = {id(finding): place for place, finding in enumerate(assessment.findings)}
    return {
        "subject": result.subject,
        "applies": result.applies,
        "verdict": result.verdict,
        "decides": result.decides,
        "findings": sorted(places[id(finding)] for finding in result.findings),
        "missing": [{"field": gap.field, "ref": gap.ref} for gap in result.missing],
    }


def _asking(assessment: Assessment, result: SubjectResult, asked: dict[Missing, str]) -> Answer:
    """Return a subject with what to enter in words: of some fifty gaps a headline tells three.

    Most subjects lack the same, so ``asked`` keeps what was worded.
    """
    for gap in result.missing:
        if gap not in asked:
            asked[gap] = asks_sentence(gap.field, (gap.ref,))
    missing = [{"field": gap.field, "ref": gap.ref, "asks": asked[gap]} for gap in result.missing]
    return _subject(assessment, result) | {"missing": missing}


def _headline(assessment: Assessment, units: Units) -> Answer:
    headline = assessment.headline
    return {
        "verdict": headline.verdict,
        "because": list(headline.because),
        "ask": [
            {
                "field": one.field,
                "ref": one.refs[0] if len(one.refs) == 1 else None,
                "asks": asks_sentence(one.field, one.refs, one.also),
            }
            for one in headline.ask
        ],
        "words": headline_sentence(headline.verdict, headline.because, assessment.findings, units),
    }


def _settle(row: Settle) -> Answer:
    return {
        "field": row.field,
        "ref": row.ref,
        "low": row.low,
        "high": row.high,
        "missing": row.missing,
        "matters": row.matters,
        "from": row.from_verdict,
        "to": row.to_verdict,
        "subject": row.subject,
    }


def _arrangement(assessment: Assessment) -> Answer:
    arrangement = assessment.arrangement
    return {
        "relations": list(arrangement.relations),
        "carries_down": list(arrangement.carries_down),
        "carries_up": list(arrangement.carries_up),
        "words": arrangement_sentence(arrangement),
    }


def _speed(assessment: Assessment) -> Answer:
    speed = assessment.speed
    return {
        "bearings": [row._asdict() for row in speed.bearings],
        "permissible_rpm": speed.permissible_rpm,
        "governing": speed.governing,
        "complete": speed.complete,
        "margins": [margin._asdict() for margin in speed.margins],
    }


def _sharing(sharing: SharingResult) -> Answer:
    """Return the block on load sharing: what was asked of it, and nulls and empty lists for the rest."""
    duty, gauge = sharing.duty, sharing.gauge
    return {
        "assumed_groove_ratios": sharing.assumed_groove_ratios,
        "loads": [row._asdict() for row in sharing.loads],
        "greatest_difference": sharing.greatest_difference,
        "rising_unloading_thrust_n": sharing.rising_unloading_thrust_n,
        "mismatch": [row._asdict() for row in sharing.mismatch],
        "end_play_um": sharing.end_play_um,
        "gauge": None if gauge is None else gauge._asdict(),
        "growth": [row._asdict() for row in sharing.growth],
        "duty": None
        if duty is None
        else duty._asdict()
        | {
            "bearings": [one._asdict() for one in duty.bearings],
            "rows": [row._asdict() for row in duty.rows],
        },
        "springs": [
            row._asdict()
            | {
                "cases": [case._asdict() for case in row.cases],
                "held": [guide._asdict() for guide in row.held],
            }
            for row in sharing.springs
        ],
    }


def headline_values(assessment: Assessment, units: Units = "si") -> Answer:
    """Return the part of an answer that its headline is read from: quick, without what settles and asks."""
    return {
        "answer": ANSWER_VERSION,
        "headline": _headline(assessment, units),
        "subjects": [_subject(assessment, result) for result in assessment.subjects],
    }


def assessment_answer(assessment: Assessment, units: Units = "si") -> Answer:
    """Return the whole answer; ``units`` changes the sentences only, figures stay SI."""
    life, thermal = assessment.life, assessment.thermal
    asked: dict[Missing, str] = {}
    return {
        "answer": ANSWER_VERSION,
        "headline": _headline(assessment, units),
        "subjects": [_asking(assessment, result, asked) for result in assessment.subjects],
        "version": assessment.version,
        "settles": [_settle(row) for row in assessment.settles],
        "arrangement": _arrangement(assessment),
        "cases": [_case(case) for case in assessment.judged_cases],
        "unloading_thrust_n": assessment.unloading_thrust_n,
        "unloading_thrust_warm_n": assessment.unloading_thrust_warm_n,
        "end_play_mounted": None
        if assessment.end_play_mounted is None
        else assessment.end_play_mounted._asdict(),
        "life": {
            "bearings": [row._asdict() for row in life.bearings],
            "stack_l10h": life.stack_l10h,
            "stack_l10mh": life.stack_l10mh,
            "reliability_percent": life.reliability_percent,
            "a1": life.a1,
            "stack_lnmh": life.stack_lnmh,
            "other_stack_l10mh": life.other_stack_l10mh,
        },
        "static": {"bearings": [row._asdict() for row in assessment.static]},
        "speed": _speed(assessment),
        "thermal": {
            "bearings": [row._asdict() for row in thermal.bearings],
            "friction_w": thermal.friction_w,
            "heat_removed_w": thermal.heat_removed_w,
            "permissible_rpm": thermal.permissible_rpm,
            "cooling": thermal.cooling._asdict(),
            "estimated_permissible_rpm": thermal.estimated_permissible_rpm,
            "need": None if thermal.need is None else thermal.need._asdict(),
            "hottest": thermal.hottest,
        },
        "sharing": _sharing(assessment.sharing),
        "guides": [row._asdict() for row in assessment.guides],
        "grease": [row._asdict() for row in assessment.grease],
        "findings": [
            {
                "code": finding.code,
                "severity": finding.severity,
                "ref": finding.ref,
                "refs": list(finding.refs or ((finding.ref,) if finding.ref is not None else ())),
                "subject": SUBJECT_OF_CODE[finding.code],
                "message": finding_sentence(finding, units),
                "value": finding.value,
                "limit": finding.limit,
                "unit": finding.unit,
                "source": finding.source,
            }
            for finding in assessment.findings
        ],
        "not_checked": [
            {"check": one.check, "reason": reason_sentence(one, with_names=True)}
            for one in assessment.not_checked
        ],
    }


def comparison_answer(comparison: Comparison) -> Answer:
    """Return the answer of a comparison; the sentence about a whole stack stands first, without refs."""
    whole = upside_down_sentence(comparison)
    differences: list[Answer] = []
    if whole is not None:
        differences.append({"ref_found": None, "ref_built": None, "code": "turned-over", "message": whole})
    differences += [
        {
            "ref_found": one.ref_found,
            "ref_built": one.ref_built,
            "code": one.code,
            "message": difference_sentence(one, comparison),
        }
        for one in comparison.differences
    ]
    return {"same": comparison.same, "differences": differences}


def refusal_answer(error: StackFileError) -> Answer:
    """Return the answer to a file that was refused."""
    return {"errors": [mistake.as_dict() for mistake in error.mistakes]}
