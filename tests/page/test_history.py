"""Undo, redo, other windows and changes outside: no change is lost, and each says what became of it."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from boardgen.model.problem import InputError
from boardgen.page.history import (
    AddRow,
    MoveRow,
    RemoveRow,
    SetKey,
    changed_outside,
    edited,
    kept,
    opened,
    redone,
    undone,
)
from boardgen.spec.rewrite import value_at
from boardgen.spec.template import with_ways

TEXT = with_ways("two-way", None)
LENGTH = ("control", "length")


def set_key(history, key, value, seen=None, visit=""):
    return edited(history, SetKey(key, value), history.now.number if seen is None else seen, visit)


@settings(deadline=None, max_examples=25)
@given(
    st.lists(
        st.one_of(
            st.builds(SetKey, st.just(LENGTH), st.sampled_from(["5 m", "6 m", None])),
            st.builds(SetKey, st.just(("antenna", 0, "label")), st.sampled_from(["x", "y"])),
            st.just(AddRow("antenna", "label")),
            st.just(RemoveRow("antenna", 1)),
            st.just(MoveRow("antenna", 0, 1)),
        ),
        max_size=6,
    )
)
def test_undo_leads_to_the_start_and_redo_to_the_end(changes):
    history = opened(TEXT)
    for change in changes:
        if len(value_at(history.now.text, ("antenna",))) > 1 or isinstance(change, SetKey | AddRow):
            history = edited(history, change, history.now.number)
    last = history.now.text
    while history.undoes:
        history = undone(history)
    assert history.now.text == TEXT
    while history.redoes:
        history = redone(history)
    assert history.now.text == last


def test_what_is_typed_in_one_stay_is_one_step():
    history = opened(TEXT)
    for value in ("1", "12", "120 m"):
        history = set_key(history, LENGTH, value, visit="a")
    history = set_key(history, LENGTH, "99 m", visit="b")
    assert [state.words for state in history.states] == ["opened", "control.length = 120 m", "control.length = 99 m"]


def test_two_windows_change_different_keys():
    history = set_key(opened(TEXT), LENGTH, "7 m")
    history = set_key(history, ("control", "returns"), 1, seen=0)
    assert value_at(history.now.text, LENGTH) == "7 m"
    assert value_at(history.now.text, ("control", "returns")) == 1


def test_two_windows_at_one_key_are_told():
    history = set_key(opened(TEXT), LENGTH, "7 m")
    with pytest.raises(InputError, match=r"control\.length was changed in another window, to 7 m"):
        set_key(history, LENGTH, "8 m", seen=0)


def test_an_antenna_that_another_window_moved_is_not_changed_by_its_old_number():
    history = edited(opened(TEXT), MoveRow("antenna", 0, 1), 0)
    for change in (SetKey(("antenna", 0, "feed"), "12 V 50 mA"), RemoveRow("antenna", 0)):
        with pytest.raises(InputError, match="changed in another window"):
            edited(history, change, 0)


def test_a_window_that_shows_what_was_undone_is_told():
    history = set_key(undone(set_key(opened(TEXT), LENGTH, "7 m")), LENGTH, "8 m")
    with pytest.raises(InputError, match="behind"):
        set_key(history, LENGTH, "9 m", seen=1)


def test_an_outside_change_is_shown_and_can_be_undone():
    outside = TEXT.replace("coil ", "coil  ")
    history, words = changed_outside(kept(set_key(opened(TEXT), LENGTH, "7 m")), outside)
    assert history.now.text == outside
    assert not history.unsaved
    assert "the page shows it" in words
    assert value_at(undone(history).now.text, LENGTH) == "7 m"


def test_unsaved_changes_are_put_on_top_of_an_outside_one():
    history = set_key(set_key(opened(TEXT), LENGTH, "7 m"), ("control", "coil"), "24 V")
    outside = TEXT.replace("[control]", "[control]  # mine").replace('"12 V"', '"5 V"')
    history, words = changed_outside(history, outside)
    assert value_at(history.now.text, LENGTH) == "7 m"
    assert "# mine" in history.now.text
    assert history.unsaved
    assert "control.coil was changed there too, to 5 V" in words


def test_a_change_that_no_longer_fits_is_one_undo_away():
    history = edited(opened(TEXT), RemoveRow("antenna", 1), 0)
    one = TEXT.replace("[[antenna]]", 'antenna = [{label = "a"}]\n[unused]', 1)
    one = 'antenna = [{label = "a"}, {label = "b"}]\n[band]\nlowest = "1.8 MHz"\nhighest = "7 MHz"\n'
    before = history.now.text
    history, words = changed_outside(history, one)
    assert history.now.text == one
    assert "one undo back" in words
    assert undone(history).now.text == before
