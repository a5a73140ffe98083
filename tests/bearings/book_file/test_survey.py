"""What a rating file must be to be read at all: encoding, separator, columns, units, how numbers are written."""

from __future__ import annotations

import tracemalloc
from io import BytesIO

import pytest

from bearings.book_file.lines import MOST_BYTES
from bearings.book_file.mistakes import BookFileError
from bearings.book_file.reader import file_lines
from bearings.book_file.survey import survey_file
from tests.bearings.book_file.writing import file_of, line, raw

HEADER = "designation,type,bore,limiting_speed\n"
UNITS = ",,mm,rpm\n"


def refusal(file: BytesIO) -> BookFileError:
    with pytest.raises(BookFileError) as caught:
        survey_file(file)
    return caught.value


def only_line(file: BytesIO):
    (found,) = file_lines(file, survey_file(file))
    return found


@pytest.mark.parametrize("mark", [True, False])
@pytest.mark.parametrize("separator", [",", ";", "\t"])
def test_separator_and_byte_order_mark_are_found_and_told(separator, mark):
    survey = survey_file(file_of(line(), separator=separator, mark=mark))
    assert (survey.separator, survey.mark, survey.lines) == (separator, mark, 1)


def test_a_separator_that_is_not_accepted_is_said_to_be_so():
    error = refusal(raw("designation|type|bore\n||mm\n7320|angular_contact_ball|100\n"))
    assert "separated by commas, semicolons or tabs" in str(error)


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"", "File is empty"),
        ("designation,type\n".encode("utf-16"), "UTF-16"),
        (HEADER.encode() + UNITS.encode() + b"73\xf6,angular_contact_ball,100,1\n", "This byte is not UTF-8"),
        (b'designation,type\n,\n7320,deep_groove_ball,\n7320,"deep\n', "quotation mark"),
        (b"\x00" * 300_000, "End each line with a line feed"),
        (HEADER.encode() + UNITS.encode() + b"73\x0020,x,1,1\n", "NUL bytes"),
        (b"x" * 200_000 + b"\n", "No known column name"),
        (b"PK\x03\x04 not a table", "No known column name"),
    ],
)
def test_what_is_no_such_file_is_refused_in_words(content, said):
    error = refusal(raw(content))
    assert said in str(error)


def test_the_line_of_a_byte_that_is_not_utf_8_is_named():
    (one,) = refusal(raw(HEADER.encode() + UNITS.encode() + b"\xf6,x,1,1\n")).notes
    assert (one.line, one.value) == (3, "0xf6")


def test_a_file_beyond_the_limit_is_refused_before_it_is_read():
    class Huge(BytesIO):
        def seek(self, place: int, whence: int = 0) -> int:
            return MOST_BYTES + 1 if whence else 0

    assert "Accepted: at most 50 MB" in str(refusal(Huge()))


def test_every_wrong_column_name_is_told_with_the_nearest_known_one():
    error = refusal(raw("designation,type,bore_mm,limitting_speed,bore,bore\n,,mm,rpm,mm,mm\n"))
    said = {one.column: one.message for one in error.notes}
    assert "“bore”" in said["bore_mm"]
    assert "“limiting_speed”" in said["limitting_speed"]
    assert "Duplicate column" in said["bore"]


def test_needed_columns_are_asked_for_and_too_many_are_refused():
    assert {one.column for one in refusal(raw("bore,height\nmm,mm\n")).notes} == {"designation", "type"}
    many = "designation," + ",".join(f"c{n}" for n in range(80))
    assert "Accepted: at most 60" in str(refusal(raw(many + "\n")))


def test_names_may_be_written_as_people_write_them():
    survey = survey_file(raw("Designation,Type,Outside diameter\n,,mm\n"))
    assert [one.name for one in survey.columns] == ["designation", "type", "outside_diameter"]


def test_each_figure_needs_a_unit_that_is_known_and_text_has_none():
    error = refusal(raw("designation,type,bore,dynamic_rating,ball_count\nmm,,,lb,mm\n"))
    said = {one.column: one.message for one in error.notes}
    assert "a text column has none" in said["designation"]
    assert "Accepted: mm, in." in said["bore"]
    assert "Accepted: N, kN, lbf, kgf." in said["dynamic_rating"]
    assert "plain number" in said["ball_count"]


