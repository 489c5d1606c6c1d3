"""A change of one key leaves every other letter of the file as it was."""

import difflib
import tomllib

import pytest

from boardgen.model.problem import InputError
from boardgen.spec.rewrite import with_moved_row, with_row, with_value, without_row
from boardgen.spec.template import with_ways
from tests.page.every_key import CHANGES

TEXT = with_ways("four-way", None)
ANTENNAS = """# mine
title = "x"

[[antenna]]  # first
label = "a"
# about a

# before b
[[antenna]]
label = "b"
feed = "12 V 60 mA" # b's

[[antenna]]
label = "c"
# last words

[band]
lowest = "1.8 MHz"
"""


def changed_lines(before: str, after: str) -> list[str]:
    return [line for line in difflib.ndiff(before.splitlines(), after.splitlines()) if line[0] in "+-"]


def labels(text: str) -> list[str]:
    return [row["label"] for row in tomllib.loads(text)["antenna"]]


@pytest.mark.parametrize(("key", "value"), CHANGES, ids=lambda case: str(case))
def test_each_key_is_written_and_nothing_else_moves(key, value):
    made = with_value(TEXT, key, value)
    found = tomllib.loads(made)
    for step in key:
        found = found[step]
    assert found == value
    lines = changed_lines(TEXT, made)
    assert all(line.startswith("+") or key[-1] in line for line in lines), lines
    assert len([line for line in lines if line[2:].strip()]) <= 3
    said = [line.partition("#")[2] for line in TEXT.splitlines() if "#" in line]
    assert [line.partition("#")[2] for line in made.splitlines() if "#" in line] == said


@pytest.mark.parametrize(("key", "value"), CHANGES, ids=lambda case: str(case))
def test_a_key_that_is_left_out_leaves_its_comment(key, value):
    text = with_value(TEXT, key, value)
    made = with_value(text, key, None)
    found = tomllib.loads(made)
    for step in key[:-1]:
        found = found[step]
    assert key[-1] not in found
    assert all(line.partition("#")[2] in made for line in text.splitlines())
    assert with_value(made, key, None) == made


def test_a_comment_keeps_its_column_where_there_is_room():
    made = with_value(TEXT, ("protection", "surge"), False)
    assert made.index("# gas tubes") - made.rindex("\n", 0, made.index("# gas tubes")) == TEXT.index(
        "# gas tubes"
    ) - TEXT.rindex("\n", 0, TEXT.index("# gas tubes"))


def test_an_antenna_more_stands_behind_the_last():
    made = with_row(ANTENNAS, "antenna", "label", "d")
    assert labels(made) == ["a", "b", "c", "d"]
    assert '# last words\n\n[[antenna]]\nlabel = "d"\n\n[band]' in made


@pytest.mark.parametrize("at", range(3))
def test_an_antenna_goes_with_its_own_words_alone(at):
    made = without_row(ANTENNAS, "antenna", at)
    assert labels(made) == [label for n, label in enumerate("abc") if n != at]
    assert ("# about a" in made) == (at != 0)
    assert "# before b" in made
    assert made.endswith('\n[band]\nlowest = "1.8 MHz"\n')


@pytest.mark.parametrize("at", range(3))
@pytest.mark.parametrize("to", range(3))
def test_antennas_change_places(at, to):
    made = with_moved_row(ANTENNAS, "antenna", at, to)
    wanted = list("abc")
    wanted.insert(to, wanted.pop(at))
    assert labels(made) == wanted
    assert sorted(made) == sorted(ANTENNAS)
    assert with_moved_row(made, "antenna", to, at) == ANTENNAS


def test_what_cannot_be_rearranged_says_so():
    with pytest.raises(InputError, match="change them in the file"):
        without_row('antenna = [{label = "a"}, {label = "b"}]\n', "antenna", 0)
    with pytest.raises(InputError, match="not in the file"):
        with_value(ANTENNAS, ("antenna", 7, "label"), "x")
    with pytest.raises(InputError, match="written as a value"):
        with_value("control = 3\n", ("control", "length"), "3 m")


def test_tables_that_are_written_apart_or_inline_are_changed_where_they_stand():
    apart = '[order]\nboards = 1 # n\n[box]\npitch = "20 mm"\n[order.spares_of]\nrelay = "5 %" # r\n'
    made = with_value(with_value(apart, ("order", "boards"), 3), ("order", "spares_of", "relay"), "10 %")
    assert made == apart.replace("= 1", "= 3").replace('5 %" #', '10 %" #').replace('"5', '"10')
    inline = 'control = {length = "3 m", returns = 1} # c\n'
    assert with_value(inline, ("control", "returns"), 2) == inline.replace("1}", "2}")
    dotted = 'control.length = "3 m" # d\n'
    assert with_value(dotted, ("control", "length"), "4 m") == dotted.replace("3", "4")
    assert tomllib.loads(with_value(dotted, ("control", "length"), None)).get("control", {}) == {}


PLAN = """[[box]]
name = "dune"

[box.control]  # its own
length = "90 m"

[[box]]
name = "heath"

[receiver]
rest = "dune"
"""


def test_a_table_of_a_list_moves_with_the_tables_in_it():
    made = with_moved_row(PLAN, "box", 0, 1)
    assert [box["name"] for box in tomllib.loads(made)["box"]] == ["heath", "dune"]
    assert tomllib.loads(made)["box"][1]["control"] == {"length": "90 m"}
    assert "[box.control]  # its own" in made
    assert tomllib.loads(without_row(PLAN, "box", 0)) == {"box": [{"name": "heath"}], "receiver": {"rest": "dune"}}


def test_the_first_table_of_a_list_stands_at_the_end():
    made = with_row(PLAN, "remote", "name", "a")
    assert made == PLAN + '\n[[remote]]\nname = "a"\n'
    assert without_row(made, "remote", 0).rstrip() == PLAN.rstrip()
