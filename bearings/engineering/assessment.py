"""Judge a stack: all checks, in order, into one frozen answer."""

from __future__ import annotations

from bearings.engineering import VERSION
from bearings.engineering.checks import run_checks
from bearings.engineering.judged import work_out
from bearings.engineering.quantities import Stack
from bearings.engineering.results import Assessment


def check_stack(stack: Stack) -> Assessment:
    """Return what the checker says of a stack: figures, findings and what could not be checked.

    Parameters
    ----------
    stack : Stack
        Duty, oil, policy, items from the top of the mount, guides. [-]

    Nothing is raised for any stack that the stack file accepts; a missing figure is named in
    ``not_checked``.
    """
    figures = work_out(stack)
    findings = run_checks(figures)
    assert figures.speed is not None
    assert figures.thermal is not None
    return Assessment(
        version=VERSION,
        stack=stack,
        arrangement=figures.arrangement,
        cases=figures.cases,
        unloading_thrust_n=figures.unloading_thrust_n,
        life=figures.life,
        static=figures.static,
        speed=figures.speed,
        thermal=figures.thermal,
        findings=findings,
        not_checked=tuple(figures.not_checked),
    )
