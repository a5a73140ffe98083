"""Random stack files made from the field table itself."""

from typing import Any

from hypothesis import strategies as st

from bearings.stack_file import ROOMS, FieldSpec

DRIVE_SPEEDS = ("minimum_speed_rpm", "maximum_speed_rpm")
ONE_WAY = ("angular_contact_ball", "spherical_roller_thrust")


def value_of(spec: FieldSpec) -> st.SearchStrategy[Any]:
    """Values that a field accepts, its ends among them."""
    if spec.kind == "choice":
        return st.sampled_from(spec.choices)
    if spec.kind == "boolean":
        return st.booleans()
    if spec.kind == "text":
        return st.sampled_from(["A", "B", "7320", "29428"])
    if spec.kind == "list":
        return duties()
    low, high = spec.minimum or 0.0, spec.maximum or 0.0
    if spec.kind == "integer":
        return st.integers(int(low), int(high))
    usual = st.floats(low, high)
    return st.one_of(usual, st.sampled_from([low, high]), st.floats(low, min(high, max(low, 3_000.0))))


@st.composite
def duties(draw: Any) -> list[dict[str, float]]:
    """Parts of a duty whose shares add up to one."""
    weights = draw(st.lists(st.integers(0, 5), min_size=1, max_size=4).filter(any))
    return [
        {
            "share": weight / sum(weights),
            "speed_rpm": draw(value_of(ROOMS["duty_point"]["speed_rpm"])),
            "down_thrust_n": draw(value_of(ROOMS["duty_point"]["down_thrust_n"])),
        }
        for weight in weights
    ]


@st.composite
def room_of(draw: Any, room: Any, skip: tuple[str, ...] = ()) -> dict[str, Any]:
    """Some of a room's fields with accepted values."""
    values: dict[str, Any] = {}
    for name, spec in ROOMS[room].items():
        if name not in skip and (spec.required or draw(st.booleans())):
            values[name] = draw(value_of(spec))
    return values


@st.composite
def bearing_of(draw: Any, room: Any = "bearing") -> dict[str, Any]:
    """A bearing that the reader accepts."""
    values = draw(room_of(room, skip=("wide_face", "contact_angle_deg")))
    if values["type"] in ONE_WAY and draw(st.integers(0, 5)):
        values["wide_face"] = draw(st.sampled_from(["up", "down"]))
    if values["type"] == "angular_contact_ball" and draw(st.booleans()):
        values["contact_angle_deg"] = draw(st.floats(15.0, 45.0))
    if "bore_mm" in values and values.get("outside_diameter_mm", 1e9) <= values["bore_mm"]:
        values["bore_mm"], values["outside_diameter_mm"] = 50.0, 110.0
    return values


@st.composite
def stack_values_of(draw: Any) -> dict[str, Any]:
    """A whole stack file that the reader accepts."""
    items = []
    for _ in range(draw(st.integers(1, 5))):
        if draw(st.integers(0, 3)):
            items.append({"kind": "bearing"} | draw(bearing_of()))
        else:
            items.append(
                {"kind": draw(st.sampled_from(["spacer", "lock_nut", "snap_ring"]))} | draw(room_of("part"))
            )
    motor = draw(room_of("motor"))
    if motor.get("fixed_speed") is True:
        motor = {name: value for name, value in motor.items() if name not in DRIVE_SPEEDS}
    return {
        "stack_file": 2,
        "motor": motor,
        "lubrication": draw(room_of("lubrication")),
        "policy": draw(room_of("policy")) | {"set_factors": draw(room_of("set_factors"))},
        "items": items,
        "guides": [draw(bearing_of("guide")) for _ in range(draw(st.integers(0, 2)))],
    }
