"""The examples in the docstrings of the engineering hold."""

from __future__ import annotations

import doctest
from importlib import import_module
from inspect import isfunction, unwrap
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


# Functions whose first line says all there is to say of them.
WITHOUT_EXAMPLE = {
    "thrust.circle_m2",
    "thrust.result_values",
    "thrust.result_from_values",
    "springs.spring_rows",
    "grease.grease_rows",
}
TOLD = (
    "boundary", "duty", "estimate", "fits", "geometry", "grease", "growth", "hertz", "kinematics", "loads", "mounting",
    "rising_angle", "sharing", "speed", "springs", "thermal", "thrust",
)  # fmt: skip


@pytest.mark.parametrize("name", TOLD)
def test_every_public_function_of_the_figures_has_an_example(name):
    module = import_module(f"bearings.engineering.{name}")
    own = {
        key: unwrap(value)
        for key, value in vars(module).items()
        if not key.startswith("_")
        and isfunction(unwrap(value))
        and unwrap(value).__module__ == module.__name__
    }
    without = {f"{name}.{key}" for key, value in own.items() if ">>>" not in (value.__doc__ or "")}
    assert without - WITHOUT_EXAMPLE == set()


def test_there_are_examples_of_life_load_and_viscosity():
    assert {"rating", "lubrication", "fits", "mounting"} <= set(WITH_EXAMPLES)
