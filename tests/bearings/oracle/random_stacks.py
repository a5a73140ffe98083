"""Random valid stack files, from a seed.

Every kind of bearing, direction, part, oil and policy, and gaps in what is known.
"""

from __future__ import annotations

from random import Random

from tests.bearings.oracle.parts import Row

LEVELS = [
    "extreme_cleanliness",
    "high_cleanliness",
    "normal_cleanliness",
    "slight_contamination",
    "typical_contamination",
    "severe_contamination",
    "very_severe_contamination",
]
FACTOR_NAMES = (
    "single",
    "tandem_pair",
    "tandem_many",
    "opposed_pair",
    "opposed_single_side",
    "opposed_many",
    "spring",
)
PART_KINDS = ["spacer", "shim", "snap_ring", "lock_nut", "lock_washer", "shoulder", "spring_pack", "slinger"]
ENVELOPES = [(50, 110, 27), (70, 150, 35), (90, 190, 43), (100, 215, 47), (120, 260, 55), (150, 320, 65)]


def rounded(rng: Random, low: float, high: float, digits: int = 3) -> float:
    """Draw a number as somebody would type it."""
    return round(rng.uniform(low, high), digits)


def drop(rng: Random, row: Row, chance: float) -> Row:
    """Leave some fields out, or give them as null, as if nobody knew them."""
    kept: Row = {}
    for key, value in row.items():
        if key in ("kind", "type", "wide_face", "carries") or rng.random() >= chance:
            kept[key] = value
        elif rng.random() < 0.3:
            kept[key] = None
    return kept


def bearing(rng: Random, kind: str, face: str | None) -> Row:
    """Draw one bearing with everything known about it."""
    bore, outside, height = rng.choice(ENVELOPES)
    static = rounded(rng, 20, 60, 1) * outside * height
    row: Row = {
        "kind": "bearing",
        "type": kind,
        "designation": rng.choice(["A-1", "A-2", "B-7"]),
        "maker": rng.choice(["Maker A", "Maker B"]),
        "variant": rng.choice(["m", "p"]),
        "bore_mm": bore,
        "outside_diameter_mm": outside,
        "height_mm": height,
        "dynamic_rating_n": round(static * rng.uniform(0.7, 1.1)),
        "static_rating_n": round(static),
        "fatigue_load_limit_n": round(static / rng.uniform(18, 30)),
        "limiting_speed_rpm": rng.choice([1500, 1900, 2300, 2700, 3400]),
        "reference_speed_rpm": rng.choice([1400, 1800, 2250, 2650, 3300]),
        "oil_speed_rpm": rng.choice([1450, 1850, 2350, 2750, 3450]),
        "grease_speed_rpm": rng.choice([1425, 1750, 2150, 2550, 3050]),
        "minimum_load_factor_n": rounded(rng, 50, 3000, 1),
        "f0": rounded(rng, 1, 9, 2),
        "f1": rounded(rng, 0.0002, 0.0015, 5),
        "f0r": rounded(rng, 2, 5, 2),
        "f1r": rounded(rng, 0.0002, 0.0005, 5),
    }
    if face is not None:
        row["wide_face"] = face
    if rng.random() < 0.3 or kind == "spherical_roller_thrust":
        row["reference_surface_mm2"] = rounded(rng, 15_000, 120_000, 0)
    if kind in ("angular_contact_ball", "deep_groove_ball"):
        row["ball_diameter_mm"] = round((outside - bore) * rng.uniform(0.25, 0.32), 2)
        row["ball_count"] = rng.randint(9, 16)
    if kind == "angular_contact_ball":
        row["contact_angle_deg"] = rng.choice([15, 17.5, 20, 25, 27.3, 30, 35, 40, 40, 40, 42, 45])
        row["pair_preload_n"] = rng.choice([0, 300, 1500, 4000])
        row["stand_out_um"] = rng.choice([0, 0, -12, -4, 2, 5, 20])
        row["set_id"] = rng.choice(["S1", "S1", "S2"])
        if rng.random() < 0.3:
            row["pitch_diameter_mm"] = round((bore + outside) / 2 + rng.uniform(-3, 3), 2)
    return row


def sprung(rng: Random, row: Row) -> Row:
    """Rest a bearing on springs."""
    row["spring_force_n"] = rounded(rng, 500, 9000, 0)
    row["spring_rate_n_per_mm"] = rounded(rng, 200, 3000, 0)
    row["spring_travel_mm"] = rounded(rng, 0.5, 4, 2)
    return row


