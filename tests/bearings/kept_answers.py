"""Stacks with the checker's whole answers, kept so that no figure of a signed stack changes unseen.

They show that something changed, never that it is right: that is for the checks against standards, tables and other
solvers. After a change that is meant: .venv/bin/python -m tests.bearings.kept_answers prints what differs and keeps it.
"""

from __future__ import annotations

import gzip
import json
import os
import sys
from pathlib import Path
from random import Random
from typing import Any, Final

import django

from bearings.answer import assessment_answer
from bearings.engineering.assessment import check_stack
from bearings.stack_file import StackFileError, parse_stack
from bearings.stack_file.fields import BEARING, LUBRICATION, MOTOR
from bearings.stack_file.writer import stack_values
from tests.bearings.law.consistent_stacks import consistent_stack

KEPT: Final = Path(__file__).with_name("kept_answers.jsonl.gz")
MOST: Final = 110
CANDIDATES: Final = 1_000
DIGITS: Final = 8
# Sentences have tests of their own.
WORDS: Final = frozenset({"message", "words", "asks", "version"})
# What random consistent stacks leave out: figures that a careful shop or maker states (all invented).
SELDOM: Final[dict[str, tuple[Any, ...]]] = {
    "cage": ("machined brass", "polyamide"),
    "f0": (1.5, 6.6),
    "f1": (0.0004, 0.0013),
    "f0r": (1.4, 5.0),
    "f1r": (0.0004, 0.001),
    "inner_groove_ratio": (0.515, 0.52),
    "outer_groove_ratio": (0.525, 0.53),
    "pitch_diameter_mm": (158.0, 162.0),
    "reference_surface_mm2": (60_000.0,),
    "temperature_limit_c": (95.0, 120.0),
    "stand_out_tolerance_um": (2.0, 5.0),
    "fit_interference_um": (5.0, 18.0, 30.0),
    "rating_basis": ("printed", "geometry"),
}


def answer_to(values: dict[str, Any]) -> dict[str, Any]:
    """Return the answer to a stack file without its words, as JSON gives it back."""
    found = check_stack(parse_stack(values))
    lines = [
        [line.topic, line.ref, line.symbol, line.formula, line.value, line.source] for line in found.working
    ]
    told = [[one.code, one.ref, dict(one.params)] for one in found.findings]
    whole = {**assessment_answer(found), "working": lines, "told": told}
    answer: dict[str, Any] = json.loads(json.dumps(whole, default=str))
    bare: dict[str, Any] = _bare(answer)
    return bare


def _bare(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _bare(one) for key, one in value.items() if key not in WORDS and one is not None}
    if isinstance(value, list):
        return [_bare(one) for one in value]
    return float(f"{value:.{DIGITS}g}") if isinstance(value, float) else value


def kept() -> list[dict[str, Any]]:
    """Return the stacks with their answers."""
    return [json.loads(line) for line in gzip.decompress(KEPT.read_bytes()).splitlines()]


def apart(kept_one: Any, now: Any, place: str = "") -> list[str]:
    """Name where an answer is no longer the kept one; floats may differ in their last kept digits."""
    if isinstance(kept_one, dict) and isinstance(now, dict):
        keys = sorted(kept_one.keys() | now.keys())
        return [line for key in keys for line in apart(kept_one.get(key), now.get(key), f"{place}.{key}")]
    if isinstance(kept_one, list) and isinstance(now, list) and len(kept_one) == len(now):
        pairs = enumerate(zip(kept_one, now, strict=True))
        return [line for at, (one, other) in pairs for line in apart(one, other, f"{place}[{at}]")]
    if isinstance(kept_one, float) or isinstance(now, float):
        numbers = isinstance(kept_one, int | float) and isinstance(now, int | float)
        if numbers and abs(kept_one - now) <= 1e-6 * max(abs(kept_one), abs(now)) + 1e-9:
            return []
    return [] if kept_one == now else [f"{place}: {kept_one} is now {now}"]


