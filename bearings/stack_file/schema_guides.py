"""The schema of the answer's rows on guides and grease."""

from __future__ import annotations

from bearings.stack_file.schema_parts import (
    MAYBE,
    MAYBE_FLAG,
    NUMBER,
    REF,
    Schema,
    rows_schema,
    told,
    words_schema,
)


def guides_schema() -> Schema:
    """Return the schema of each guide by itself."""
    taking = words_schema("none", "locates", "after_play", "shares", "unknown")
    return told(
        rows_schema(
            ref=REF,
            role=words_schema("locating", "floating", "not_proven"),
            down=taking,
            up=taking,
            growth_um=MAYBE,
            float_enough=MAYBE_FLAG,
            rating_rpm=MAYBE,
            basis=words_schema("limiting", "oil", "grease", "reference", None),
            permissible_rpm=MAYBE,
            axial_n=MAYBE,
            radial_n=MAYBE,
            equivalent_load_n=MAYBE,
            l10h=MAYBE,
        ),
        "every guide. down and up: locates (nothing in the stack carries that way), after_play (the stack takes it "
        "first), shares (without end play beside a stack that carries the same way); growth_um: how far a warmer shaft "
        "moves it, known with distance_mm and shaft_warmer_k alone; loads and life in the running case, cold",
    )


def grease_schema() -> Schema:
    """Return the schema of grease lives."""
    return told(
        rows_schema(
            ref=REF,
            speed_rpm=NUMBER,
            ndm=MAYBE,
            hours_at_70c=MAYBE,
            temperature_c=MAYBE,
            temperature_factor=MAYBE,
            shaft_factor=NUMBER,
            grease_life_h=MAYBE,
        ),
        "greased bearings and guides; ndm is speed times pitch diameter in mm/min. A handbooks' rule for lithium soap "
        "grease, from memory, unverified; nothing is claimed beyond 40 000 h",
    )
