"""Which modules are changed, and which tests stand for them: the map from module to tests.

Group A is changed wholly: what keeps the wrong stack in the shop. Of group B a number is drawn from each area by seed.
Not in the map: scripts of the tablet (their tests drive a browser, half a minute for each change), templates and CSS.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Final


@dataclass(frozen=True, slots=True)
class Area:
    """Modules and tests that belong together; ``drawn`` is how many changes of 600 group B takes from here.

    ``on_import`` names fewer tests for what acts on import, each of which loads all anew.
    """

    name: str
    group: str
    modules: tuple[str, ...]
    tests: tuple[str, ...]
    drawn: int = 0
    on_import: tuple[str, ...] = ()

    def paths(self, root: Path) -> list[str]:
        """Return the modules that there are, each once."""
        found = {
            str(path.relative_to(root))
            for pattern in self.modules
            for path in root.glob(pattern)
            if path.is_file()
        }
        return sorted(path for path in found if not path.endswith("__init__.py"))

    def test_paths(self, root: Path, *, on_import: bool = False) -> list[str]:
        """Return the tests that there are, in their order; a file that is gone is left out, a folder may be named."""
        patterns = (self.on_import or self.tests) if on_import else self.tests
        found = [str(path.relative_to(root)) for pattern in patterns for path in sorted(root.glob(pattern))]
        return list(dict.fromkeys(found))


ENGINEERING: Final = "bearings/engineering/"
BUILD_TESTS: Final = (
    "tests/repairs/test_gates.py",
    "tests/repairs/test_chain_step_by_step.py",
    "tests/repairs/test_gates_of_paper.py",
    "tests/repairs/test_route_changes.py",
    "tests/repairs/test_overrides_refused.py",
    "tests/repairs/test_overrides.py",
    "tests/repairs/test_second_person.py",
    "tests/repairs/test_stacks.py",
    "tests/repairs/test_stack_matching.py",
    "tests/repairs/test_work.py",
    "tests/repairs/test_differences_in_words.py",
    "tests/repairs/test_left_open_as_built.py",
    "tests/repairs/test_proposing.py",
    "tests/repairs/test_unproven.py",
    "tests/repairs/test_ended_jobs.py",
    "tests/repairs/test_signing.py",
    "tests/repairs/test_taking_back.py",
    "tests/repairs/measurements/test_evidence.py",
    "tests/repairs/bench/test_laying_out.py",
    "tests/repairs/rechecks/test_gating.py",
    "tests/house/test_transactions.py",
)
AREAS: Final = (
    Area(
        "gates",
        "A",
        (
            "repairs/work_orders/gates.py",
            "repairs/work_orders/standing.py",
            "repairs/work_orders/builders.py",
            "repairs/work_orders/two_people.py",
            "repairs/work_orders/leaving.py",
            "repairs/work_orders/unproven.py",
            "repairs/work_orders/reasons.py",
            "repairs/work_orders/looks.py",
            "repairs/work_orders/differing.py",
            "repairs/work_orders/warning_words.py",
            "repairs/work_orders/services/overrides.py",
            "repairs/work_orders/services/second_looks.py",
            "repairs/work_orders/services/chain.py",
            "repairs/work_orders/services/route.py",
            "repairs/measurements/evidence.py",
            "repairs/rechecks/gating.py",
        ),
        BUILD_TESTS,
        on_import=(
            "tests/house/test_transactions.py",
            "tests/repairs/rechecks/test_gating.py",
            "tests/repairs/test_left_open_as_built.py",
            "tests/repairs/test_differences_in_words.py",
            "tests/repairs/test_chain_step_by_step.py",
            "tests/repairs/test_gates.py",
            "tests/repairs/test_overrides.py",
            "tests/repairs/measurements/test_evidence.py",
        ),
    ),
    Area(
        "ended job",
        "A",
        ("repairs/work_orders/open_job.py", "repairs/work_orders/services/ended_job.py"),
        ("tests/repairs/test_open_job.py", "tests/repairs/test_ended_jobs.py"),
    ),
    Area(
        "permissions and PIN",
        "A",
        (
            "repairs/people/permissions.py",
            "repairs/people/pin_*.py",
            "repairs/people/bench_services.py",
            "repairs/bench/shared_tablet.py",
        ),
        (
            "tests/repairs/people/test_roles.py",
            "tests/repairs/people/test_pin*.py",
            "tests/repairs/people/test_clock_jumps.py",
            "tests/repairs/people/test_devices.py",
            "tests/repairs/bench/test_signing_in.py",
            "tests/repairs/bench/test_going_on.py",
            "tests/repairs/bench/test_kept_in_service.py",
            "tests/repairs/test_overrides.py",
            "tests/house/test_permissions.py",
        ),
        on_import=(
            "tests/repairs/people/test_roles.py",
            "tests/repairs/people/test_pin*.py",
            "tests/repairs/bench/test_signing_in.py",
        ),
    ),
    Area(
        "comparison",
        "A",
        (f"{ENGINEERING}comparison.py", f"{ENGINEERING}pairing.py"),
        (
            "tests/bearings/test_comparison.py",
            "tests/bearings/test_pairing.py",
            "tests/bearings/test_checks.py",
            "tests/bearings/test_against_oracle.py",
        ),
    ),
    Area(
        "services of the job",
        "B",
        ("repairs/work_orders/services/*.py", "repairs/work_orders/judging.py", "repairs/work_orders/hiding.py"),
        (
            *BUILD_TESTS,
            "tests/repairs/test_opening.py",
            "tests/repairs/test_looked_for.py",
            "tests/repairs/test_waiting.py",
            "tests/repairs/test_merges.py",
            "tests/repairs/test_job_motor.py",
            "tests/repairs/test_hiding.py",
            "tests/repairs/test_stored_answers.py",
            "tests/repairs/test_question_answers.py",
            "tests/repairs/bench/test_entry_origin.py",
            "tests/repairs/bench/test_late_entries.py",
            "tests/repairs/bench/test_photos.py",
            "tests/repairs/measurements/test_predicted_end_play.py",
            "tests/repairs/office/test_opening.py",
            "tests/repairs/office/test_policy.py",
            "tests/repairs/test_standard_routes.py",
            "tests/repairs/test_small_refusals.py",
            "tests/repairs/test_copied_ratings.py",
            "tests/repairs/bench/test_items.py",
            "tests/repairs/bench/test_recorder.py",
            "tests/repairs/bench/test_outbox.py",
            "tests/repairs/office/test_job_page.py",
            "tests/repairs/office/test_job_work.py",
        ),
        125,
    ),
    Area(
        "readings and seats",
        "B",
        ("repairs/measurements/*.py",),
        (
            "tests/repairs/measurements",
            "tests/repairs/bench/test_seats.py",
            "tests/repairs/bench/test_steps.py",
            "tests/repairs/bench/test_small_rules.py",
            "tests/repairs/office/test_seats.py",
            "tests/house/test_form_lengths.py",
        ),
        75,
    ),
    Area(
        "engineering of shop tests",
        "B",
        (
            "repairs/measurements/engineering/*.py",
            "repairs/measurements/engineering/subjects/*.py",
            "repairs/measurements/engineering/tables/*.py",
        ),
        ("tests/repairs/measurements/engineering",),
        80,
    ),
    Area(
        "tablet",
        "B",
        ("repairs/bench/*.py",),
        (
            "tests/repairs/bench",
            "tests/repairs/test_second_person.py",
            "tests/repairs/test_overrides.py",
            "tests/repairs/test_overrides_refused.py",
            "tests/repairs/measurements/test_evidence.py",
            "tests/house/test_form_lengths.py",
            "tests/house/test_permissions.py",
        ),
        75,
    ),
    Area(
        "tables",
        "B",
        (f"{ENGINEERING}tables/*.py",),
        (
            "tests/bearings/test_table_rows.py",
            "tests/bearings/test_tolerance_rows.py",
            "tests/bearings/test_factor_rows.py",
            "tests/bearings/test_boundary.py",
            "tests/bearings/test_rating.py",
            "tests/bearings/test_lubrication.py",
            "tests/bearings/test_estimate.py",
            "tests/bearings/test_thermal.py",
        ),
        60,
    ),
    Area(
        "seats and fits",
        "B",
        tuple(f"{ENGINEERING}{name}.py" for name in ("seats", "seat_zones", "fits", "mounting", "growth")),
        tuple(
            f"tests/bearings/test_{name}.py"
            for name in (
                "seats", "fits", "mounting", "growth", "tolerance_rows", "ends_of_rules", "table_rows", "kept_answers",
                "small_rules",
            )
        ),
        60,
    ),
    Area(
        "thrust and lives",
        "B",
        tuple(
            f"{ENGINEERING}{name}.py"
            for name in (
                "thrust", "thrust_figures", "thrust_inputs", "thrust_questions", "thrust_shaft", "thrust_verdicts",
                "lubrication", "rating", "geometry", "hertz",
                "duty", "lives", "speed", "thermal", "kinematics", "estimate", "boundary",
            )
        ),
        tuple(
            f"tests/bearings/test_{name}.py"
            for name in (
                "thrust", "lubrication", "rating", "hertz", "duty", "lives", "speed", "thermal", "kinematics",
                "estimate", "boundary", "factor_rows", "ends_of_rules", "kept_answers",
            )
        ),
        50,
    ),
    Area(
        "subjects of a stack",
        "B",
        (
            f"{ENGINEERING}subjects/*.py",
            *(
                f"{ENGINEERING}{name}.py"
                for name in (
                    "arrangement", "assessment", "case_results", "curve", "end_play", "evidence", "filling", "heat",
                    "judgement", "least_load", "loads", "mismatch", "mounted", "ranges", "rating_plausibility",
                    "rising_angle", "settling", "sharing", "sharing_result", "situation", "springs",
                    "warmth",
                )
            ),
        ),
        tuple(
            f"tests/bearings/{name}.py"
            for name in (
                "test_checks", "test_arrangement", "test_springs", "test_sharing", "test_heat", "test_end_play",
                "test_loads", "test_mismatch", "test_curve", "test_assessment", "test_rating_plausibility",
                "test_rising_angle", "test_warmth", "test_working_sources", "test_thrust", "test_speed",
                "test_lubrication", "test_against_oracle", "law/test_law", "law/test_one_way_fields",
                "test_kept_answers", "test_corners_of_ranges", "test_guides", "test_small_rules",
            )
        ),
        75,
    ),
)  # fmt: skip