def angular_set(rng: Random) -> list[Row]:
    """Draw a set of angular contact bearings, alike or not."""
    faces = [rng.choice(["down", "down", "up"]) for _ in range(rng.choice([1, 1, 2, 2, 2, 3, 3, 4, 5]))]
    alike = rng.random() < 0.65
    model = bearing(rng, "angular_contact_ball", "down")
    if rng.random() < 0.5:
        model |= {"stand_out_um": 0}
    if rng.random() < 0.4:
        model |= {"contact_angle_deg": 40}
    if alike:
        model = drop(rng, model, rng.choice([0.0, 0.0, 0.1, 0.4]))
        rows = [{**model, "wide_face": face} for face in faces]
        if rng.random() < 0.3:
            rng.choice(rows)["stand_out_um"] = rng.choice([3, -5, 8])
        if rng.random() < 0.2:
            rng.choice(rows)["set_id"] = "S3"
        if rng.random() < 0.2:
            rng.choice(rows)["pair_preload_n"] = 2500
    else:
        rows = [bearing(rng, "angular_contact_ball", face) for face in faces]
        rows = [drop(rng, row, rng.choice([0.0, 0.0, 0.15])) for row in rows]
    if rng.random() < 0.12:
        sprung(rng, rng.choice(rows))
    return rows


def guide(rng: Random) -> Row:
    """Draw a guide."""
    kind = rng.choice(
        [
            "deep_groove_ball",
            "deep_groove_ball",
            "cylindrical_roller",
            "angular_contact_ball",
            "spherical_roller_thrust",
        ]
        if rng.random() < 0.3
        else ["deep_groove_ball", "deep_groove_ball", "cylindrical_roller"]
    )
    carries = rng.choice(["none", "up", "down", "both", None])
    face = None
    if kind in ("angular_contact_ball", "spherical_roller_thrust"):
        face = rng.choice(["up", "down"])
        carries = rng.choice(["none", face])
    if kind == "cylindrical_roller":
        carries = rng.choice(["none", None])
    row = drop(rng, bearing(rng, kind, face), rng.choice([0.0, 0.0, 0.1]))
    row.pop("kind")
    row["carries"] = carries
    row["end_play_um"] = rng.choice([0, 0, 0, None, 50, 200])
    return drop(rng, row, 0.0)


def other_part(rng: Random) -> Row:
    """Draw a part that is not a bearing."""
    row: Row = {"kind": rng.choice(PART_KINDS), "ring": rng.choice(["inner", "outer", "both", "both", None])}
    if rng.random() < 0.6:
        row["height_mm"] = rng.choice([5, 10, 12.5])
    if rng.random() < 0.4 and row["ring"] == "both":
        row["inner_height_mm"] = rng.choice([10, 10.004, 10.02])
        row["outer_height_mm"] = rng.choice([10, 10.003, 9.99])
    if rng.random() < 0.1:
        row["note"] = "as found"
    return drop(rng, row, 0.0)


def motor(rng: Random) -> Row:
    """Draw a motor."""
    rated = rng.choice([440, 588, 890, 995, 1180, 1480, 1780, 2950])
    row: Row = {
        "rated_speed_rpm": rated,
        "synchronous_speed_rpm": rng.choice([rated + 20, rated + 10]),
        "maximum_speed_rpm": rated * rng.choice([1.05, 1.2]),
        "reverse_speed_rpm": round(rated * rng.uniform(1.0, 1.6)),
        "non_reverse": rng.choice([False, False, True]),
        "down_thrust_n": rng.choice([0, 500, 12_000, 30_000, 90_000, 250_000]),
        "maximum_down_thrust_n": rng.choice([20_000, 60_000, 400_000]),
        "up_thrust_n": rng.choice([0, 1000, 9000, 25_000]),
        "rotor_weight_n": rng.choice([800, 2200, 9000, 20_000]),
        "radial_load_n": rng.choice([0, 0, 300, 2500, 15_000]),
        "required_l10h": rng.choice([20_000, 60_000]),
    }
    kept = {"rated_speed_rpm": rated} | drop(
        rng, {k: v for k, v in row.items() if k != "rated_speed_rpm"}, rng.choice([0.0, 0.1, 0.1, 0.3, 0.6])
    )
    if rng.random() < 0.12:
        kept["mounting"] = "horizontal"
    elif rng.random() < 0.5:
        kept["mounting"] = "vertical"
    return kept


def lubrication(rng: Random) -> Row:
    """Draw an oil or grease."""
    row: Row = {
        "method": rng.choice(["oil_bath", "oil_circulating", "oil_jet", "grease"]),
        "iso_vg": rng.choice([32, 46, 68, 100, 150, 220]),
        "viscosity_index": rng.choice([80, 95, 100, 110, 150]),
        "temperature_c": rng.choice([40, 55, 70, 82.5, 95]),
        "oil_flow_l_min": rng.choice([1, 3.5]),
        "oil_rise_k": rng.choice([8, 15]),
        "heat_removed_w": rng.choice([300, 1500, 6000]),
    }
    row |= (
        {"contamination": rng.choice(LEVELS)}
        if rng.random() < 0.7
        else {"contamination_factor": rng.choice([0, 0.15, 0.5, 1])}
    )
    return drop(rng, row, rng.choice([0.0, 0.1, 0.2, 0.5]))


