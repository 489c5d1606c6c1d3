"""Whatever stands in a file, reading it gives a specification or an InputError."""

import json

from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec import to_builtins

from boardgen.model.problem import InputError
from boardgen.spec.load import read_text
from boardgen.spec.strip import strips
from tests.spec import bad
from tests.spec.good import FULL
from tests.spec.plain import dump

PIECES = st.sampled_from(
    [
        *(
            "[",
            "]",
            "[[",
            "]]",
            "=",
            '"',
            "'",
            '"""',
            "\n",
            "\r",
            ".",
            ",",
            "{",
            "}",
            "#",
            "\\",
            " ",
            "\t",
            "\x00",
            "\ufeff",
        ),
        *(
            "antenna",
            "band",
            "lowest",
            "label",
            "order",
            "[band]",
            "[[antenna]]",
            "[antenna]",
            '"1.8 MHz"',
            "true",
            "1",
        ),
        *(
            "nan",
            "inf",
            "1e999",
            "0x1f",
            "2024-01-01",
            "12:00:00",
            "[]",
            "{}",
            "a.b",
            "Ω",
            "北",
            "\u202e",
            '"160 m"',
            "-1",
        ),
    ]
)


def check(text, overrides=None):
    try:
        spec = read_text(text, "board.toml", overrides or {})
    except InputError as error:
        check_problems(error.problems, text)
        return
    json.dumps(dump(spec), allow_nan=False)
    names = [strip.name for strip in strips(spec)]
    assert len({name.casefold() for name in names}) == len(names)


def check_problems(problems, text):
    assert problems
    for problem in problems:
        assert problem.sentence.isprintable()
        assert problem.place.line is None or 1 <= problem.place.line <= text.count("\n") + 1
        json.dumps(to_builtins(problem))


@given(st.lists(PIECES, max_size=40).map("".join) | st.text(max_size=100))
def test_toml_like_text(text):
    check(text)


@given(st.data())
@settings(max_examples=300, deadline=None)
def test_a_good_specification_with_cuts_and_insertions(data):
    text = FULL
    for _ in range(data.draw(st.integers(1, 4))):
        start = data.draw(st.integers(0, len(text)))
        length = data.draw(st.integers(0, 30))
        text = text[:start] + data.draw(PIECES | st.just("")) + text[start + length :]
    check(text)


@given(st.data())
@settings(max_examples=200, deadline=None)
def test_a_good_specification_with_its_lines_changed(data):
    lines = FULL.splitlines()
    for _ in range(data.draw(st.integers(1, 5))):
        at = data.draw(st.integers(0, len(lines) - 1))
        match data.draw(st.sampled_from(["drop", "move", "value", "copy"])):
            case "drop":
                lines[at] = ""
            case "move":
                lines.insert(data.draw(st.integers(0, len(lines))), lines.pop(at))
            case "value":
                value = data.draw(
                    PIECES | st.integers().map(str) | st.floats().map(repr) | st.text(max_size=9).map(json.dumps)
                )
                lines[at] = f"{lines[at].partition('=')[0]} = {value}"
            case "copy":
                lines.insert(at, lines[at])
    check("\n".join(lines))


@given(st.dictionaries(st.text(max_size=20) | PIECES, st.text(max_size=20), max_size=3))
def test_any_override(overrides):
    check(bad.GOOD, overrides)


NAMES = st.sampled_from(["band", "antenna", "output", "control", "parts", "targets", "order", "title", "x"])


@given(NAMES, st.integers(2, 60))
def test_deep_values_anywhere(name, depth):
    check(f"{name} = " + "[" * depth + "]" * depth)
    check(f"{name}" + ".a" * depth + " = 1\n" + bad.GOOD)
