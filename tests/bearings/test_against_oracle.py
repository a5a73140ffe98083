"""The checker against a second implementation that shares no line with it, on random stacks.

The ordinary run takes a few hundred stacks; the environment variable MOUNTSIDE_ORACLE_STACKS asks for more.
"""

from __future__ import annotations

import json
import os
from random import Random
from typing import Any

import pytest

from bearings.public import assessment_answer, check_stack, comparison_answer, parse_stack
from bearings.public import compare as compare_stacks
from tests.bearings.oracle import answer, compare
from tests.bearings.oracle.comparison import not_shown
from tests.bearings.oracle.difference import answers_apart
from tests.bearings.oracle.parts import Stack as Items
from tests.bearings.oracle.random_stacks import changed_stack, marked, random_stack, settled

STACKS = int(os.environ.get("MOUNTSIDE_ORACLE_STACKS", "300"))
IN_ONE_GO = 50
WHOLE = (None, None, "turned-over")


def parsed(data: dict[str, Any]) -> Any:
    """Read a stack as the command does."""
    return parse_stack(json.dumps(data).encode())


def answer_of_product(data: dict[str, Any]) -> dict[str, Any]:
    """Give the product's answer as another program gets it."""
    return json.loads(json.dumps(assessment_answer(check_stack(parsed(data)))))


@pytest.mark.parametrize("first", range(0, STACKS, IN_ONE_GO))
def test_every_answer_agrees_with_the_second_implementation(first: int) -> None:
    """Compare figures to a millionth, and codes, severities, refs and sets exactly."""
    apart = {}
    for seed in range(first, min(first + IN_ONE_GO, STACKS)):
        data = settled(random_stack(seed))
        if lines := answers_apart(answer(data), answer_of_product(data)):
            apart[seed] = lines
    assert not apart


def _mark_contradicts(found: dict[str, Any], built: dict[str, Any]) -> bool:
    """Whether one serial or mark stands on bearings of two designations: then who pairs with whom is open.

    The contract pairs by serial or mark first; the second implementation lets fewer differences overrule that.
    """
    for name in ("serial", "mark"):
        seen: dict[str, set[Any]] = {}
        for item in (*found["items"], *built["items"]):
            if item.get(name) is not None:
                seen.setdefault(item[name], set()).add(item.get("designation"))
        if any(len(designations) > 1 for designations in seen.values()):
            return True
    return False


def _open_ones_agree(
    found: dict[str, Any], built: dict[str, Any], listed: list[Any], open_ones: set[Any]
) -> bool:
    """Whether each pair told to be not shown is, and, where all stand in their places, whether none is left out."""
    upper, lower = ({i["ref"]: i for i in (*s.items, *s.guides)} for s in (Items(found), Items(built)))
    if not all(not_shown(upper[one], lower[other]) for one, other in open_ones):
        return False
    if any(code in ("moved", "missing", "added") for *_, code in listed) or WHOLE in listed:
        return True
    # Like items beside each other may pair crosswise: how many are open still agrees.
    pairs = zip(upper.values(), lower.values(), strict=True)
    return len(open_ones) == sum(not_shown(one, other) for one, other in pairs)


@pytest.mark.parametrize("first", range(0, STACKS, IN_ONE_GO))
def test_every_comparison_lists_as_few_differences_as_any_pairing_can(first: int) -> None:
    """Hold the differences of a stack and a changed stack against all pairings of their items."""
    too_many = {}
    for seed in range(first, min(first + IN_ONE_GO, STACKS)):
        found = random_stack(seed)
        if len(found["items"]) > 8:
            continue  # all pairings of more would take too long
        found = marked(Random(seed), found) if seed % 2 else found
        built = changed_stack(seed, found)
        if _mark_contradicts(found, built):
            continue
        told = comparison_answer(compare_stacks(parsed(found), parsed(built)))
        rows = [(d["ref_found"], d["ref_built"], d["code"]) for d in told["differences"]]
        listed = [row for row in rows if row[2] != "not-shown"]
        open_ones = {row[:2] for row in rows if row[2] == "not-shown"}
        if not _open_ones_agree(found, built, listed, open_ones):
            too_many[seed] = (rows, "not-shown")
            continue
        best = compare(found, built)
        whole = WHOLE in listed
        listings = best["whole_listings"] if whole else best["listings"]
        if frozenset(listed) - {WHOLE} not in listings or told["same"] != (best["same"] and not open_ones):
            too_many[seed] = (listed, best["fewest"])
    assert not too_many


def test_the_random_stacks_reach_every_finding_and_every_kind_of_difference() -> None:
    """Show that the comparison above is about something: no code is left out by the generator."""
    codes = {finding[0] for seed in range(800) for finding in answer(random_stack(seed))["findings"]}
    assert codes == {
        "down-thrust-not-carried",
        "envelope",
        "life",
        "minimum-load",
        "mixed-set",
        "no-radial-guide",
        "not-a-matched-arrangement",
        "preload-not-proven",
        "radial-load-on-thrust-roller",
        "reference-speed",
        "spacer-pair",
        "speed-margin",
        "speed-not-rated",
        "stand-out-mismatch",
        "static-safety",
        "thrust-through-snap-ring",
        "unloaded-in-running",
        "up-thrust-not-carried",
        "viscosity",
        "washers-part",
    }
    differences = {
        code
        for seed in range(60)
        for listing in [
            next(iter(compare(random_stack(seed), changed_stack(seed, random_stack(seed)))["listings"]))
        ]
        for *_, code in listing
    }
    assert differences == {"turned-over", "moved", "replaced", "missing", "added", "rating-changed"}


def test_the_example_of_the_stack_file_agrees_with_both(request: pytest.FixtureRequest) -> None:
    """Check the worked example: three bearings, two of them down, with the thrust that frees the third."""
    folder = request.config.rootpath / "tests" / "reference"
    data = json.loads((folder / "triple.json").read_text())
    second = answer(data)
    assert second["unloading_thrust_n"] == pytest.approx(4 * 2**0.5 * 1500, rel=1e-9)
    assert not answers_apart(answer(settled(data)), answer_of_product(settled(data)))
