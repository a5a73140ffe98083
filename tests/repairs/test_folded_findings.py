"""Findings folded: one code of one part is one line, and parts that lack the same are told together, everywhere."""

from __future__ import annotations

import pytest

from bearings.public import NotChecked
from bearings.wording.labels import part_label
from repairs.documents.content import papers
from repairs.documents.content.reader import Reader
from repairs.work_orders.judging import FindingRow, folded, not_checked_rows
from repairs.work_orders.models import Stage
from tests.repairs.factories import make_job, make_stack_record, make_user


def row(code: str, ref: str, title: str, severity: str = "stop") -> FindingRow:
    return {"severity": severity, "code": code, "ref": ref, "title": title, "source": ""}


def test_one_code_at_two_speeds_is_one_line_led_by_the_first_and_one_thing_to_accept():
    told = folded([
        row("speed-margin", "1", "At 4,000 rpm."), row("viscosity", "1", "Thin."), row("speed-margin", "1", "Backspin.")
    ])  # fmt: skip
    assert [(one["code"], one["title"], one.get("text", "")) for one in told] == [
        ("speed-margin", "At 4,000 rpm.", "Backspin."),
        ("viscosity", "Thin.", ""),
    ]


def test_the_same_code_of_two_parts_stays_two_lines_for_each_is_accepted_on_its_own():
    told = folded([row("static-safety", "1", "One."), row("static-safety", "2", "Two.")])
    assert [one["title"] for one in told] == ["One.", "Two."]


def lacking(check: str, field: str, ref: str | None) -> NotChecked:
    params = {"fields": (field,)} | ({"ref": ref} if ref else {})
    return NotChecked(check=check, reason="missing", params=params)


def test_parts_that_lack_the_same_are_one_line():
    reasons = [lacking("capacity", "static_rating_n", str(n)) for n in range(1, 9)]
    reasons += [lacking("speed", "limiting_speed_rpm", ref) for ref in ("1", "3")]
    titles = [one["title"] for one in not_checked_rows([*reasons, "No face is known.", "No face is known."])]
    assert titles == [
        "Static capacity: static rating not entered for bearings 1-8",
        "Speed: limiting speed not entered for bearings 1 and 3",
        "No face is known.",
    ]


@pytest.mark.parametrize(
    ("refs", "words"),
    [
        (["1"], "bearing 1"),
        (["1", "2", "3"], "bearings 1, 2 and 3"),
        (["1", "2", "3", "4"], "bearings 1-4"),
        (["1", "2", "3", "4", "6"], "bearings 1-4 and 6"),
        (["9", "10", "11", "12"], "bearings 9-12"),
        (["g1", "g2"], "guides g1 and g2"),
    ],
)
def test_a_long_run_of_bearings_is_told_by_its_ends(refs, words):
    assert part_label(refs) == words


@pytest.mark.django_db
def test_recorder_office_page_and_traveler_tell_a_code_of_a_part_once(client):
    job = make_job()
    record = make_stack_record(job, Stage.AS_FOUND, "ddddduuu", started_by=make_user("technician"))
    client.force_login(make_user("lead"))
    recorder = client.get(f"/bench/jobs/{job.number}/stack/{record.stage}/").context
    office = client.get(f"/office/jobs/{job.number}/stacks/{record.pk}/assessment/").context
    paper = papers.traveler(job, Reader("en", "us"))["stack"]
    told = [
        [*recorder["findings"], *recorder["more_findings"]],
        office["findings"],
        paper["findings"],
    ]
    assert any(told)
    for rows in told:
        keys = [(one["code"], one["ref"]) for one in rows]
        assert len(keys) == len(set(keys))
    for rows in (office["not_checked"], paper["not_checked"]):
        titles = [one["title"] for one in rows]
        assert len(titles) == len(set(titles))