def _candidate(random: Random) -> dict[str, Any]:
    """Return a stack file: consistent, then with something seldom said, something unknown, something turned."""
    values = stack_values(consistent_stack(random))
    bearings = [one for one in values["items"] if "type" in one]
    guides = values.get("guides", [])
    if random.random() < 0.6:
        for name in random.sample(sorted(SELDOM), k=random.randint(1, 5)):
            if name in BEARING:
                chosen = random.choice(SELDOM[name])
                for one in (*bearings, *guides):
                    one[name] = chosen
    if random.random() < 0.15:
        values["motor"]["mounting"] = "horizontal"
    if random.random() < 0.3:
        thrust = values["motor"]["down_thrust_n"]
        rated = values["motor"]["rated_speed_rpm"]
        points = ((0.25, 0.6, 0.4), (0.75, 1.0, 1.0))
        values["motor"]["duty"] = [
            {"share": share, "speed_rpm": speed * rated, "down_thrust_n": load * thrust}
            for share, speed, load in points
        ]
    _forget(random, values, [*bearings, *guides])
    if random.random() < 0.25:
        turned = random.choice(bearings)
        turned["wide_face"] = {"down": "up", "up": "down"}.get(turned.get("wide_face", ""), "down")
    return values


def _forget(random: Random, values: dict[str, Any], bearings: list[dict[str, Any]]) -> None:
    """Leave some values out, in a third of the stacks none."""
    rooms = [
        *((values["motor"], name) for name in values["motor"] if not MOTOR[name].required),
        *((values["lubrication"], name) for name in values["lubrication"] if name in LUBRICATION),
    ]
    for room, name in random.sample(rooms, k=min(len(rooms), random.choice((0, 0, 1, 2, 5)))):
        del room[name]
    names = sorted({name for one in bearings for name in one if name in BEARING} - {"type", "carries"})
    for name in random.sample(names, k=random.choice((0, 0, 1, 2, 3))):
        for one in bearings if random.random() < 0.5 else [random.choice(bearings)]:
            one.pop(name, None)


def _said(answer: Any) -> set[str]:
    """Return what an answer says, by kind: the fewer stacks say the same, the more they show."""
    found = {f"finding {one['code']} {one['severity']}" for one in answer["findings"]}
    found |= {f"not checked {one.get('code')}" for one in answer["not_checked"]}
    found |= {f"{one['subject']} {one['verdict']} {one['applies']}" for one in answer["subjects"]}
    found |= {f"settles {one['field']} {one.get('from')} {one.get('to')}" for one in answer["settles"]}
    found |= {f"working {one[0]} {one[2]} {one[3]}" for one in answer["working"]}
    return found


def main() -> None:
    """Choose stacks anew where there are none, and write the answers of today."""
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "tests.settings")
    django.setup()
    before = kept() if KEPT.exists() else []
    stacks = [row["stack"] for row in before] or _chosen()
    rows = [{"stack": one, "answer": answer_to(one)} for one in stacks]
    text = "\n".join(json.dumps(one, sort_keys=True, separators=(",", ":")) for one in rows)
    # Kept before it is printed: a reader who sees enough closes the pipe.
    KEPT.write_bytes(gzip.compress(text.encode(), mtime=0))
    for at, (old, new) in enumerate(zip(before, rows, strict=False)):
        for line in apart(old["answer"], new["answer"]):
            sys.stdout.write(f"{at} {line}\n")


def _chosen() -> list[dict[str, Any]]:
    """Return stacks that say different things, then as many others as there is room for."""
    new: list[dict[str, Any]] = []
    rest: list[dict[str, Any]] = []
    said: set[str] = set()
    for seed in range(CANDIDATES):
        values = _candidate(Random(f"kept {seed}"))
        try:
            found = _said(answer_to(values))
        except StackFileError:
            continue  # values that the reader refuses together
        (new if found - said else rest).append(values)
        said |= found
    return (new + rest)[:MOST]


if __name__ == "__main__":
    main()
