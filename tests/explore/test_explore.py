"""Choices of a small board side by side: what is walked, that nothing unbeaten is missing, and what is said of it."""

import pickle
from concurrent.futures import Executor, Future, ProcessPoolExecutor
from dataclasses import dataclass
from functools import cache
from itertools import product

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from boardgen.appraisal import appraise, gained
from boardgen.design import make_design
from boardgen.documents.comparison import conclusion
from boardgen.documents.explored import beaten_by, exploration, explored_csv, heading, rows, steps
from boardgen.explore.options import Key, Option, Override, combinations, named, weighed
from boardgen.explore.unbeaten import covers, unbeaten
from boardgen.explore.walk import Asked, Explored, boards, explored, texts, walk
from boardgen.model.problem import InputError
from boardgen.request import Request
from boardgen.spec.lines import SpecText
from boardgen.spec.load import read_text
from boardgen.spec.rewrite import with_overrides
from tests.catalogue.shipped import CATALOGUE

TEXT = """# of a test
[band]
lowest = "1.8 MHz"   # the top band
highest = "10.15 MHz"
[[antenna]]
label = "a"
[[antenna]]
label = "b"
"""
OPTIONS = (
    Option(Key("switching", "relays_in_series"), ("1", "2")),
    Option(Key("switching", "idle"), ("open",)),
    Option(Key("switching", "braid_breakers"), ("all", "output")),
)


class Inline(Executor):
    """Does the work at once in this process."""

    def submit(self, do, /, *given, **named_ones):
        future = Future()
        future.set_result(do(*given, **named_ones))
        return future


def asked(text=TEXT):
    return Asked(Request(read_text(text), CATALOGUE, source=SpecText("a.toml", text)), (), None)


@cache
def walked():
    """Eight boards."""
    return tuple(walk(asked(), boards(asked(), OPTIONS), Inline(), {}, lambda _: None))


@pytest.fixture(scope="module", autouse=True)
def made():
    """They are made once for all tests."""
    walked()


@cache
def own_design():
    return make_design(asked().request)


def found():
    return exploration(own_design(), walked())


def test_what_the_specification_has_already_is_passed_over():
    wanted = boards(asked(), OPTIONS)
    assert wanted[0] == ()
    assert len(wanted) == len(set(wanted)) == 8
    assert all(Override(Key("switching", "relays_in_series"), "1") not in overrides for overrides in wanted)


def test_every_combination_is_there_once():
    made = list(combinations([Option(Key("a", "b"), ("1", "2")), Option(Key("c", "d"), ("3",))]))
    assert made[0] == ()
    assert len(made) == len(set(made)) == 6
    assert (Override(Key("a", "b"), "2"), Override(Key("c", "d"), "3")) in made


@pytest.mark.parametrize("value", ["switching.idle", "idle=open", "switching.idle=", "a.b.c=1"])
def test_what_is_named_otherwise_is_refused_all_at_once(value):
    with pytest.raises(InputError) as raised:
        named(["switching.idle=open", value, "switching.idle=terminated"])
    assert [problem.found for problem in raised.value.problems] == [value, "switching.idle=terminated"]
    assert all("KEY=VALUE" in problem.wanted for problem in raised.value.problems)


@pytest.mark.parametrize(
    "option", [Option(Key("switching", "idel"), ("open",)), Option(Key("switching", "idle"), ("opne",))]
)
def test_a_key_or_value_that_is_faulty_by_itself_is_refused(option):
    with pytest.raises(InputError) as raised:
        boards(asked(), [option])
    assert raised.value.problems[0].place.key == option.key.dotted


@pytest.mark.slow
def test_a_board_that_no_specification_may_ask_for_is_told_with_its_reason():
    """A rest port has changeover relays, which leave what is idle open."""
    option = Option(Key("switching", "rest"), ("a",))
    with_two = Option(Key("switching", "relays_in_series"), ("2",))
    made = list(walk(asked(), boards(asked(), [option, with_two]), Inline(), {}, lambda _: None))
    refused = [board for board in made if board.refused]
    assert len(made) == 4
    assert refused
    assert "cannot be made" in " ".join(heading(exploration(own_design(), made)))