def policy(rng: Random) -> Row:
    """Draw a shop's own limits."""
    row: Row = {
        "minimum_speed_margin": rng.choice([0, 0.05, 0.25]),
        "stop_l10h": rng.choice([5000, 20_000]),
        "warn_l10h": rng.choice([30_000, 100_000]),
        "minimum_static_safety_ball": rng.choice([1.5, 6]),
        "minimum_static_safety_spherical_roller_thrust": rng.choice([3, 12]),
        "tandem_stand_out_um": rng.choice([1, 6]),
        "spacer_pair_um": rng.choice([2, 15]),
        "unloaded_warn_ndm": rng.choice([150_000, 250_000]),
    }
    chosen = {k: v for k, v in row.items() if rng.random() < 0.4}
    if rng.random() < 0.4:
        chosen["set_factors"] = {name: rounded(rng, 0.5, 1, 2) for name in FACTOR_NAMES if rng.random() < 0.5}
    return chosen


def bearings_of(rng: Random) -> list[Row]:
    """Draw the bearings of a stack."""
    draw = rng.random()
    if draw < 0.62:
        return angular_set(rng)
    if draw < 0.82:
        rows = []
        for _ in range(rng.choice([1, 1, 1, 1, 2])):
            row = bearing(rng, "spherical_roller_thrust", rng.choice(["down", "down", "down", "up"]))
            rows.append(
                drop(rng, sprung(rng, row) if rng.random() < 0.5 else row, rng.choice([0.0, 0.0, 0.1]))
            )
        if rng.random() < 0.25:
            rows += angular_set(rng)[:1]
        return rows
    others = [drop(rng, bearing(rng, "deep_groove_ball", None), rng.choice([0.0, 0.0, 0.1]))]
    if draw < 0.88:
        others += angular_set(rng)
    elif draw < 0.93:
        others.append(bearing(rng, "deep_groove_ball", None))
    elif draw < 0.97:
        others = [bearing(rng, "cylindrical_roller", None), *angular_set(rng)[:2]]
    rng.shuffle(others)
    return others


def random_stack(seed: int) -> Row:
    """Draw a valid stack file."""
    rng = Random(seed)
    rows = bearings_of(rng)
    for _ in range(rng.choice([0, 1, 2, 3, 4])):
        rows.insert(rng.randint(0, len(rows)), other_part(rng))
    data: Row = {"stack_file": 1, "motor": motor(rng), "items": rows}
    if rng.random() < 0.9:
        data["lubrication"] = lubrication(rng)
    if rng.random() < 0.5:
        data["policy"] = policy(rng)
    if rng.random() < 0.45:
        data["guides"] = [guide(rng) for _ in range(rng.choice([1, 1, 2]))]
    return data


def settled(data: Row) -> Row:
    """Enter what the second implementation knows nothing of: line power, no heat, no fits, rings ground to pair."""
    motor = {name: value for name, value in data["motor"].items() if value is not None}
    drive = motor.get("maximum_speed_rpm") is not None
    motor |= {
        "shaft_warmer_k": 0,
        "mount_bore_mm": 0,
        "up_thrust_duty": "momentary",
        "maximum_thrust_duty": "momentary",
    } | ({} if drive else {"fixed_speed": True})
    known = {
        "pairing": "universal",
        "fit_interference_um": 0,
        "cage_material": "brass",
        "stabilised_to_c": 150,
    }
    items = [item | known if item.get("type") == "angular_contact_ball" else item for item in data["items"]]
    return {**data, "stack_file": 2, "motor": motor, "items": items}


def changed_stack(seed: int, data: Row) -> Row:
    """Change a stack as a shop might on the way back: turn, swap, replace, leave out, add, or enter anew."""
    rng = Random(seed)
    rows = [dict(item) for item in data["items"]]
    if rng.random() < 0.1:
        rows = [turned(row) for row in reversed(rows)]
    for _ in range(rng.choice([0, 1, 1, 2])):
        places = [i for i, row in enumerate(rows) if row["kind"] == "bearing"]
        at = rng.choice(places)
        action = rng.choice(["turn", "swap", "replace", "drop", "add", "rating"])
        if action == "turn":
            rows[at] = turned(rows[at])
        elif action == "swap":
            other = rng.choice(places)
            rows[at], rows[other] = rows[other], rows[at]
        elif action == "replace":
            rows[at]["designation"] = "Z-9"
        elif action == "drop" and len(places) > 1:
            rows.pop(at)
        elif action == "add":
            rows.insert(at, rows[at] | {"mark": None, "serial": None})
        elif action == "rating":
            rows[at]["dynamic_rating_n"] = 123_456
    return {**data, "items": rows}


def turned(row: Row) -> Row:
    """Turn an item over."""
    faces = {"up": "down", "down": "up"}
    return row | {"wide_face": faces[row["wide_face"]]} if row.get("wide_face") else row


def marked(rng: Random, data: Row) -> Row:
    """Give some bearings a mark or a serial of their own."""
    rows = [dict(item) for item in data["items"]]
    for n, row in enumerate(rows):
        if row["kind"] == "bearing" and rng.random() < 0.8:
            row[rng.choice(["mark", "serial"])] = f"{n}"
    return {**data, "items": rows}
