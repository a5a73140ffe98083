"""The invented bearing book: two makers that do not exist, three editions, figures made up in plausible ranges."""

from __future__ import annotations

from datetime import date

from bearings.public import Rating, Source

NOTE = "Invented maker and figures, for the demo only."
# designation, bore, outside diameter, height: ISO 15 boundary dimensions
ANGULAR = (
    ("7312", 60, 130, 31, 96_000, 71_000, 4_600, 12, 22.225),
    ("7314", 70, 150, 35, 123_000, 96_000, 3_900, 12, 25.4),
    ("7316", 80, 170, 39, 149_000, 122_000, 3_400, 12, 28.575),
    ("7318", 90, 190, 43, 181_000, 158_000, 3_000, 13, 31.75),
    ("7320", 100, 215, 47, 216_000, 208_000, 2_700, 13, 34.925),
    ("7322", 110, 240, 50, 238_000, 241_000, 2_400, 13, 38.1),
    ("7326", 130, 280, 58, 285_000, 322_000, 2_000, 13, 44.45),
)
# Found too fast since: the newer edition of Maker A prints less, so that a re-check has something to say.
SLOWED = {"7318": 2_500}


def write_book() -> dict[str, Rating]:
    """Make sources and ratings; return some by a short name."""
    first = Source.objects.create(
        maker="Maker A (invented)",
        title="Bearing tables",
        edition="2019",
        published_on=date(2019, 3, 1),
        note=NOTE,
    )
    newer = Source.objects.create(
        maker="Maker A (invented)",
        title="Bearing tables",
        edition="2024",
        published_on=date(2024, 5, 1),
        note=NOTE,
    )
    other = Source.objects.create(
        maker="Maker B (invented)",
        title="Rolling bearings",
        edition="7",
        published_on=date(2022, 1, 1),
        note=NOTE,
    )
    kept: dict[str, Rating] = {}
    for line in ANGULAR:
        designation, bore, outside, height, dynamic, static, speed, balls, ball = line
        for source, factor, cage, reference in (
            (first, 1.0, "machined brass", None),
            (newer, 1.0, "machined brass", 0.93),
            (other, 0.78, "pressed steel", None),
        ):
            printed = SLOWED.get(designation, speed) if source == newer else speed
            figures: dict[str, object] = {
                "cage_material": "steel" if "steel" in cage else "brass",
                "contact_angle_deg": 40.0,
                "dynamic_rating_n": float(dynamic),
                "static_rating_n": float(static),
                "limiting_speed_rpm": round(printed * factor, -1),
                "ball_count": balls,
                "ball_diameter_mm": ball,
            }
            missing = ["fatigue_load_limit_n", "minimum_load_factor_n"]
            if reference:
                figures["reference_speed_rpm"] = round(printed * reference, -1)
            else:
                missing.append("reference_speed_rpm")
            rating = Rating.objects.create(
                source=source,
                designation=designation,
                variant="40°, single, universal",
                cage=cage,
                type="angular_contact_ball",
                bore_mm=bore,
                outside_diameter_mm=outside,
                height_mm=height,
                figures=figures,
                not_printed=missing,
                speed_meaning="limiting speed: cage strength; do not exceed, even with cooling",
                note=NOTE,
            )
            kept[f"{designation} {source.maker[6]} {source.edition}"] = rating
    _insides_of_7320(newer, other)
    kept.update(_thrust_rollers(newer, other))
    _guides(newer)
    return kept


def _insides_of_7320(newer: Source, other: Source) -> None:
    """One size, many insides: a faster one, a higher one, and one whose speed the source does not print."""
    usual: dict[str, object] = {
        "contact_angle_deg": 40.0,
        "dynamic_rating_n": 216_000.0,
        "static_rating_n": 208_000.0,
        "ball_count": 13,
        "ball_diameter_mm": 34.925,
    }
    # What only some books print: without it the life of a set is not proven.
    more = {"pair_preload_n": 1_500.0, "fatigue_load_limit_n": 8_300.0, "minimum_load_factor_n": 300.0}
    for source, designation, variant, cage, height, printed in (
        (
            newer,
            "7320 H",
            "40°, single, universal, fast",
            "polymer",
            47,
            {"limiting_speed_rpm": 3_200.0, **more},
        ),
        (other, "7320 L", "40°, wide rings", "machined brass", 51, {"limiting_speed_rpm": 3_100.0}),
        (other, "7320 P", "40°, single, universal", "polymer", 47, {}),
    ):
        Rating.objects.create(
            source=source,
            designation=designation,
            variant=variant,
            cage=cage,
            type="angular_contact_ball",
            bore_mm=100,
            outside_diameter_mm=215,
            height_mm=height,
            figures={**usual, **printed, "cage_material": "polyamide" if cage == "polymer" else "brass"},
            not_printed=[
                name for name in ("limiting_speed_rpm", "reference_speed_rpm", *more) if name not in printed
            ],
            speed_meaning="limiting speed: cage strength; do not exceed, even with cooling",
            note=NOTE,
        )


def _thrust_rollers(newer: Source, other: Source) -> dict[str, Rating]:
    """One size with two insides, and a third book that prints less."""
    made = {}
    for name, source, variant, limiting in (
        ("standard", newer, "standard inside", 1_460),
        ("high", newer, "high-capacity inside", 2_150),
        ("other", other, "standard inside", 1_080),
    ):
        made[f"29428 {name}"] = Rating.objects.create(
            source=source,
            designation="29428",
            variant=variant,
            cage="machined brass",
            type="spherical_roller_thrust",
            bore_mm=140,
            outside_diameter_mm=280,
            height_mm=85,
            figures={
                "cage_material": "brass",
                "dynamic_rating_n": 1_290_000.0 if name == "high" else 1_090_000.0,
                "static_rating_n": 3_950_000.0,
                "limiting_speed_rpm": float(limiting),
                "minimum_load_factor_n": 1_700.0,
            },
            not_printed=["reference_speed_rpm", "fatigue_load_limit_n"],
            speed_meaning="limiting speed",
            note=NOTE,
        )
    return made


def _guides(source: Source) -> None:
    for designation, bore, outside, height, dynamic, static, speed in (
        ("6312", 60, 130, 31, 82_000, 52_000, 6_000),
        ("6218", 90, 160, 30, 96_000, 72_000, 5_000),
        ("6220", 100, 180, 34, 122_000, 93_000, 4_500),
    ):
        Rating.objects.create(
            source=source,
            designation=designation,
            variant="open",
            cage="pressed steel",
            type="deep_groove_ball",
            bore_mm=bore,
            outside_diameter_mm=outside,
            height_mm=height,
            figures={
                "cage_material": "steel",
                "dynamic_rating_n": float(dynamic),
                "static_rating_n": float(static),
                "limiting_speed_rpm": float(speed),
            },
            not_printed=["reference_speed_rpm"],
            speed_meaning="limiting speed",
            note=NOTE,
        )