def test_what_is_weighed_unasked_has_no_part_that_is_taken_and_no_feed_without_one():
    request = asked().request
    options = {option.key.dotted: option.values for option in weighed(request, {"core-73-202"})}
    assert "core-73-202" not in options["parts.core"]
    assert options["parts.core"]
    assert "switching.feed_arrangement" not in options
    fed = asked(TEXT.replace('label = "b"', 'label = "b"\nfeed = "12 V 60 mA"')).request
    assert "switching.feed_arrangement" in {option.key.dotted for option in weighed(fed, ())}
    pinned = asked(TEXT + '[parts]\ncore = "core-73-202"\n').request
    assert "parts.core" not in {option.key.dotted for option in weighed(pinned, ())}


@pytest.mark.slow
def test_two_processes_give_the_same_answer_and_what_is_done_is_not_made_again():
    wanted = boards(asked(), OPTIONS)
    told = []
    with ProcessPoolExecutor(2) as pool:
        done = {board.overrides: board for board in walked()[:6]}
        made = tuple(walk(asked(), wanted, pool, done, told.append))
    assert made == walked()
    assert {board.overrides for board in told} == {board.overrides for board in walked()[6:]}


def test_a_board_survives_being_written_down():
    assert msgspec.json.decode(msgspec.json.encode(walked()), type=tuple[Explored, ...]) == walked()


def better_in_nothing(one, other):
    """An enumeration of its own: whether nothing of the first is better than of the second."""
    figures = list(zip(one.verdicts, other.verdicts, strict=True))
    for mine, theirs in figures:
        width = max(v.bound.highest - v.bound.lowest for v in (mine, theirs))
        top = {"isolation": 90.0}.get(mine.judged.target, float("inf"))
        change = min(mine.judged.achieved, top) - min(theirs.judged.achieved, top)
        if mine.judged.target == "insertion_loss":
            change = -change
        if change > max(width / 4, 0.05 * (mine.judged.unit == "dB")):
            return False
    if min(one.conversion_db, 80) - min(other.conversion_db, 80) > 1:
        return False
    return one.features.breakers <= other.features.breakers


def test_nothing_unbeaten_is_missing():
    listed = [board.appraisal for board in unbeaten(walked())]
    sound = [board.appraisal for board in walked() if all(v.state != "falls short" for v in board.appraisal.verdicts)]
    assert 1 < len(listed) < len(sound) + 1
    for one in sound:
        assert any(
            better_in_nothing(one, other)
            and other.board_value <= one.board_value
            and other.handwork_h <= one.handwork_h * 1.03
            and other.area_m2 <= one.area_m2 * 1.03
            for other in listed
        )


@dataclass(frozen=True)
class Move:
    """By how much a made-up board differs from a real one."""

    money: int
    hours: int
    isolation: int


@given(st.lists(st.builds(Move, *[st.integers(-3, 3)] * 3), min_size=1, max_size=12))
def test_whatever_is_left_out_has_a_listed_board_that_covers_it(moves):
    base = walked()[0].appraisal
    made = [Explored((Override(Key("n", "n"), str(n)),), _moved(base, move)) for n, move in enumerate(moves)]
    listed = unbeaten(made)
    sound = [b for b in made if not b.appraisal.falls_short] or made
    assert all(any(covers(other.appraisal, one.appraisal) for other in listed) for one in sound)
    costs = [board.appraisal.board_value for board in listed]
    assert costs == sorted(costs)


def _moved(base, move):
    verdicts = tuple(
        replace(v, judged=replace(v.judged, achieved=v.judged.achieved + 2 * move.isolation))
        if v.judged.target == "isolation"
        else v
        for v in base.verdicts
    )
    return replace(
        base, verdicts=verdicts, board_value=base.board_value + move.money + 10, winding_h=2 + 0.2 * move.hours
    )


def test_a_second_relay_is_told_with_what_it_buys_and_while_it_is_not_needed():
    told = dict(steps(found()))
    second = next(words for words in told.values() if "a second relay in series" in words)
    assert "gains isolation" in second
    assert "CAD of parts a board" in second
    assert "not needed while isolation" in second


def test_a_board_that_leaves_a_target_nothing_to_judge_does_not_meet_it():
    own = walked()[0].appraisal
    bare = tuple(replace(v, state="not judged") if v.judged.target == "common_mode" else v for v in own.verdicts)
    cheaper = replace(own, verdicts=bare, board_value=own.board_value - 1)
    other = Explored((Override(Key("switching", "braid_breakers"), "none"),), cheaper)
    assert unbeaten((walked()[0], other)) == walked()[:1]


