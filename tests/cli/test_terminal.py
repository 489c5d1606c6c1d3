"""What is printed: blank lines where they are meant, and nothing that steers a terminal."""

import pytest

from boardgen.cli import terminal
from boardgen.cli.app import main
from boardgen.model.problem import Place, Problem


def test_a_heading_may_begin_with_a_blank_line_and_a_problem_has_one_line(capsys):
    terminal.print_problems("\nto know:", [Problem("x", "note", Place("a.csv", 3), "one\ntwo\x1b[2J")])
    assert capsys.readouterr().out == "\nto know:\n  a.csv:3: one\\u000atwo\\u001b[2J  [x]\n"


@pytest.mark.parametrize("steer", ["\x1b", "\x07", "\x9b", "\u202e", "\u2066", "\ufeff", "\U000e0041", "\r", "\t"])
def test_what_steers_a_terminal_is_spelled_out(capsys, steer):
    terminal.print_lines([f"a{steer}b"])
    terminal.print_table(["a"], [[f"a{steer}b"]])
    terminal.faults([Problem("x", "error", Place(f"{steer}.csv"), steer)])
    said = "".join(capsys.readouterr())
    assert steer not in said
    assert said.count(f"\\u{ord(steer):04x}") == 4


def test_letters_of_all_scripts_stay(capsys):
    words = "Süd 東 شمال क्‍ष \u200d 北\u00a0m²"
    terminal.print_lines([words])
    assert capsys.readouterr().out == words + "\n"


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["compare", "a.toml", "b.toml", "--picture", "x.png"], "It is written as SVG"),
        (["nope"], "station, prove and others. boardgen --help"),
    ],
)
def test_a_wrong_use_says_what_would_do(capsys, words, said):
    assert main(words) == 2
    assert said in capsys.readouterr().err
