"""The published JSON Schemas, generated from the field table and the list of findings."""

from __future__ import annotations

from typing import Final

from bearings.engineering.quantities import ONE_WAY_TYPES
from bearings.engineering.subjects import FINDING_CODES, SUBJECTS
from bearings.stack_file import fields as table
from bearings.stack_file import schema_verdicts as verdict_parts
from bearings.stack_file import specs as limit
from bearings.stack_file.schema_guides import grease_schema, guides_schema
from bearings.stack_file.schema_parts import (
    CASE_NAMES,
    FLAG,
    MAYBE,
    MAYBE_REF,
    NUMBER,
    REF,
    TEXT,
    Schema,
)
from bearings.stack_file.schema_parts import row_schema as _row
from bearings.stack_file.schema_parts import rows_schema as _rows
from bearings.stack_file.schema_parts import words_schema as _words
from bearings.stack_file.schema_sharing import sharing_schema
from bearings.stack_file.specs import FieldSpec

LATEST: Final = max(table.VERSIONS)
DIALECT: Final = "https://json-schema.org/draft/2020-12/schema"
CODE_MEANINGS: Final[dict[str, str]] = {
    "down-thrust-not-carried": "stop: nothing carries down on a vertical shaft, or a net down thrust is not carried",
    "up-thrust-not-carried": "stop: net up thrust is not carried; warn while the rotor weight is unknown",
    "washers-part": "stop: net up thrust on a spherical roller thrust bearing without springs or holding guide",
    "speed-margin": "stop below 0, warn below the policy, per motor speed; reverse stops below 0 only; note: ratchet",
    "reference-speed": "warn: reference speed times set factor below the speed; stop when the heat balance agrees",
    "speed-not-rated": "warn: a bearing has no usable speed",
    "life": "stop or warn: life of the stack in a continuous case below the policy or the life asked for",
    "static-safety": "stop: static safety below the policy in a case",
    "unloaded-in-running": "note, warn above the policy's n dm: an opposed bearing without springs runs unloaded",
    "minimum-load": "warn: a bearing carries less than it needs to roll in a continuous case; note: in a run uncoupled",
    "not-a-matched-arrangement": "warn: the direction changes more than once",
    "mixed-set": "stop: bearings that share thrust are unlike; warn: of different sets",
    "stand-out-mismatch": "warn: stand-out of tandem neighbours differs too much",
    "preload-not-proven": "note: preload is counted on and no lock nut is listed",
    "spacer-pair": "warn: a spacer on one ring only, or unequal heights",
    "thrust-through-snap-ring": "warn: only a snap ring brings the down thrust in; note: nothing recorded does",
    "radial-load-on-thrust-roller": "stop: radial load above 0.55 of the axial load",
    "no-radial-guide": "warn: nothing guides the shaft of spherical roller thrust bearings",
    "viscosity": "warn: kappa below 1",
    "envelope": "stop: bearings of one tandem differ in bore or outside diameter",
    "heat-balance": "warn: friction above the heat taken away, given or estimated; note: within the uncertainty",
    "reference-speed-differs": "note: printed and computed reference speed differ by more than 15 %",
    "rating-estimated": "note: ratings estimated from counted and measured balls",
    "rating-geometry": "warn: a rating far from what the balls give",
    "sharing-models-differ": "note: constant and rising contact angle differ by more than 5 % of a load",
    "mismatch-sensitive": "note: stand-outs take over half of what lets one bearing carry all; warn: all of it",
    "thermal-preload": "warn: heat and fits take a set's preload, or raise it above the policy's share of C; else note",
    "duty-life": "stop or warn: life over the duty below the policy or the life asked for",
    "duty-not-carried": "stop: nothing carries the net thrust of a part of the duty",
    "duty-speed": "stop or warn as speed-margin: a part of the duty is faster than every speed of the motor",
    "spring-solid": "note: springs are solid under thrust, which is usual; warn: under the rotor's weight alone",
    "spring-too-weak": "warn: spring force below least load and net up thrust; stop: washers part; note: a guide holds",
    "guide-without-thrust": "stop: a guide is entered as carrying what its kind cannot; note: it holds no up thrust",
    "groove-thrust-limit": "warn: thrust on a deep groove bearing above half of its static rating",
    "thrust-on-guide": "stop: a guide or deep groove bearing takes the running thrust beside one-way bearings",
    "not-for-pairing": "stop: a bearing made to run alone stands in a set; warn with all stand-outs measured",
    "life-modified": "stop or warn: modified life of the stack in a continuous case below the limit",
    "life-warm": "stop or warn: life of the stack as mounted and warm below the limit where the cold one passes",
    "load-high": "note: a load at the edge of the life formula",
    "cage-temperature": "warn: oil hotter than cage or rings bear; stop 20 K above",
    "opposed-oil-flow": "note: opposed neighbours without a spacer pump oil together or apart",
    "guide-life": "warn: life of a guide below the limit",
    "guide-shares-thrust": "note: a guide without end play carries the same way as the stack",
    "guide-float": "note: a warm shaft moves a guide further than its end play",
    "grease-life": "note: how long the grease lasts where it ages first",
    "geometry-impossible": "warn: balls that overlap or do not fit between the rings",
}


