"""boardgen explore as a user has it: what it writes and says, what it keeps, and how it goes on after a stop."""

import json

import pytest

from boardgen.spec.load import load

FOLDER = "output/Larkfield two-way explored"
WORDS = ("explore", "board.toml", "--over", "switching.idle=open", "--workers", "1")
pytestmark = pytest.mark.slow


@pytest.fixture
def walked(user):
    user.start("two-way")
    return user, user.good(*WORDS)


def test_it_writes_a_table_a_document_and_a_plot_and_says_what_a_step_buys(walked):
    user, said = walked
    assert {path.name for path in (user.here / FOLDER).iterdir()} == {
        "explored.csv", "explored.json", "explored.svg", "manifest.json",
    }  # fmt: skip
    assert "2 boards laid out and judged" in said
    assert "1   as specified" in said.replace("1  as", "1   as")
    assert max(map(len, said.splitlines())) <= 80
    assert not list((user.here / "output").glob("*.jsonl"))
    document = json.loads((user.here / FOLDER / "explored.json").read_bytes())
    assert [board["keys"] for board in document["boards"]] == [{}, {"switching.idle": "open"}]


def test_a_board_is_kept_as_a_specification_with_its_comments(walked):
    user, _ = walked
    document = json.loads((user.here / FOLDER / "explored.json").read_bytes())
    number = next(board["number"] for board in document["boards"] if board["keys"])
    user.good(*WORDS, "--keep", str(number))
    kept, first = user.here / f"board-{number}.toml", user.here / "board.toml"
    assert load(kept) == load(first, {"switching.idle": "open"})
    assert kept.read_text().splitlines()[0] == first.read_text().splitlines()[0]
    assert "exists already" in user.refused(*WORDS, "--keep", str(number))
    assert "none of the boards listed" in user.refused(*WORDS, "--keep", "99")


def test_it_goes_on_where_it_was_stopped_and_starts_anew_for_other_inputs(user):
    """A line of what was made is spoilt on purpose: what is taken up shows, and what is not is made again."""
    user.start("two-way")
    so_far = user.here / f"{FOLDER} so far.jsonl"
    user.good(*WORDS)
    whole = (user.here / FOLDER / "explored.csv").read_bytes()
    so_far.write_bytes(b"of other inputs\n{}\n")
    user.good(*WORDS)
    assert (user.here / FOLDER / "explored.csv").read_bytes() == whole
    assert not so_far.exists()
