"""Tables of comma-separated values that no spreadsheet calculates."""

import csv
import io

from hypothesis import given
from hypothesis import strategies as st

from boardgen.formats.csv_text import csv_bytes, harmless, harmless_cell, looks_like_formula


@given(st.lists(st.lists(st.text(st.characters(exclude_categories=("Cs", "Cc"))), min_size=2, max_size=2)))
def test_what_is_written_is_read_back(rows: list[list[str]]) -> None:
    """RFC 4180, section 2: quotes, commas and line ends inside a cell."""
    made = csv_bytes(("a, b", 'say "c"'), rows)
    assert list(csv.reader(io.StringIO(made.decode(), newline=""))) == [["a, b", 'say "c"'], *rows]


def test_a_letter_that_cannot_be_written_is_a_question_mark() -> None:
    assert csv_bytes(("a",), [("x\ud800",)]) == b"a\nx?\n"


def test_a_number_stays_a_number() -> None:
    assert [harmless_cell(text) for text in ("-0.1", "-0.1 V", "+3", "=3")] == ["-0.1", "'-0.1 V", "+3", "'=3"]


@given(st.sampled_from(["", "=", "+", "-", "@", "\t", "\r", "a"]), st.text())
def test_no_text_stays_a_formula(start: str, rest: str) -> None:
    text = start + rest
    made = harmless(text)
    assert not looks_like_formula(made)
    assert made in (text, "'" + text)
    assert (made == text) == (not text or text[0] not in "=+-@\t\r")
