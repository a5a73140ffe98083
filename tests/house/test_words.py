"""How the product speaks: phrases that a motor shop would not say stand in no string that people read."""

from __future__ import annotations

import re

import pytest

from tests.house.shown_strings import Shown, buttons, labels, shown_strings

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
    r"(?:is|are|was|were|be) told": "is down, faces down",
    r"(?:face|faces|it|bearing|bearings) (?:stands?|lies|lie)": "is down, faces down",
    r"laid(?! out)": "laid out",
    r"(?:not )?fitted": "installed, not installed",
    r"seat (?:size|fit|diameter)s?": "shaft fit, housing fit",
    r"mend(?:s|ed|ing)?": "fix",
    r"what happened": "history",
    r"(?:value|figure|number|limit|it) holds": "is current, is saved",
    r"frame with its suffix": "frame",
    r"(?:up|down)[ -]thrust": "upthrust, downthrust",
    r"as long as the motor runs": "continuous",
    r"(?:for )?a moment, at start\w*": "momentary (starting)",
    r"one more opposed": "tandem pair with one opposed (backup) bearing",
    r"heat removed": "cooler capacity",
    r"not given": "not entered, not in the book",
    r"sheet size": "paper size",
    r"where your motor": "job status",
    r"we wait for": "waiting for you",
    r"(?:the )?work rests": "on hold",
    r"no one site": "no site",
    r"earth(?:ed|ing)?": "ground",
    r"mains": "line power",
    r"(?:your )?time runs": "clocked in",
    r"and not there": "subject first, verb second",
    r"what becomes of": "say what to do",
    r"looked for": "subject first, verb second",
    r"digest": "check code",
    r"outbox": "saved on this tablet",
    r"version conflict": "say who changed what",
    r"database (?:key|row)": "say what it is to the shop",
    r"soul": "no metaphor",
    r"neighbour\w*|favour\w*|centre|programme|litres?|catalogue": "US spelling",
    r"(?:organ|stabil|analy)is(?:e|ed|ing|es)": "US spelling",
    r"\d %": "6%, without a space",
    r"proceed anyway": "override",
    r"supervisor|team lead(?:er)?|lead technician": "lead, lead tech; customers read “shop foreman”",
}  # fmt: skip
# Phrases that are right in one place and wrong in another: pattern, what is said instead, where it may stand.
TO_CUSTOMERS = ("templates/documents/", "templates/portal/", "bearings/wording/customer_sentences.py")
AT_THEIR_PLACE = {
    # The source of a limit has a form for the report.
    r"purchase order": ("PO", (*TO_CUSTOMERS, "repairs/measurements/seat_words.py")),
    r"printed speeds?": ("limiting speed, reference speed", (*TO_CUSTOMERS, "bearings/models.py")),
    r"shop foreman": ("lead", (*TO_CUSTOMERS, "repairs/documents/", "repairs/portal/")),
    r"database": ("say what it is to the shop", ("templates/503.html", "templates/office/backups.html", "repairs/")),
}  # fmt: skip
# The shop's own roles, in what customers read: the lead is their shop foreman.
OF_CUSTOMERS = ("templates/portal/", "templates/documents/report", "templates/documents/_report", "repairs/portal/",
                "repairs/documents/content/notices.py", "bearings/wording/customer_sentences.py")  # fmt: skip
# The first mention of a ratchet in a sentence says which; these stand where it was named right before.
RATCHET_NAMED = {
    "Ratchet": "answers “Does the motor have a non-reverse ratchet?”",
    "No ratchet": "answers “Does the motor have a non-reverse ratchet?”",
}
# Uses that are meant otherwise: the exact string, and what it says.
ALLOWED = {
    "carries UP thrust": "capitals on a drawing: which way, not how much",
    "carries DOWN thrust": "capitals on a drawing: which way, not how much",
    "The clock on this tablet is off by {minutes} min. Set it: entries use its time.": "the clock of a tablet",
}


@pytest.fixture(scope="module")
def strings() -> list[Shown]:
    return list(shown_strings())


@pytest.mark.parametrize("phrase", PHRASES)
def test_a_phrase_that_no_shop_says_is_shown_nowhere(strings, phrase):
    pattern = re.compile(rf"(?<![\w-])(?:{phrase})(?![\w-])", re.IGNORECASE)
    found = [
        f"{one.path}:{one.line} {one.text}"
        for one in strings
        if pattern.search(one.text) and one.text not in ALLOWED
    ]
    assert not found, f"say “{PHRASES[phrase]}”:\n" + "\n".join(found)


