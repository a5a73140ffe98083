"""The examples in the docstrings of the engineering hold."""

from __future__ import annotations

import doctest
from importlib import import_module
from pathlib import Path

import pytest

import bearings.engineering as engineering

FOLDER = Path(engineering.__file__).parent
WITH_EXAMPLES = sorted(
    path.relative_to(FOLDER).with_suffix("").as_posix().replace("/", ".")
    for path in FOLDER.rglob("*.py")
    if ">>>" in path.read_text(encoding="utf-8")
)


@pytest.mark.parametrize("name", WITH_EXAMPLES)
def test_the_examples_of_a_module_hold(name):
    found = doctest.testmod(import_module(f"bearings.engineering.{name}"))
    assert found.attempted > 0
    assert found.failed == 0


def test_there_are_examples_of_life_load_and_viscosity():
    assert {"rating", "lubrication", "fits", "mounting"} <= set(WITH_EXAMPLES)
