"""Every finding has a sentence for customers: the fact, no advice to the shop, no limit of the shop."""

from __future__ import annotations

import re

import pytest

from bearings.engineering.results import Finding, NotChecked
from bearings.wording import customer_not_checked, customer_sentence
from bearings.wording.customer_sentences import _FIGURED, _PLAIN
from bearings.wording.findings import SENTENCES

PARAMS = {
    "refs": ("1", "2"), "speed": "rated", "speed_rpm": 1780.0, "permissible_rpm": 1890.0, "load_n": 9000.0,
    "unloading_thrust_n": 8487.0, "kind": "lost",
}  # fmt: skip
FOR_THE_SHOP = re.compile(
    r"\b(shop asks|shop minimum|choose|take|fit|enter|record|turn|add|use|grind|agree|find|pair|check the|measure)\b",
    re.IGNORECASE,
)


def test_every_code_has_a_sentence_of_its_own_and_none_is_left_over():
    assert set(_FIGURED) | set(_PLAIN) == set(SENTENCES)


@pytest.mark.parametrize("code", sorted(SENTENCES))
def test_a_sentence_says_the_fact_and_tells_the_customer_nothing_to_do(code):
    finding = Finding(
        code=code, severity="warn", ref="1", value=0.06, limit=0.1, unit="", source="", params=PARAMS
    )
    text = customer_sentence(finding, "us")
    assert text.endswith(".")
    assert "None" not in text
    assert "%(" not in text
    assert FOR_THE_SHOP.search(text) is None, text


def test_a_margin_names_both_speeds():
    finding = Finding(
        code="speed-margin",
        severity="warn",
        ref="1",
        value=0.062,
        limit=0.1,
        unit="",
        source="",
        params=PARAMS,
    )
    text = customer_sentence(finding, "us").replace("\xa0", " ")
    assert "1 890" in text.replace(",", " ")
    assert "1 780" in text.replace(",", " ")
    assert "10" not in text.replace("1 890", "").replace("1 780", "")


def test_checks_that_could_not_be_made_are_named_once():
    reasons = [
        NotChecked(check="life", reason="missing", params={}),
        NotChecked(check="life", reason="x", params={}),
    ]
    assert customer_not_checked(reasons) == ["Life"]
    assert customer_not_checked([]) == []
