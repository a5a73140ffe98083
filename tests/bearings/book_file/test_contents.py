"""What the columns hold is said of every column, and a translator is given the words."""

from __future__ import annotations

from bearings.book_file import COLUMNS, CONTENTS
from tests.made_up_language import in_the_made_up_language, made_up


def test_every_column_has_its_content_in_words():
    assert set(CONTENTS) == {column.field for column in COLUMNS.values()}


def test_the_words_are_given_to_translators():
    english = {field: str(words) for field, words in CONTENTS.items()}
    with in_the_made_up_language():
        assert {field: str(words) for field, words in CONTENTS.items()} == {
            field: made_up(words) for field, words in english.items()
        }
