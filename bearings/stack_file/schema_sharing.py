"""The schema of the answer's block on load sharing."""

from __future__ import annotations

from bearings.stack_file.schema_parts import (
    CASE_NAMES,
    MAYBE,
    MAYBE_FLAG,
    NUMBER,
    REF,
    Schema,
    maybe,
    row_schema,
    rows_schema,
    told,
    words_schema,
)


def sharing_schema() -> Schema:
    """Return the schema of second model, mismatch, end play, growth, duty and springs."""
    case, pair = words_schema(*CASE_NAMES), {"type": "array", "items": REF, "minItems": 2, "maxItems": 2}
    return row_schema(
        assumed_groove_ratios=told(
            MAYBE_FLAG,
            "true when a groove radius was not given and a usual one assumed; null without the model",
        ),
        loads=told(
            rows_schema(
                case=case,
                ref=REF,
                axial_n=NUMBER,
                rising_angle_n=NUMBER,
                contact_angle_deg=NUMBER,
                difference=NUMBER,
            ),
            "axial_n at a constant contact angle, which all other results use, beside rising_angle_n with one that "
            "rises with load (Hertz); difference over the greater of the two",
        ),
        greatest_difference=told(MAYBE, "the greatest difference in loads"),
        rising_unloading_thrust_n=told(MAYBE, "unloading_thrust_n by the second model"),
        mismatch=told(
            rows_schema(
                refs=pair,
                case=case,
                load_n=NUMBER,
                stand_out_difference_um=MAYBE,
                growth_difference_um=MAYBE,
                heavier_share=MAYBE,
                carries_all_um=MAYBE,
                rising_carries_all_um=MAYBE,
            ),
            "tandem neighbours; carries_all_um is the difference of stand-out at which one carries both loads",
        ),
        end_play_um=told(MAYBE, "end play of the stack; negative is preloaded"),
        gauge=maybe(
            row_schema(force_n=NUMBER, reading_um=NUMBER),
            "what a gauge on the shaft reads under this pull and push, without the rotor's weight",
        ),
        growth=told(
            rows_schema(
                refs=pair,
                relation=words_schema("DB", "DF"),
                distance_mm=MAYBE,
                thermal_um=MAYBE,
                fit_um=MAYBE,
                preload_n=MAYBE,
                preload_change_n=MAYBE,
                end_play_um=MAYBE,
            ),
            "opposed neighbours when shaft_warmer_k or fit_interference_um is given: change of overlap, preload of the "
            "set before and its change, end play afterwards; the loads of the cases do not count it in",
        ),
        duty=maybe(_duty(), "life over motor.duty; null where none is given"),
        springs=told(
            _springs(case),
            "spherical roller thrust bearings on springs; compression_mm from the installed height; held: the guides' "
            "worst case, and their life if the motor ran so all the time",
        ),
    )


def _duty() -> Schema:
    return row_schema(
        stack_l10h=MAYBE,
        stack_l10mh=MAYBE,
        mean_speed_rpm=NUMBER,
        bearings=rows_schema(ref=REF, equivalent_load_n=MAYBE, l10h=MAYBE, l10mh=MAYBE),
        rows=rows_schema(
            share=NUMBER,
            speed_rpm=NUMBER,
            down_thrust_n=NUMBER,
            net_axial_n=MAYBE,
            carried=MAYBE_FLAG,
            stack_l10h=MAYBE,
            stack_l10mh=MAYBE,
            damage_share=MAYBE,
        ),
    )


def _springs(case: Schema) -> Schema:
    return rows_schema(
        ref=REF,
        guides={"type": "array", "items": REF},
        force_n=MAYBE,
        rate_n_per_mm=MAYBE,
        travel_mm=MAYBE,
        solid_from_n=MAYBE,
        minimum_load_n=MAYBE,
        cases=rows_schema(case=case, axial_n=MAYBE, guide_n=MAYBE, compression_mm=MAYBE, solid=MAYBE_FLAG),
        held=rows_schema(ref=REF, case=case, axial_n=NUMBER, l10h=MAYBE, permissible_rpm=MAYBE),
    )
