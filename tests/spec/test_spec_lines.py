"""The line of a key, however it is written."""

import pytest

from boardgen.model.problem import InputError
from boardgen.spec.lines import line_numbers
from boardgen.spec.load import read_text
from tests.spec import bad


@pytest.mark.parametrize(
    ("text", "path", "line"),
    [
        ("a = 1\nb = 2\n", ("b",), 2),
        ("[t]\n\n# words\n  a = 1\n", ("t", "a"), 4),
        ("x = 1\nband.lowest = 1\nband.highest = 2\n", ("band", "highest"), 3),
        ("band.lowest = 1\norder.boards = 2\nband.highest = true\n", ("band", "highest"), 3),
        ("band.lowest = 1\norder.boards = 2\nband.highest = true\n", ("band", "lowest"), 1),
        ("[[antenna]]\nlabel = 1\n[[antenna]]\n\nlabel = 2\n", ("antenna", 1, "label"), 5),
        ("[[antenna]]\nlabel = 1\n[[antenna]]\n\nlabel = 2\n", ("antenna", 1, "feed"), 3),
        ("[[antenna]]\nlabel = 1\n[[antenna]]\nlabel = 2\n", ("antenna",), 1),
        ("[[antenna]]\na = 1\n[band]\nb = 2\n[[antenna]]\na = 3\n", ("antenna", 1, "a"), 6),
        ("\nband = { lowest = 1, highest = 2 }\n", ("band", "highest"), 2),
        ("antenna = [\n {label = 1},\n {label = 2},\n]\n", ("antenna",), 1),
        ("antenna = [\n {label = 1},\n {label = 2},\n]\nb = 1\n", ("b",), 5),
        ('a = """\none\ntwo\n"""\nb = 1\n', ("b",), 5),
        ("a = '''\nb = 1\n'''\nb = 2\n", ("b",), 4),
        ("a = 1\r\nb = 2\r\n", ("b",), 2),
        ("[a.b]\nc = 1\n[a]\nd = true\n", ("a", "d"), 4),
        ("[a.b]\nc = 1\n[x]\ny = 1\n[a.e]\nf = true\n", ("a", "e", "f"), 6),
        ("[t]\na = 1\n", ("t", "b", "c"), 1),
        ("t = 1\na = 1\n", ("t", "b", "c"), 1),
        ('"a b" = 1\n"" = 2\n', ("",), 2),
        ("a = true", ("a",), 1),
    ],
)
def test_line(text, path, line):
    assert line_numbers(text, [path]) == {path: line}


def test_many_paths_are_found_together_and_share_lines():
    text = "x = 1\n[band]\nlowest = 1\n[[antenna]]\nlabel = 1\n"
    paths = {("x",): 1, ("band",): 2, ("band", "lowest"): 3, ("band", "gone"): 2, ("antenna", 0): 4}
    assert line_numbers(text, paths) == paths


def test_members_of_a_list_are_on_the_line_where_it_starts():
    text = "a = 1\nantenna = [\n {label = 1},\n {label = 2},\n]\n"
    assert line_numbers(text, [("antenna", 1, "label")])["antenna", 1, "label"] in (2, 4)


@pytest.mark.parametrize("text", ["", "a = [", "a = 1\na = 2\n", "[" * 5000, "a = 1\n" + "#" * 300_000])
def test_no_line_where_there_is_none(text):
    assert line_numbers(text, [("b",)]) == {}


def test_lines_in_the_middle_of_the_real_thing():
    text = bad.TWO + '[control]\n# the long one\nlength = "5 km"\n\n[order]\nboards = 0\n'
    with pytest.raises(InputError) as caught:
        read_text(text, "board.toml")
    assert str(caught.value).splitlines()[0].startswith("board.toml:10: control.length: ")
    assert str(caught.value).splitlines()[1].startswith("board.toml:13: order.boards: ")
