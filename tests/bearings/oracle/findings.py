"""The findings of a stack: code, severity and ref, each rule written out by itself."""

from __future__ import annotations

import math
from itertools import pairwise

from tests.bearings.oracle.lives import BALLS
from tests.bearings.oracle.loads import Case, Loads
from tests.bearings.oracle.parts import Row, Stack, on_springs, pitch_mm
from tests.bearings.oracle.speeds import speed_bearings

ROUNDING = 1e-12
Finding = tuple[str, str, str | None]
POLICY = {
    "minimum_speed_margin": 0.10,
    "stop_l10h": 8800.0,
    "warn_l10h": 40000.0,
    "minimum_static_safety_ball": 1.0,
    "minimum_static_safety_spherical_roller_thrust": 4.0,
    "tandem_stand_out_um": 3.0,
    "spacer_pair_um": 5.0,
    "unloaded_warn_ndm": 400_000.0,
}


OPEN_WITH_THE_LOADS = (
    "radial-load-on-thrust-roller",
    "static-safety",
    "viscosity",
    "life",
    "minimum-load",
    "unloaded-in-running",
    "reference-speed",
    "speed-margin",
    "speed-not-rated",
)


class Findings:
    """All findings of one stack, given the other parts of its answer."""

    def __init__(self, stack: Stack, cases: list[Case], parts: Row) -> None:
        self.stack, self.cases, self.parts = stack, cases, parts
        self.policy = POLICY | {k: v for k, v in stack.policy.items() if v is not None and k != "set_factors"}
        self.running = next((c for c in cases if c.name == "running"), None)
        self.radial_n = stack.motor.get("radial_load_n")
        self.rated = stack.motor["rated_speed_rpm"]
        self.found: set[Finding] = set()
        for code in OPEN_WITH_THE_LOADS if any(_open(c.loads | c.guides) for c in cases) else ():
            self.add(code, "?", "*")
        for rule in (
            self.directions,
            self.rollers,
            self.speeds,
            self.lives,
            self.loads_too_small,
            self.arrangement,
            self.stand_out_and_preload,
            self.spacers,
            self.way_into_the_mount,
        ):
            rule()

    def add(self, code: str, severity: str, ref: str | None = None) -> None:
        """Record one finding."""
        self.found.add((code, severity, ref))

    def directions(self) -> None:
        """Say what thrust nothing carries."""
        stack = self.stack
        nothing_down = stack.vertical and not stack.anything_carries(1)
        if nothing_down or any(c.net_n > 0 and not c.carried for c in self.cases):
            self.add("down-thrust-not-carried", "stop")
        up, weight = stack.motor.get("up_thrust_n"), stack.axial_weight_n
        if up and not stack.anything_carries(-1):
            if weight is None:  # over the range of weights it may be sure or not
                self.add("up-thrust-not-carried", "?")
            elif up > weight:
                self.add("up-thrust-not-carried", "stop")

    def rollers(self) -> None:
        """Judge what spherical roller thrust bearings need."""
        stack = self.stack
        for roller in stack.rollers:
            end_plays = [g.get("end_play_um") for g in stack.guides_for(-roller["sign"])]
            held = 0 in end_plays
            away = any(c.net_n * roller["sign"] < 0 for c in self.cases)
            if away and (roller["sign"] < 0 or (None in end_plays and not held)):
                self.add("washers-part", "?", roller["ref"])
            elif away and not on_springs(roller) and not held:
                self.add("washers-part", "stop", roller["ref"])
            for case in self.cases:
                load, radial = case.loads[roller["ref"]], case.radial_n(roller["ref"], self.radial_n)
                if (
                    case.name in ("running", "maximum")
                    and load is not None
                    and radial is not None
                    and radial > 0.55 * load
                ):
                    self.add("radial-load-on-thrust-roller", "stop", roller["ref"])
        radial = [b for b in stack.bearings + stack.guides if b["type"] != "spherical_roller_thrust"]
        if stack.rollers and not radial:
            self.add("no-radial-guide", "warn", stack.rollers[0]["ref"])

    def speeds(self) -> None:
        """Judge the margins, the reference speeds and the bearings without a speed."""
        stack, speed = self.stack, self.parts["speed"]
        firm = [
            r for r in speed["bearings"] if r["permissible_rpm"] is not None and r["basis"] != "reference"
        ]
        firmest = min(firm, key=lambda r: r["permissible_rpm"]) if firm else None
        for margin in speed["margins"]:
            if margin["speed"] == "reverse":
                if margin["margin"] < -ROUNDING:
                    self.add("speed-margin", "stop", self._lowest_limiting())
            elif firmest and firmest["permissible_rpm"] / margin["speed_rpm"] - 1 < -ROUNDING:
                self.add("speed-margin", "stop", firmest["ref"])
            elif margin["margin"] < self.policy["minimum_speed_margin"] - ROUNDING:
                self.add("speed-margin", "warn", speed["governing"])
        if stack.motor.get("non_reverse"):
            self.add("speed-margin", "note")
        needed = stack.motor.get("synchronous_speed_rpm") or self.rated
        room = self.parts["thermal"]["permissible_rpm"]
        by_ref = {b["ref"]: b for b in stack.bearings + stack.guides}
        for row in speed["bearings"]:
            if row["rating_rpm"] is None:
                self.add("speed-not-rated", "warn", row["ref"])
            reference = by_ref[row["ref"]].get("reference_speed_rpm")
            if reference is None or reference * row["set_factor"] >= needed * (1 - ROUNDING):
                continue
            if room is None:
                self.add("reference-speed", "warn", row["ref"])
            elif math.isnan(room):
                self.add("reference-speed", "?", row["ref"])
            elif room < needed:
                self.add("reference-speed", "stop", row["ref"])

    def _lowest_limiting(self) -> str:
        bearings = speed_bearings(self.stack, self.cases)
        return str(min(bearings, key=lambda b: b["limiting_speed_rpm"])["ref"])

    def lives(self) -> None:
        """Judge life, oil film and static safety."""
        life = self.parts["life"]["stack_l10h"]
        wanted = self.stack.motor.get("required_l10h") or self.policy["warn_l10h"]
        if life is not None and math.isnan(life):
            self.add("life", "?")
        elif life is not None and life < self.policy["stop_l10h"]:
            self.add("life", "stop")
        elif life is not None and life < wanted:
            self.add("life", "warn")
        rows = self.parts["life"]["bearings"]
        for row in rows if isinstance(rows, list) else []:
            if row["kappa"] is not None and row["kappa"] < 1:
                self.add("viscosity", "warn", row["ref"])
        kinds = {b["ref"]: b["type"] for b in self.stack.bearings + self.stack.guides}
        static = self.parts["static"]["bearings"]
        for row in static if isinstance(static, list) else []:
            least = self.policy[
                "minimum_static_safety_ball"
                if kinds[row["ref"]] in BALLS
                else "minimum_static_safety_spherical_roller_thrust"
            ]
            if row["safety"] is not None and math.isnan(row["safety"]):
                self.add("static-safety", "?", row["ref"])
            elif row["safety"] is not None and row["safety"] < least:
                self.add("static-safety", "stop", row["ref"])

    def loads_too_small(self) -> None:
        """Find bearings that may skid."""
        stack = self.stack
        thousands = (self.rated / 1000.0) ** 2
        for case in self.cases:
            for bearing in stack.bearings + stack.guides:
                load = (case.loads | case.guides)[bearing["ref"]]
                factor = bearing.get("minimum_load_factor_n")
                if load is None or factor is None:
                    continue
                roller = bearing["type"] == "spherical_roller_thrust"
                least = factor * thousands
                if roller:  # an unknown radial load can only ask for more
                    least += 1.8 * (case.radial_n(bearing["ref"], self.radial_n) or 0.0)
                if math.isnan(load):
                    self.add("minimum-load", "?", bearing["ref"])
                elif load < least and (roller or load >= 1.0):
                    self.add("minimum-load", "warn", bearing["ref"])
        if self.running is None:
            return
        for bearing in stack.angular:
            load = self.running.loads[bearing["ref"]]
            against = stack.facing(-bearing["sign"])
            if not against or load is None or load >= 1.0 or on_springs(bearing):
                continue
            dm = pitch_mm(bearing)
            fast = dm is not None and self.rated * dm > self.policy["unloaded_warn_ndm"]
            self.add(
                "unloaded-in-running", "?" if math.isnan(load) else "warn" if fast else "note", bearing["ref"]
            )

    def arrangement(self) -> None:
        """Judge the order of the faces and whether a tandem is one set."""
        stack = self.stack
        changes = sum(a["sign"] != b["sign"] for a, b in pairwise(stack.one_way))
        if changes > 1:
            self.add("not-a-matched-arrangement", "warn")
        for sign in (1, -1):
            tandem = stack.facing(sign)
            another = _first_unlike(tandem, "designation", "contact_angle_deg", "maker", "variant")
            if another:
                self.add("mixed-set", "stop", another)
            elif _first_unlike(tandem, "set_id"):
                self.add("mixed-set", "warn", _first_unlike(tandem, "set_id"))
            if _first_unlike(tandem, "bore_mm", "outside_diameter_mm"):
                self.add("envelope", "stop", _first_unlike(tandem, "bore_mm", "outside_diameter_mm"))

    def stand_out_and_preload(self) -> None:
        """Judge the stand-out of tandem neighbours and the proof of a preload."""
        stack = self.stack
        for above, below in pairwise(stack.one_way):
            known = above.get("stand_out_um") is not None and below.get("stand_out_um") is not None
            if above["sign"] == below["sign"] and not known:
                # What nobody measured is small in rings ground to be paired: far from it the step is sure.
                self.add("stand-out-mismatch", "?", below["ref"])
            if above["sign"] == below["sign"] and known:
                step = abs(above["stand_out_um"] - below["stand_out_um"])
                if step > self.policy["tandem_stand_out_um"]:
                    self.add("stand-out-mismatch", "warn", below["ref"])
        opposed = len(stack.angular) > 1 and stack.facing(1) and stack.facing(-1)
        preload = opposed and any(b.get("pair_preload_n") for b in stack.bearings)
        if preload and not any(i["kind"] == "lock_nut" for i in stack.items):
            self.add("preload-not-proven", "note")

    def spacers(self) -> None:
        """Compare the spacers and shims on both rings of every gap between two bearings."""
        places = [i for i, item in enumerate(self.stack.items) if item["kind"] == "bearing"]
        for top, bottom in pairwise(places):
            between = [i for i in self.stack.items[top + 1 : bottom] if i["kind"] in ("spacer", "shim")]
            inner = [i for i in between if i.get("ring") == "inner"]
            outer = [i for i in between if i.get("ring") == "outer"]
            for part in between:
                uneven = part.get("ring") == "both" and self._uneven([part], [part])
                alone = part in inner + outer and not (inner and outer)
                if uneven or alone:
                    self.add("spacer-pair", "warn", part["ref"])
            if inner and outer and self._uneven(inner, outer):
                self.add("spacer-pair", "warn", next(i for i in between if i in inner + outer)["ref"])

    def _uneven(self, inner: list[Row], outer: list[Row]) -> bool:
        heights = _height(inner, "inner_height_mm"), _height(outer, "outer_height_mm")
        if heights[0] is None or heights[1] is None:
            return False
        return round(abs(heights[0] - heights[1]) * 1000.0, 6) > self.policy["spacer_pair_um"]

    def way_into_the_mount(self) -> None:
        """Look at what holds the topmost bearing that carries down."""
        topmost = next(
            (i for i, b in enumerate(self.stack.items) if b["sign"] > 0 or b in self.stack.deep), None
        )
        if topmost is None:
            return
        holding = [
            i for i in self.stack.items[:topmost] if i["kind"] in ("snap_ring", "shoulder", "lock_nut")
        ]
        if not holding:
            self.add("thrust-through-snap-ring", "note", self.stack.items[topmost]["ref"])
        elif all(i["kind"] == "snap_ring" for i in holding):
            self.add("thrust-through-snap-ring", "warn", holding[0]["ref"])


def _open(loads: Loads) -> bool:
    return any(f is not None and math.isnan(f) for f in loads.values())


def _first_unlike(bearings: list[Row], *fields: str) -> str | None:
    """Give the ref of the topmost bearing that differs in a known field from one above it."""
    for i, bearing in enumerate(bearings):
        for above in bearings[:i]:
            if any(None not in (above.get(f), bearing.get(f)) and above[f] != bearing[f] for f in fields):
                return str(bearing["ref"])
    return None


def _height(parts: list[Row], own: str) -> float | None:
    heights = [p[own] if p.get(own) is not None else p.get("height_mm") for p in parts]
    return None if any(h is None for h in heights) else sum(heights)