def test_strings_are_found_in_code_and_templates(strings):
    assert len(strings) > 2_000
    assert {one.path.partition("/")[0] for one in strings} == {"repairs", "bearings", "templates"}


@pytest.mark.parametrize("phrase", AT_THEIR_PLACE)
def test_a_phrase_stands_only_where_it_is_meant(strings, phrase):
    said, places = AT_THEIR_PLACE[phrase]
    pattern = re.compile(rf"(?<![\w-])(?:{phrase})(?![\w-])", re.IGNORECASE)
    found = [one for one in strings if pattern.search(one.text) and not one.path.startswith(places)]
    assert not found, f"say “{said}”:\n" + "\n".join(f"{one.path}:{one.line} {one.text}" for one in found)


def test_a_ratchet_is_a_non_reverse_ratchet_at_its_first_mention(strings):
    told = []
    for one in strings:
        first = re.search(r"(non-reverse )?\bratchets?\b", one.text, re.IGNORECASE)
        if first and not first[1] and one.text not in RATCHET_NAMED:
            told.append(f"{one.path}:{one.line} {one.text}")
    assert not told, "say “non-reverse ratchet”:\n" + "\n".join(told)
    assert set(RATCHET_NAMED) <= {one.text for one in strings}


def test_customers_read_of_a_shop_foreman_and_never_of_a_lead(strings):
    told = [
        f"{one.path}:{one.line} {one.text}"
        for one in strings
        if one.path.startswith(OF_CUSTOMERS) and re.search(r"\bleads?\b(?! time)", one.text, re.IGNORECASE)
    ]
    assert not told, "say “shop foreman”:\n" + "\n".join(told)


# Buttons of one word: the object stands beside them in their row, or there is none.
ALONE = frozenset({
    "Add", "Approve", "Back", "Bench", "Board", "Calculate", "Camera", "Cancel", "Clear", "Compare", "Continue",
    "Correct", "Down", "Edit", "Find", "Measure", "Next", "Open", "Photos", "Previous", "Print", "Remove", "Save",
    "Scan", "Show", "Undo", "Up", "Use", "alike", "down", "up",
})  # fmt: skip
# A switch says its state.
SWITCHES = frozenset({"Top of mount is marked", "Top of mount is not marked"})
NEVER_BEGINS = ("Look", "Keep ", "Take back", "Go on", "Leave")
MOST_IN_A_BUTTON = 4
MOST_IN_A_LABEL = 5
MOST_IN_A_TICK = 10
MOST_SENTENCES, MOST_WORDS = 3, 35
PLACE = re.compile(r"%\(\w+\)[sd]|{{.*?}}|{\w*}")


def word_count(text: str) -> int:
    """Count the words of a text, without places and without what stands in brackets."""
    return len(re.findall(r"[^\s]*\w[^\s]*", re.sub(r"\([^)]*\)", "", PLACE.sub("", text))))


def test_a_button_is_a_verb_and_its_object():
    found = list(buttons())
    assert len(found) > 200
    told = [f"{one.path}:{one.line} “{one.text}” is long" for one in found if word_count(one.text) > MOST_IN_A_BUTTON
            and one.text not in SWITCHES]  # fmt: skip
    told += [f"{one.path}:{one.line} “{one.text}” has no object" for one in found
             if re.fullmatch(r"\w+", one.text) and one.text not in ALONE]  # fmt: skip
    told += [f"{one.path}:{one.line} “{one.text}”" for one in found if one.text.startswith(NEVER_BEGINS)]
    assert not told, "\n".join(told)


def test_a_label_is_a_short_noun():
    found = list(labels())
    assert len(found) > 200
    told = [
        f"{one.path}:{one.line} {one.text}"
        for one in found
        if word_count(one.text) > (MOST_IN_A_TICK if one.text.startswith("I ") else MOST_IN_A_LABEL)
    ]
    assert not told, "\n".join(told)


def test_a_finding_is_short(strings):
    findings = [one for one in strings if one.path.startswith("bearings/wording/findings/")]
    assert len(findings) > 80
    told = []
    for one in findings:
        plain = PLACE.sub("X", one.text)
        sentences, words = len(re.findall(r"[.?!](?:\s|$)", plain)), len(re.findall(r"\S*\w\S*", plain))
        if sentences > MOST_SENTENCES or words > MOST_WORDS:
            told.append(f"{one.path}:{one.line} {sentences} sentences, {words} words: {one.text}")
    assert not told, "\n".join(told)
