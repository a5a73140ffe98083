"""A rating file against the book: what each line is, what is asked, what is written, and that it comes back equal."""

from __future__ import annotations

from io import BytesIO

import pytest

from bearings.book import FIGURES, StaleBookError, add_rating, add_source, rating_figures
from bearings.book_file.checking import check_rating_file
from bearings.book_file.importing import ImportRefusedError, prepare_import
from bearings.book_file.writer import export_lines, template_lines
from bearings.models import Rating, Source
from tests.bearings.book_file.writing import file_of, line, raw, write_import
from tests.repairs.factories import make_rating, make_source

pytestmark = [pytest.mark.django_db, pytest.mark.data]


@pytest.fixture
def source() -> Source:
    return add_source(maker="Maker A (invented)", title="Bearing tables", edition="2019")


def take_in(file: BytesIO, source: Source, **how) -> dict[str, int]:
    with prepare_import(file, source) as prepared:
        return write_import(prepared, source, **{"correct": False, **how})


def exported(source: Source) -> BytesIO:
    return raw("".join(export_lines(source)))


def test_new_lines_are_written_as_the_form_would_write_them(source):
    counts = take_in(file_of(line(fatigue_load_limit="-")), source)
    assert (counts["new"], counts["same"], counts["changed"]) == (1, 0, 0)
    by_file = Rating.objects.get()
    other = add_source(maker="Maker B (invented)", title="Tables", edition="1")
    by_form = add_rating(
        source=other,
        designation="7320 X",
        type="angular_contact_ball",
        variant="single",
        cage="brass",
        figures={
            "bore_mm": 100,
            "outside_diameter_mm": 215,
            "height_mm": 47,
            "contact_angle_deg": 40,
            "dynamic_rating_n": 216000,
            "static_rating_n": 208000,
            "limiting_speed_rpm": 2700,
        },
        not_printed=["fatigue_load_limit_n"],
    )
    for name in (
        "designation_key",
        "type",
        "variant",
        "cage",
        "bore_mm",
        "figures",
        "not_printed",
        "version",
    ):
        assert getattr(by_file, name) == getattr(by_form, name), name


def test_cage_and_temperatures_come_back_equal_and_another_cage_is_a_change(source):
    hot = line(cage_material="Polyamide", temperature_limit="248", stabilised_to="-")
    take_in(file_of(hot, units={"temperature_limit": "degF"}), source)
    rating = Rating.objects.get()
    assert (rating.figures["cage_material"], rating.figures["temperature_limit_c"]) == ("polyamide", 120.0)
    assert rating.not_printed == ["stabilised_to_c"]
    assert check_rating_file(exported(source), source).counts["same"] == 1
    (change,) = check_rating_file(file_of(line(cage_material="-")), source).changes
    assert change["differences"] == [{"column": "cage_material", "old": "polyamide", "new": "-"}]


def test_a_cage_of_no_known_material_is_refused_with_what_is_accepted(source):
    (wrong,) = check_rating_file(file_of(line(cage_material="plastic")), source).wrong
    assert (wrong["column"], wrong["value"]) == ("cage_material", "plastic")
    assert 'Accepted: "brass", "steel", "polyamide"' in wrong["message"]


def test_a_file_twice_adds_nothing_the_second_time_and_says_so(source):
    file = file_of(line(), line(designation="7322 X", bore="110", outside_diameter="240"))
    take_in(file, source)
    report = check_rating_file(file, source)
    assert (report.counts["same"], report.counts["new"]) == (2, 0)
    with pytest.raises(ImportRefusedError, match="Every line of this file is already in the book"):
        take_in(file, source)


def test_a_changed_line_is_shown_old_and_new_and_refused_unless_it_is_to_be_corrected(source):
    take_in(file_of(line()), source)
    file = file_of(line(limiting_speed="2400", static_rating="-", height=""))
    report = check_rating_file(file, source)
    assert report.counts["changed"] == 1
    (change,) = report.changes
    assert (change["line"], change["designation"]) == (3, "7320 X")
    shown = {one["column"]: (one["old"], one["new"]) for one in change["differences"]}
    assert shown == {
        "limiting_speed": (2700.0, 2400.0),
        "static_rating": (208000.0, "-"),
        "height": (47.0, None),
    }
    with pytest.raises(ImportRefusedError, match="1 line differs"):
        take_in(file, source)
    assert Rating.objects.get().version == 1
    told = []
    take_in(file, source, correct=True, corrected=told.extend)
    rating = Rating.objects.get()
    assert (rating.version, rating.height_mm, rating.not_printed) == (2, None, ["static_rating_n"])
    assert rating_figures(rating)["limiting_speed_rpm"] == 2400
    ((corrected, before),) = told
    assert corrected.pk == rating.pk
    assert before["figures"]["limiting_speed_rpm"] == 2700


def test_what_a_file_has_no_column_for_stays_as_it_is_stored(source):
    take_in(file_of(line(note="page 12", reference_speed="-")), source)
    short = {
        name: line()[name] for name in ("designation", "variant", "cage", "type", "bore", "outside_diameter")
    }
    assert check_rating_file(file_of(short), source).counts["same"] == 1
    take_in(file_of({**short, "limiting_speed": "2500"}), source, correct=True)
    rating = Rating.objects.get()
    assert rating.note == "page 12"
    assert rating.not_printed == ["reference_speed_rpm"]
    assert rating_figures(rating)["limiting_speed_rpm"] == 2500
    assert rating_figures(rating)["dynamic_rating_n"] == 216000