def test_a_file_without_its_row_of_units_is_told_what_the_second_line_is_for():
    error = refusal(raw("designation,type,bore\n7320,angular_contact_ball,100\n"))
    assert all(one.line == 2 and "gives the unit" in one.message for one in error.notes)


# How numbers are written


def test_a_decimal_comma_is_taken_where_it_cannot_be_a_separator():
    file = file_of(line(bore="100,5", outside_diameter="215", limiting_speed="2700"), separator=";")
    assert survey_file(file).comma is True
    assert only_line(file).figures["bore_mm"] == 100.5


def test_three_figures_behind_a_comma_are_decimals_once_the_file_has_shown_its_comma():
    file = file_of(line(bore="100,5", height="46,925"), separator=";")
    assert only_line(file).figures["height_mm"] == 46.925


def test_three_figures_behind_the_only_commas_of_a_file_are_asked_about_not_guessed():
    (one,) = refusal(file_of(line(limiting_speed="2,700"), separator=";")).notes
    assert (one.line, one.column) == (3, "limiting_speed")
    assert "decimals or thousands" in one.message


def test_three_figures_behind_every_point_of_such_a_file_are_asked_about():
    survey = survey_file(file_of(line(limiting_speed="2.700"), separator=";"))
    assert [one.column for one in survey.questions] == ["limiting_speed"]
    assert survey_file(file_of(line(limiting_speed="2.700"))).questions == []


def test_a_column_that_writes_decimals_in_two_ways_is_refused_with_both_lines():
    (one,) = refusal(file_of(line(height="47,5"), line(height="47.5"), separator=";")).notes
    assert "Line 3 uses a decimal comma in this column, line 4 a point" in one.message


def test_two_columns_that_write_decimals_in_two_ways_are_refused():
    (one,) = refusal(file_of(line(height="47,5", bore="100.5"), separator=";")).notes
    assert one.column == "bore"


@pytest.mark.parametrize(
    "typed", ["2 700", "2\u202f700", "2'700", "2,700", "1,234,567", "1.234,5", "1,234.5"]
)
def test_thousands_separators_are_refused_in_words(typed):
    found = only_line(file_of(line(limiting_speed=typed)))
    (one,) = found.wrong
    assert (one.line, one.column) == (3, "limiting_speed")
    assert "Write thousands without a separator" in one.message
    assert "Accepted: a number from 0.001 to 200,000 rpm." in one.message


def test_a_decimal_comma_between_commas_is_refused_in_words():
    (one,) = only_line(file_of(line(bore="100,5"))).wrong
    assert "A decimal comma is accepted only" in one.message


def test_100_000_lines_are_read_in_memory_that_does_not_grow_with_them():
    def peak(lines: int) -> int:
        body = b"7320,angular_contact_ball,100,2700.5\n" * lines
        file = raw(HEADER.encode() + UNITS.encode() + body)
        tracemalloc.start()
        survey = survey_file(file)
        assert sum(1 for _line in file_lines(file, survey)) == survey.lines == lines
        most = tracemalloc.get_traced_memory()[1]
        tracemalloc.stop()
        return most

    peak(10)
    assert peak(20_000) < 2 * peak(200)


def test_more_lines_than_are_accepted_are_refused(monkeypatch):
    monkeypatch.setattr("bearings.book_file.survey.MOST_LINES", 2)
    assert "more than 2 lines" in str(refusal(file_of(line(), line(), line())))


@pytest.mark.parametrize("end", [b"\r", b"\r\n", b"\n"])
def test_lines_may_end_as_on_any_system(end):
    lines = [
        HEADER.encode().strip(),
        UNITS.encode().strip(),
        *[b"7320,angular_contact_ball,100,2700.5"] * 2000,
    ]
    file = raw(end.join([*lines, b'"73\r20",angular_contact_ball,100,2700.5']) + end)
    survey = survey_file(file)
    assert survey.lines == 2001
    read = list(file_lines(file, survey))
    assert [line.number for line in read] == list(range(3, 2004))
    assert not any(line.wrong for line in read[:-1])
