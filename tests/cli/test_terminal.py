"""What is printed: blank lines where they are meant, and nothing that steers a terminal."""

import sys
from io import StringIO

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
        (["nope"], "and others. boardgen --help"),
        (["build", "a.toml", "--pfd"], "--pdf? boardgen build --help"),
    ],
)
def test_a_wrong_use_says_what_would_do(capsys, words, said):
    assert main(words) == 2
    assert said in capsys.readouterr().err


class Screen(StringIO):
    """Standard error on a terminal."""

    def isatty(self):
        return True


def test_a_long_step_tells_how_far_it_is(monkeypatch):
    monkeypatch.setattr(sys, "stderr", Screen())
    seconds = iter((0.0, 1.9, 2.1))
    monkeypatch.setattr(terminal, "monotonic", lambda: next(seconds))
    with terminal.progress("sizing", quiet=False) as tell:
        tell("board 9 of at most 250")
        tell("board 10 of at most 250")
    end = "\x1b[K"
    assert sys.stderr.getvalue() == f"\rsizing ...{end}\rsizing: board 10 of at most 250 ...{end}\r{end}"


@pytest.mark.parametrize(("stream", "quiet"), [(Screen, True), (StringIO, False)])
def test_nothing_is_told_of_a_step_where_nobody_looks(stream, quiet, monkeypatch):
    monkeypatch.setattr(sys, "stderr", stream())
    monkeypatch.setattr(terminal, "LONG_S", -1.0)
    with terminal.progress("sizing", quiet=quiet) as tell:
        tell("board 9 of at most 250")
    assert sys.stderr.getvalue() == ""


def test_a_step_whose_share_is_known_tells_the_time_left(monkeypatch):
    """A quarter took three seconds: nine are left. A log has a line after fifteen seconds, and none before."""
    for stream, said in ((Screen, "\rproving: state 1 of 4, 9 s left ...\x1b[K"), (StringIO, "")):
        monkeypatch.setattr(sys, "stderr", stream())
        seconds = iter((0.0, 3.0, 16.0))
        monkeypatch.setattr(terminal, "monotonic", lambda seconds=seconds: next(seconds))
        with terminal.progress("proving", quiet=False, logged=True) as tell:
            tell("state 1 of 4", 0.25)
            before = sys.stderr.getvalue()
            tell("state 2 of 4", 0.5)
        assert before.endswith(said) if said else before == ""
        if stream is StringIO:
            assert sys.stderr.getvalue() == "proving: state 2 of 4, 16 s left\n"
