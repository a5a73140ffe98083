"""The items of a stack file, named and sorted in the plainest way."""

from __future__ import annotations

from string import ascii_lowercase
from typing import Any

Row = dict[str, Any]
ONE_WAY = ("angular_contact_ball", "spherical_roller_thrust")


class Stack:
    """A stack file, every item with its ref and every one-way bearing with its sign (+1 carries down)."""

    def __init__(self, data: Row) -> None:
        self.motor: Row = data.get("motor") or {}
        self.oil: Row = data.get("lubrication") or {}
        self.policy: Row = data.get("policy") or {}
        self.vertical = (self.motor.get("mounting") or "vertical") == "vertical"
        self.items: list[Row] = []
        bearing_number, part_number = 0, 0
        for item in data["items"]:
            if item["kind"] == "bearing":
                bearing_number += 1
                ref = str(bearing_number)
            else:
                ref = ascii_lowercase[part_number]
                part_number += 1
            self.items.append({**item, "ref": ref, "sign": sign_of(item)})
        self.guides: list[Row] = [
            {**guide, "ref": f"g{n}", "sign": sign_of(guide)}
            for n, guide in enumerate(data.get("guides") or [], start=1)
        ]
        self.bearings = [item for item in self.items if item["kind"] == "bearing"]
        self.one_way = [b for b in self.bearings if b["type"] in ONE_WAY]
        self.angular = [b for b in self.bearings if b["type"] == "angular_contact_ball"]
        self.rollers = [b for b in self.bearings if b["type"] == "spherical_roller_thrust"]
        self.deep = [b for b in self.bearings if b["type"] == "deep_groove_ball"]

    def facing(self, sign: int) -> list[Row]:
        """Give the one-way bearings that carry down (+1) or up (-1)."""
        return [b for b in self.one_way if b["sign"] == sign]

    def guides_for(self, sign: int) -> list[Row]:
        """Give the guides that carry down (+1) or up (-1)."""
        words = ("down", "both") if sign > 0 else ("up", "both")
        return [g for g in self.guides if g.get("carries") in words]

    def anything_carries(self, sign: int) -> bool:
        """Say whether the stack or a guide carries that direction."""
        return bool(self.facing(sign) or self.deep or self.guides_for(sign))

    @property
    def axial_weight_n(self) -> float | None:
        """Give the rotor weight along the shaft: none of it when the shaft lies."""
        return self.motor.get("rotor_weight_n") if self.vertical else 0.0


def sign_of(bearing: Row) -> int:
    """Give +1 for a wide face down, -1 for up, 0 where there is none."""
    return {"down": 1, "up": -1}.get(bearing.get("wide_face") or "", 0)


def pitch_mm(bearing: Row) -> float | None:
    """Give the pitch diameter, else the mean of bore and outside diameter."""
    if bearing.get("pitch_diameter_mm") is not None:
        return float(bearing["pitch_diameter_mm"])
    if bearing.get("bore_mm") is None or bearing.get("outside_diameter_mm") is None:
        return None
    return (float(bearing["bore_mm"]) + float(bearing["outside_diameter_mm"])) / 2


def on_springs(bearing: Row) -> bool:
    """Say whether this bearing's ring rests on springs."""
    return any(
        bearing.get(k) is not None for k in ("spring_force_n", "spring_rate_n_per_mm", "spring_travel_mm")
    )