def field_schema(spec: FieldSpec) -> Schema:
    """Return the schema of one field; null counts as unknown unless the field is required."""
    if spec.kind == "list":
        # The one list among the plain fields: the parts of a duty.
        return {
            "description": spec.description,
            "type": ["array", "null"],
            "minItems": 1,
            "maxItems": int(spec.maximum or 0),
            "items": _object(table.DUTY_POINT),
        }
    unit = "" if spec.unit in ("", "1") else f" [{spec.unit}]"
    schema: Schema = {"description": f"{spec.description}{unit}"}
    if spec.kind == "choice":
        schema["enum"] = [*spec.choices] if spec.required else [*spec.choices, None]
    else:
        plain = {"text": "string"}.get(spec.kind, spec.kind)
        schema["type"] = plain if spec.required else [plain, "null"]
    if spec.kind == "text":
        schema["maxLength"] = limit.LONGEST_TEXT
    if spec.minimum is not None:
        schema["minimum"] = spec.minimum
    if spec.maximum is not None:
        schema["maximum"] = spec.maximum
    if spec.default is not None:
        schema["default"] = spec.default
    return schema


def _object(
    specs: dict[str, FieldSpec], more: dict[str, Schema] | None = None, version: int = LATEST
) -> Schema:
    specs = {name: spec for name, spec in specs.items() if spec.since <= version}
    properties = {name: field_schema(spec) for name, spec in specs.items()}
    schema: Schema = {
        "type": "object",
        "additionalProperties": False,
        "properties": (more or {}) | properties,
    }
    required = [name for name, spec in specs.items() if spec.required]
    return schema | ({"required": required} if required else {})


def _one_way_rules(version: int) -> list[Schema]:
    """The wide face belongs to one-way bearings; the angle of an angular contact bearing has its table."""
    one_way: Schema = {"properties": {"type": {"enum": sorted(ONE_WAY_TYPES)}}}
    face: Schema = {"required": ["wide_face"], "properties": {"wide_face": {"enum": ["up", "down"]}}}
    if version > 1:
        face = {}
    low, high = table.CONTACT_ANGLE_DEG
    angular: Schema = {"properties": {"type": {"const": "angular_contact_ball"}}}
    angle: Schema = {"properties": {"contact_angle_deg": {"minimum": low, "maximum": high}}}
    return [
        {"if": one_way, "then": face, "else": {"properties": {"wide_face": {"type": "null"}}}},
        {"if": angular, "then": angle},
    ]


def _nullable(schema: Schema) -> Schema:
    return schema | {"type": ["object", "null"]}


def _stack_file(version: int) -> Schema:
    """Return the schema of one version of the stack file."""
    rules = _one_way_rules(version)
    bearing = _object(table.BEARING, {"kind": {"const": "bearing"}}, version) | {"allOf": rules}
    bearing["required"] = ["kind", "type"]
    part = _object(table.PART, {"kind": {"enum": list(table.PART_KINDS)}}, version) | {"required": ["kind"]}
    guide = _object(table.GUIDE, {"kind": {"enum": ["bearing", None]}}, version) | {"allOf": rules}
    policy = _object(table.POLICY, {"set_factors": _nullable(_object(table.SET_FACTORS))}, version)
    motor = _object(table.MOTOR, None, version)
    if version > 1:
        speeds = {name: {"type": "null"} for name in ("minimum_speed_rpm", "maximum_speed_rpm")}
        line: Schema = {"properties": {"fixed_speed": {"const": True}}, "required": ["fixed_speed"]}
        motor |= {"allOf": [{"if": line, "then": {"properties": speeds}}]}
    return {
        "type": "object",
        "additionalProperties": False,
        "required": ["stack_file", "motor", "items"],
        "properties": {
            "stack_file": {"const": version, "description": "version of the stack file"},
            "motor": motor,
            "lubrication": _nullable(_object(table.LUBRICATION, None, version)),
            "policy": _nullable(policy),
            "items": {
                "description": "bearings and other parts, top of the mount first",
                "type": "array",
                "minItems": 1,
                "maxItems": limit.MOST_ITEMS,
                "items": {
                    "type": "object",
                    "required": ["kind"],
                    "if": {"properties": {"kind": {"const": "bearing"}}},
                    "then": bearing,
                    "else": part,
                },
            },
            "guides": {
                "description": "bearings elsewhere on the same shaft",
                "type": ["array", "null"],
                "maxItems": limit.MOST_ITEMS,
                "items": guide,
            },
        },
    }


