"""How the product speaks: phrases that a motor shop would not say stand in no string that people read."""

from __future__ import annotations

import re

import pytest

from tests.house.shown_strings import Shown, shown_strings

# A whole phrase and what is said instead.
PHRASES = {
    r"turned over": "upside down",
    r"(?:dry )?lay-out": "layout",
    r"strip[- ]down": "teardown",
    r"run-out": "runout",
    r"end-play": "end play",
    r"hand[- ]over": "handoff",
    r"take(?:s|n)? back": "undo, revoke",
    r"anew": "again, new",
    r"walked": "done",
    r"let pass": "override",
    r"paperwork": "job details",
    r"written down": "entered",
    r"speed at rated load": "full-load RPM",
    r"current at rated load": "full-load amps (FLA)",
    r"back-up bearing": "backup bearing",
    r"stand-out": "face offset (stickout)",
    r"permissible speed": "allowable speed",
    r"this shop asks": "shop minimum",
    r"nobody knows": "not checked: data missing",
    r"not thereby": "not verified",
    r"prove dead": "lock out, tag out, test that it is de-energized",
    r"spanner": "wrench",
    r"shut out": "disabled",
    r"nobody yet": "unassigned",
    r"r/min": "rpm",
    r"(?:face|it|they|bearings?) looks? (?:up|down)": "faces up, faces down",
    r"lives \S+ h\b": "calculated life",
    r"clock(?:ed)? (?:on|off)": "clock in, clock out",
    r"per cent": "percent",
    r"colour": "color",
    r"labour": "labor",
    r"grey": "gray",
    r"metres?": "meters",
    r"vapour": "vapor",
    r"recognis\w+": "recognized",
    r"somebody": "who, or no subject at all",
    r"meanwhile": "say what changed",
}  # fmt: skip
# Uses that are meant otherwise: the exact string, and what it says.
ALLOWED = {
    "The clock on this tablet is off by {minutes} min. Set it: entries use its time.": "the clock of a tablet",
}


@pytest.fixture(scope="module")
def strings() -> list[Shown]:
    return list(shown_strings())


@pytest.mark.parametrize("phrase", PHRASES)
def test_a_phrase_that_no_shop_says_is_shown_nowhere(strings, phrase):
    pattern = re.compile(rf"(?<![\w-]){phrase}(?![\w-])", re.IGNORECASE)
    found = [
        f"{one.path}:{one.line} {one.text}"
        for one in strings
        if pattern.search(one.text) and one.text not in ALLOWED
    ]
    assert not found, f"say “{PHRASES[phrase]}”:\n" + "\n".join(found)


def test_strings_are_found_in_code_and_templates(strings):
    assert len(strings) > 2_000
    assert {one.path.partition("/")[0] for one in strings} == {"repairs", "bearings", "templates"}
