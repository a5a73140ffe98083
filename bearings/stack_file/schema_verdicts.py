"""Schemas of the verdicts of an answer: headline, subjects, what settles it, cases judged whole."""

from __future__ import annotations

from typing import Final

from bearings.engineering.subjects import SUBJECTS
from bearings.stack_file.schema_parts import (
    CASE_NAMES,
    FLAG,
    MAYBE,
    MAYBE_FLAG,
    MAYBE_REF,
    NUMBER,
    REF,
    TEXT,
    Schema,
    maybe,
    row_schema,
    rows_schema,
    words_schema,
)

VERDICTS: Final = ("ok", "warn", "stop", "not_proven")
SUBJECT_NAMES: Final = tuple(subject.name for subject in SUBJECTS)
END: Final[Schema] = {"type": ["number", "string", "boolean", "null"]}


def _asked() -> Schema:
    return rows_schema(field=TEXT, ref=MAYBE_REF, asks=TEXT)


def headline_schema() -> Schema:
    """Return the schema of the one line that a reader acts on."""
    because: Schema = {"type": "array", "items": words_schema(*SUBJECT_NAMES)}
    ask = _asked() | {"maxItems": 3}
    return row_schema(verdict=words_schema(*VERDICTS), because=because, ask=ask, words=TEXT)


def subjects_schema() -> Schema:
    """Return the schema of the verdicts of all subjects."""
    return rows_schema(
        subject=words_schema(*SUBJECT_NAMES),
        applies=FLAG,
        verdict=words_schema(*VERDICTS),
        decides=FLAG,
        findings={"type": "array", "items": {"type": "integer", "minimum": 0}},
        missing=_asked(),
    )


def settles_schema() -> Schema:
    """Return the schema of the list of figures that matter and of those that do not."""
    verdict = words_schema(*VERDICTS, None)
    properties: dict[str, Schema] = {
        "field": TEXT,
        "ref": MAYBE_REF,
        "low": END,
        "high": END,
        "missing": FLAG,
        "matters": FLAG,
        "from": verdict,
        "to": verdict,
        "subject": words_schema(*SUBJECT_NAMES, None),
    }
    return rows_schema(**properties)


def cases_schema() -> Schema:
    """Return the schema of the load cases, each judged whole."""
    loads = rows_schema(ref=REF, axial_n=MAYBE, unloaded=MAYBE_FLAG)
    guides = rows_schema(ref=REF, axial_n=MAYBE)
    skidding = rows_schema(
        ref=REF,
        axial_n=NUMBER,
        minimum_n=NUMBER,
        basis=words_schema("maker", "estimate"),
        enough=FLAG,
        test_run_rpm=NUMBER,
    )
    warm = row_schema(bearings=loads, guides=guides, stack_l10h=MAYBE, stack_l10mh=MAYBE, friction_w=MAYBE)
    return rows_schema(
        name=words_schema(*CASE_NAMES),
        net_axial_n=NUMBER,
        carried=FLAG,
        bearings=loads,
        guides=guides,
        speed_rpm=NUMBER,
        continuous=MAYBE_FLAG,
        ranged=FLAG,
        stack_l10h=MAYBE,
        stack_l10mh=MAYBE,
        kappa=MAYBE,
        skidding=skidding,
        friction_w=MAYBE,
        warm=maybe(
            warm, "as mounted and warm; null where heat and fits change nothing or too little is known"
        ),
    )


def end_play_schema() -> Schema:
    """Return the schema of the end play that is predicted."""
    return maybe(
        row_schema(
            expected_um=NUMBER,
            low_um=NUMBER,
            high_um=NUMBER,
            gauge_um=MAYBE,
            gauge_low_um=MAYBE,
            gauge_high_um=MAYBE,
            gauge_force_n=NUMBER,
            basis=words_schema("entered", "assumed"),
        ),
        "end play as mounted and not warm; a limit only where the basis is entered",
    )