def test_a_board_that_misses_a_rule_is_beaten_by_none_and_not_listed():
    """A relay that does not pull in at the end of the cable, the cheaper one."""
    text = TEXT + '[control]\nsupply = "12 V"\nlength = "2 km"\n'
    design = make_design(replace(asked().request, spec=read_text(text, overrides={"parts.relay": "relay-hfd2-12-m"})))
    assert appraise(design).missed_rules == ("V150 relay voltage",)
    own = walked()[0].appraisal
    weak = replace(own, missed_rules=("V150 relay voltage",), board_value=own.board_value - 1)
    other = Explored((Override(Key("parts", "relay"), "relay-hfd2-12-m"),), weak)
    assert unbeaten((walked()[0], other)) == walked()[:1]
    assert conclusion(own, weak) == "not worth it: V150 relay voltage would no longer be met as before"
    assert conclusion(weak, own).startswith("worth it for V150 relay voltage")


def test_boards_that_differ_in_keys_without_a_use_are_made_once():
    """Without braid breakers no core is wound, and of open antennas none is terminated."""
    options = (
        Option(Key("switching", "braid_breakers"), ("none",)),
        Option(Key("switching", "idle"), ("open",)),
        Option(Key("switching", "termination"), ("single",)),
        Option(Key("switching", "extra_turns"), ("1",)),
        Option(Key("parts", "core"), ("core-43-202",)),
    )
    wanted = boards(asked(), options)
    with_breakers, without = 3 * 2 * 2, 2
    assert len(wanted) == with_breakers + without
    made = [explored(pickle.dumps(asked()), overrides) for overrides in (wanted[-1], _all_of(options))]
    assert made[0].appraisal == made[1].appraisal


def _all_of(options):
    """The board with the last value of each."""
    return tuple(Override(option.key, option.values[-1]) for option in options)


def test_a_step_back_to_what_is_specified_names_the_part():
    other = replace(walked()[1], overrides=(Override(Key("parts", "relay"), "relay-hfd2-12-m"),))
    assert found().step_words(other, walked()[0]) == "relay TQ2-12V"
    assert found().words(other.overrides) == "relay HFD2/012-M"


def test_fewer_braid_breakers_are_never_as_good():
    one, other = (
        walked()[0].appraisal,
        next(b.appraisal for b in walked() if texts(b.overrides) == {"switching.braid_breakers": "output"}),
    )
    assert [(g.figure, g.amount) for g in gained(other, one) if g.unit == "ports"] == [("braid breakers", 2)]
    assert not covers(other, one)


def test_every_board_stands_in_the_table_with_the_figures_that_are_told():
    lines = explored_csv(found()).decode().splitlines()
    assert len(lines) == 1 + len(walked())
    heads = lines[0].split(",")
    own = dict(zip(heads, lines[1].split(","), strict=True))
    isolation = walked()[0].appraisal.verdicts[2].bound
    assert float(own["isolation_lowest_db"]) == pytest.approx(isolation.lowest, rel=1e-5)
    numbers = {row[0].rstrip("*") for row in rows(found())} - {""}
    assert {line.split(",")[0] for line in lines[1:]} - {""} == numbers


def test_the_board_as_specified_is_told_where_another_beats_it():
    walked_ones = found()
    own = walked_ones.own
    cheaper = replace(
        own, overrides=(Override(Key("switching", "idle"), "open"),), appraisal=replace(own.appraisal, parts=1)
    )
    made = exploration(own_design(), (own, cheaper))
    assert made.listed == (own,)
    free = replace(cheaper, appraisal=replace(cheaper.appraisal, board_value=own.appraisal.board_value - 1))
    assert beaten_by(exploration(own_design(), (own, free))) == "the board as specified is beaten by 1"


@pytest.mark.parametrize(("first", "second"), list(product(("1", "2"), ("open", "terminated"))))
def test_a_specification_that_is_kept_has_the_keys_and_all_comments(first, second):
    overrides = {"switching.relays_in_series": first, "switching.idle": second, "band.lowest": "472 kHz"}
    text = with_overrides(TEXT, overrides)
    assert read_text(text) == read_text(TEXT, overrides=overrides)
    assert text.startswith("# of a test\n")
    assert "# the top band" in text
