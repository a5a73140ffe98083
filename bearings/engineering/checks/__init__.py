"""The checker's findings: one small function for each code, in the order in which they are told."""

from bearings.engineering.checks.registry import FINDING_CODES, run_checks

__all__ = ["FINDING_CODES", "run_checks"]
