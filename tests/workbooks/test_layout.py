"""Rows of a workbook are high enough for their text."""

from hypothesis import given
from hypothesis import strategies as st

from boardgen.workbooks.layout import lines_of, width_of


def test_capitals_are_wider_than_small_letters_and_code_is_even() -> None:
    assert width_of("ill") < width_of("111") < width_of("ABC") < width_of("MWW")
    assert width_of("ill", "code") == width_of("MWW", "code")
    assert width_of("") == 0


def test_lines_break_at_blanks_and_hyphens_and_within_what_is_too_long() -> None:
    assert lines_of("", 10) == 1
    assert lines_of("1111 1111", 9.5) == 1
    assert lines_of("1111 1111", 8) == 2
    assert lines_of("1111-1111", 8) == 2
    assert lines_of("1" * 30, 10.5) == 3
    assert lines_of("1\n2\n3", 10) == 3


@given(st.text(), st.floats(2, 50))
def test_no_more_room_never_takes_more_lines(text: str, room: float) -> None:
    assert lines_of(text, room * 2) <= lines_of(text, room)
    assert lines_of(text, room) >= max(1, len(text.splitlines()))