def test_a_line_that_comes_twice_is_refused_with_the_first_line(source):
    report = check_rating_file(file_of(line(), line(designation="7320X"), line(cage="steel")), source)
    assert (report.counts["wrong"], report.counts["repeated"], report.counts["new"]) == (1, 1, 2)
    assert report.wrong[0]["line"] == 4
    assert "Line 3 has the same designation" in report.wrong[0]["message"]


def test_everything_that_is_wrong_with_a_line_is_told_at_once(source):
    wrong = line(
        designation="//", type="square", bore="300", dynamic_rating="x", note="\ud7ff", ball_count="12.5"
    )
    report = check_rating_file(file_of(wrong, line()), source)
    said = {one["column"]: one["message"] for one in report.wrong}
    assert "needs a letter or a digit" in said["designation"]
    assert "one of the choices" in said["type"]
    assert "outside diameter above the bore" in said["outside_diameter"]
    assert "Enter a number" in said["dynamic_rating"]
    assert "Enter a whole number" in said["ball_count"]


def test_one_wrong_line_keeps_the_whole_file_out(source):
    with pytest.raises(ImportRefusedError, match="1 line is wrong"):
        take_in(file_of(line(), line(designation="7322", bore="-1")), source)
    assert not Rating.objects.exists()


def test_balls_that_overlap_are_refused(source):
    crowded = line(ball_count="15", ball_diameter="34.925")
    (one,) = check_rating_file(file_of(crowded), source).wrong
    assert one["column"] == "ball_count"
    assert "would overlap" in one["message"]


def test_a_column_of_pounds_that_says_newtons_is_asked_about_with_both_figures(source):
    slip = line(dynamic_rating="48559", static_rating="46760")
    report = check_rating_file(file_of(slip), source)
    assert report.counts["doubtful"] == 1
    assert report.counts["new"] == 1
    assert {one["column"] for one in report.questions} == {"dynamic_rating", "static_rating"}
    message = report.questions[0]["message"]
    assert "48,559\u00a0N" in message
    assert "Is it in lbf?" in message
    honest = check_rating_file(file_of(slip, units={"dynamic_rating": "lbf", "static_rating": "lbf"}), source)
    assert honest.counts["doubtful"] == 0


def test_sizes_that_are_not_those_of_the_designation_are_asked_about(source):
    file = file_of(line(designation="7212", bore="60", outside_diameter="110", height="23", contact_angle="",
                        dynamic_rating="", static_rating=""))  # fmt: skip
    (one,) = check_rating_file(file, source).questions
    assert one["column"] == "height"
    assert "22\u00a0mm is standard for this designation (ISO 15 rule, derived: 6212" in one["message"]


def test_remarks_are_counted_in_full_and_kept_only_so_many(source, monkeypatch):
    monkeypatch.setattr("bearings.book_file.checking.MOST_SHOWN", 3)
    report = check_rating_file(
        file_of(*(line(designation=f"73{n:02d}", bore="-1") for n in range(20, 30))), source
    )
    assert (report.counts["wrong"], len(report.wrong)) == (10, 3)


def test_a_source_that_changed_since_the_check_is_not_written(source):
    with prepare_import(file_of(line()), source) as prepared:
        add_rating(source=source, designation="7322", type="deep_groove_ball", figures={})
        with pytest.raises(StaleBookError):
            write_import(prepared, source, correct=True)
    assert Rating.objects.count() == 1


def test_checking_asks_the_book_once_for_many_lines(source, django_assert_num_queries):
    file = file_of(*(line(designation=f"7{n:03d}") for n in range(400)))
    with django_assert_num_queries(2):
        check_rating_file(file, source)


def test_progress_is_told_and_ends_at_the_number_of_lines(source):
    told = []
    file = file_of(*(line(designation=f"7{n:04d}") for n in range(1100)))
    check_rating_file(file, source, progress=lambda done, total: told.append((done, total)))
    assert told == [(500, 1100), (1000, 1100), (1100, 1100)]


# Out and in again


def test_an_export_is_read_back_equal_whatever_stands_in_it(source):
    figures = {name: 0.1 + n / 3 for n, name in enumerate(FIGURES[13:])} | {"cage_material": "peek"}
    odd = {"variant": "=1+1", "cage": "-", "speed_meaning": "'@x", "note": 'two\r\nlines, "quoted"; \t#'}
    make_rating(source, designation="#73 1/2", figures=figures, bore_mm=99.9998, height_mm=None, **odd)
    make_rating(source, designation="+7", variant="–", not_printed=["static_rating_n"], figures={})
    make_rating(source, designation="Ø 40°", type="deep_groove_ball", figures={"dynamic_rating_n": 1 / 3})
    report = check_rating_file(exported(source), source)
    assert report.wrong == []
    assert report.changes == []
    assert report.counts["same"] == 3
    other = make_source(edition="copy")
    take_in(exported(source), other)
    assert "".join(export_lines(other)) == "".join(export_lines(source))


def test_no_cell_of_an_export_is_a_formula(source):
    make_rating(source, designation="=7320", variant="@SUM(A1)", cage="+x", note="-y")
    text = "".join(export_lines(source))
    for cell in ("'=7320", "'@SUM(A1)", "'+x", "'-y"):
        assert cell in text


def test_the_file_to_begin_with_is_read_and_holds_comments_only(source):
    report = check_rating_file(raw("".join(template_lines())), source)
    assert report.survey["lines"] == 0
    assert report.survey["units"]["bore"] == "mm"
    assert report.wrong == []


def test_an_export_asks_the_book_once(source, django_assert_num_queries):
    for n in range(5):
        make_rating(source, designation=f"7{n}")
    with django_assert_num_queries(1):
        list(export_lines(source))
