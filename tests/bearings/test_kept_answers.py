"""No figure and no verdict changes unseen: what a shop signed is judged the same tomorrow."""

from __future__ import annotations

from typing import Any

import pytest

from bearings.stack_file import parse_stack
from bearings.stack_file.writer import stack_values
from tests.bearings.kept_answers import answer_to, apart, kept

ROWS = kept()


@pytest.mark.parametrize("at", range(len(ROWS)))
def test_an_answer_is_the_one_that_was_kept(at: int) -> None:
    row = ROWS[at]
    differences = apart(row["answer"], answer_to(row["stack"]))
    assert not differences, "\n".join(
        ["If this is meant: python -m tests.bearings.kept_answers", *differences[:20]]
    )


@pytest.mark.parametrize("at", range(0, len(ROWS), 8))
def test_a_stack_that_was_read_and_written_has_the_same_answer(at: int) -> None:
    written: dict[str, Any] = stack_values(parse_stack(ROWS[at]["stack"]))
    assert not apart(ROWS[at]["answer"], answer_to(written))


def test_a_difference_is_named_by_its_place() -> None:
    one = {"cases": [{"load_n": 1_000.0, "rows": [1, 2]}]}
    assert apart(one, {"cases": [{"load_n": 1_000.0001, "rows": [1, 2]}]}) == []
    assert apart(one, {"cases": [{"load_n": 1_001.0, "rows": [1, 3]}]}) == [
        ".cases[0].load_n: 1000.0 is now 1001.0",
        ".cases[0].rows[1]: 2 is now 3",
    ]