def stack_file_schema() -> Schema:
    """Return the JSON Schema of the stack file, versions 1 and 2."""
    return {
        "$schema": DIALECT,
        "title": "Stack file, versions 1 and 2",
        "description": (
            "A stack of bearings in the order of the mount, top first, with its duty. SI throughout, the unit in "
            "the name of the field. A field that is absent or null is unknown; version 2 lets the wide face be so. "
            "Also refused: an outside diameter not above the bore, shares of a duty that do not add up to 1, "
            f"repeated keys, more than {limit.MOST_BYTES} bytes, JSON nested deeper than "
            f"{limit.DEEPEST_NESTING}, bytes that are not UTF-8, a byte-order mark."
        ),
        "if": {"properties": {"stack_file": {"const": 1}}, "required": ["stack_file"]},
        "then": _stack_file(1),
        "else": _stack_file(LATEST),
    }


def _results() -> dict[str, Schema]:
    """Schemas of the answer's results, by key."""
    refs: Schema = {"type": "array", "items": REF}
    return {
        "answer": {"const": 2, "description": "version of the answer"},
        "version": TEXT,
        "headline": verdict_parts.headline_schema(),
        "subjects": verdict_parts.subjects_schema(),
        "settles": verdict_parts.settles_schema(),
        "arrangement": _row(
            relations={"type": "array", "items": _words("DB", "DF", "DT")},
            carries_down=refs,
            carries_up=refs,
            words=TEXT,
        ),
        "cases": verdict_parts.cases_schema(),
        "unloading_thrust_n": MAYBE,
        "unloading_thrust_warm_n": MAYBE,
        "end_play_mounted": verdict_parts.end_play_schema(),
        "life": _row(
            bearings=_rows(
                ref=REF,
                equivalent_load_n=MAYBE,
                l10h=MAYBE,
                kappa=MAYBE,
                contamination_factor=MAYBE,
                a_iso=MAYBE,
                l10mh=MAYBE,
                lnmh=MAYBE,
                other_contamination_factor=MAYBE,
                other_l10mh=MAYBE,
            ),
            stack_l10h=MAYBE,
            stack_l10mh=MAYBE,
            reliability_percent=NUMBER,
            a1=NUMBER,
            stack_lnmh=MAYBE,
            other_stack_l10mh=MAYBE,
        ),
        "static": _row(
            bearings=_rows(ref=REF, equivalent_static_load_n=MAYBE, safety=MAYBE, case=_words(*CASE_NAMES))
        ),
        "speed": _speed_schema(),
        "thermal": _thermal_schema(),
        "sharing": sharing_schema(),
        "guides": guides_schema(),
        "grease": grease_schema(),
    }


def _thermal_schema() -> Schema:
    need = _row(
        speed=_words("rated", "synchronous"),
        speed_rpm=NUMBER,
        friction_w=NUMBER,
        low_w=NUMBER,
        high_w=NUMBER,
        beyond_seats_w=MAYBE,
        oil_flow_l_min=MAYBE,
    )
    return _row(
        bearings=_rows(
            ref=REF,
            friction_w=MAYBE,
            reference_speed_rpm=MAYBE,
            drag_nmm=MAYBE,
            load_nmm=MAYBE,
            surface_mm2=MAYBE,
            seat_w=MAYBE,
            own_permissible_rpm=MAYBE,
        ),
        friction_w=MAYBE,
        heat_removed_w=MAYBE,
        permissible_rpm=MAYBE,
        cooling=_row(
            basis=_words("given", "estimated", None),
            seats_w=MAYBE,
            oil_w=MAYBE,
            external_w=MAYBE,
            available_w=MAYBE,
        ),
        estimated_permissible_rpm=MAYBE,
        need={**need, "type": ["object", "null"]},
        hottest=MAYBE_REF,
    )


def _speed_schema() -> Schema:
    return _row(
        bearings=_rows(
            ref=REF,
            rating_rpm=MAYBE,
            basis=_words("limiting", "oil", "grease", "reference", None),
            set_factor=NUMBER,
            permissible_rpm=MAYBE,
        ),
        permissible_rpm=MAYBE,
        governing=MAYBE_REF,
        complete=FLAG,
        margins=_rows(
            speed=_words("rated", "synchronous", "maximum", "reverse"),
            speed_rpm=NUMBER,
            permissible_rpm=NUMBER,
            margin=NUMBER,
        ),
    )


def answer_schema() -> Schema:
    """Return the JSON Schema of the checker's answer."""
    codes = "; ".join(f"{code} ({CODE_MEANINGS[code]})" for code in FINDING_CODES)
    finding = _rows(
        code={"enum": list(FINDING_CODES), "description": codes},
        severity=_words("stop", "warn", "note"),
        ref=MAYBE_REF,
        refs={"type": "array", "items": REF},
        subject=_words(*(subject.name for subject in SUBJECTS)),
        message=TEXT,
        value=MAYBE,
        limit=MAYBE,
        unit={"type": ["string", "null"]},
        source=TEXT,
    )
    answer = _row(**_results(), findings=finding, not_checked=_rows(check=TEXT, reason=TEXT))
    return {
        "$schema": DIALECT,
        "title": "Answer of the stack checker, version 2",
        "description": "Figures are SI and not rounded; null is unknown, and not_checked says what is missing.",
    } | answer
