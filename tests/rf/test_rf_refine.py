"""Refinement by prediction: the change that makes the targets hold, or the reason why none does."""

import re
from pathlib import Path

import pytest

from boardgen.cli.app import main
from boardgen.cli.decided import decided
from boardgen.design import make_design
from boardgen.request import Request
from boardgen.rf import refine as refinement
from boardgen.rf.candidate import least_missed, nearest_to
from boardgen.rf.refine import refine
from boardgen.spec.load import load, read_text
from tests.rf.rf_boards import BOARDS, FED, catalogue, text

TEMPLATES = Path(__file__).resolve().parents[2] / "templates"


def refined(specification):
    """The board that refinement finds."""
    return refine(Request(read_text(specification), catalogue()))


def states(found):
    """State by target."""
    return {j.target: j.state for j in found.prediction.judged}


@pytest.mark.parametrize("name", ["two-way", "four-way", "eight-way"])
def test_default_targets_hold_with_the_assumed_copper(name):
    """On the plain templates nothing has to be changed."""
    found = refine(Request(load(TEMPLATES / f"{name}.toml"), catalogue()))
    assert found.taken == ()
    assert set(states(found).values()) == {"met"}


@pytest.mark.parametrize("name", ["four-way-feeds", "four-way-472-khz", "four-way-cascaded"])
def test_other_templates_are_refined_until_they_hold(name):
    """The change is named, and the rules of sizing hold as before."""
    request = Request(load(TEMPLATES / f"{name}.toml"), catalogue())
    found = refine(request)
    assert set(states(found).values()) == {"met"}
    assert [p.id for p in found.problems if p.id.startswith("R00")] == ["R002 refined"] * len(found.taken)
    assert not [p for p in found.prediction.choices.problems if p.severity == "shortfall"]


def test_a_pinned_core_stays():
    """The specification wins; what else would help is taken instead or said."""
    pinned = text([FED, ""], 'feed_arrangement = "local rail"') + '[parts]\ncore = "core-73-202"\n'
    found = refined(pinned)
    transformer = next(c for c in found.prediction.netlist.of_kind("core") if c.subject.strip == "way 1")
    assert transformer.part.key == "core-73-202"
    assert found.prediction.request.spec.switching.feed_arrangement == "local rail"


def test_a_stated_key_stays_and_is_named():
    """One relay was asked for, two would do."""
    found = refined(text(["", ""], "relays_in_series = 1") + '[targets]\nisolation = "85 dB"\n')
    assert found.prediction.request.spec.switching.relays_in_series == 1
    assert states(found)["isolation"] == "falls short"
    note = next(p for p in found.problems if p.id == "R003 would help")
    assert "relays_in_series = 2" in note.found
    assert note.place.key == "switching.relays_in_series"


def test_turns_that_are_stated_stay_and_others_are_found_by_prediction():
    """Return loss wants a turn more; who writes 0 gets another core instead, and who writes 2 has two."""
    asked = '[targets]\nreturn_loss = "27.2 dB"\ncommon_mode = "1 kohm"\n'
    turns, extra = {}, {}
    for switching in ("", "extra_turns = 0", "extra_turns = 2"):
        found = refined(text(["", ""], switching) + asked)
        assert states(found)["return_loss"] == "met"
        turns[switching] = next(c.chosen for c in found.choices.values if c.role == "turns")
        extra[switching] = found.prediction.request.spec.switching.extra_turns
    assert extra == {"": 1, "extra_turns = 0": 0, "extra_turns = 2": 2}
    assert turns["extra_turns = 2"] == turns[""] + 1


def test_a_second_relay_is_advised_where_nothing_was_stated():
    """The same target, nothing said: the board stays what it is, and the advice has its figure."""
    found = refined(text(["", ""]) + '[targets]\nisolation = "85 dB"\n')
    assert found.prediction.request.spec.switching.relays_in_series == 1
    assert states(found)["isolation"] == "falls short"
    note = next(p for p in found.problems if p.id == "R003 would help")
    assert note.found.startswith("with relays_in_series = 2 every judged target would hold: isolation is better than")
    assert "couplings between the strips of a laid board leave 60 to 80 dB" in note.found
    assert 'refine = "all"' in note.hint


def test_another_feed_is_advised_with_the_choke_that_it_would_be_refined_to():
    """A plain feed spoils the breaker; alone the other arrangement is no cure, refined as it would be it is."""
    asked = text([FED, FED, ""], 'feed_arrangement = "{}"') + '[parts]\ncore = "core-73-202"\n'
    found = refined(asked.format("plain"))
    assert states(found)["common_mode"] == "falls short"
    note = next(p for p in found.problems if p.place.key == "switching.feed_arrangement")
    assert "every judged target would hold" in note.found
    choked = refined(asked.format("common-mode choked"))
    assert set(states(choked).values()) == {"met"}
    taken = [change.words for one in choked.taken for change in one.after.taken]
    assert taken
    assert all(words in note.found for words in taken)


def test_two_relays_where_the_specification_leaves_it_open():
    """The same target, with leave to change everything."""
    found = refined(text(["", ""], 'refine = "all"') + '[targets]\nisolation = "85 dB"\n')
    note = next(p for p in found.problems if p.id == "R002 refined")
    assert note.hint == "Write relays_in_series = 2 under [switching] to keep it."
    assert states(found)["isolation"] == "met"
    assert found.prediction.request.spec.switching.relays_in_series == 2


@pytest.mark.slow
def test_less_loss_is_found():
    """More turns or another core."""
    specification = BOARDS["default"] + '[targets]\ninsertion_loss = "0.3 dB"\ncommon_mode = "1 kohm to 3.5 MHz"\n'
    assert states(refined(specification))["insertion_loss"] == "met"
    plain = make_design(Request(read_text(specification), catalogue()))
    assert next(j for j in plain.prediction.judged if j.target == "insertion_loss").state == "falls short"


@pytest.mark.slow
def test_what_cannot_hold_is_said_with_numbers(tmp_path, capsys):
    """Exit 1 and one paragraph."""
    path = tmp_path / "board.toml"
    path.write_text(BOARDS["default"] + '[targets]\ncommon_mode = "3 kohm"\n')
    assert main(["values", str(path)]) == 1
    printed = capsys.readouterr().out
    assert "wanted is at least 3 kohm" in printed
    assert "It holds up to" in printed
    assert "% more makes it worse by" in printed
    assert re.search(r"^isolation .* met$", printed, re.MULTILINE)
    assert "targets, before layout" in printed


@pytest.mark.slow
def test_what_holds_as_laid_out_is_not_called_out_of_reach():
    """The copper that is assumed is worse than the board's own: one verdict, from the copper that there is."""
    asked = text(
        ["", ""],
        'braid_breakers = "none"\nidle = "open"\nrelays_in_series = 1',
        "surge = false",
        band='lowest = "3.5 MHz"\nhighest = "28 MHz"\nimpedance = "50 ohm"',
    )
    request = Request(read_text(asked + '[targets]\nisolation = "20 dB"\n'), catalogue())
    before, laid = (make_design(request, predicted=True, laid_out=laid_out) for laid_out in (False, True))
    assert "R005 targets" in {p.id for p in before.problems}
    assert {j.state for j in laid.prediction.judged} <= {"met", "not judged"}
    assert not {"R001 target", "R003 would help", "R005 targets"} & {p.id for p in laid.problems}


AWG_26_ONLY = '[parts]\nwire = "wire-awg26"\n'


def test_no_part_is_changed_for_less_than_a_quarter_of_the_bound():
    """Two other cores would just hold the target: that lies within what nobody knows, and is told."""
    found = refined(text(["", "", "", ""]) + AWG_26_ONLY + '[targets]\ncommon_mode = "4.3 kohm to 3.5 MHz"\n')
    assert found.taken == ()
    told = [p for p in found.problems if p.id == "R003 would help"]
    assert "less than a quarter of what the figure may be off" in told[0].found
    verdict = next(v for v in found.prediction.verdicts if v.judged.target == "common_mode")
    bettered = next(a.candidate for a in found.advice if a.too_little)
    gain = next(j for j in bettered.judged if j.target == "common_mode").achieved - verdict.bound.nominal
    assert 0 < gain < 0.25 * (verdict.bound.nominal - verdict.bound.lowest)


HOPELESS = text(["", ""], "relays_in_series = 1") + '[targets]\ncommon_mode = "40 kohm"\nisolation = "120 dB"\n'


def test_a_hopeless_search_stops_at_a_stated_number_and_tells_how_far_it_is(monkeypatch):
    monkeypatch.setattr(refinement, "MOST_TRIED", 12)
    told = []
    found = refine(Request(read_text(HOPELESS), catalogue()), tell=told.append)
    assert told[:11] == [f"board {number} of at most 12" for number in range(2, 13)]
    assert len(found.tried) == 12
    assert "12 boards were tried before layout" in next(p for p in found.problems if p.id == "R005 targets").found


def test_of_many_boards_the_nearest_is_found_by_few_whole_predictions(monkeypatch):
    monkeypatch.setattr(refinement, "MOST_TRIED", 24)
    tried = refined(HOPELESS).tried
    first, *others = tried
    whole = [t for t in others if "judged" in t.__dict__]
    assert len(whole) < len(others) / 2
    assert next(least_missed(tried)).missed == min(t.missed for t in tried)
    for target in ("common_mode", "isolation"):
        margins = [next(j.margin for j in t.judged if j.target == target) for t in tried]
        assert tried.index(nearest_to(target, tried)) == margins.index(max(margins))
        assert all(t.missed_at_least <= t.missed + 1e-9 for t in tried)
    assert first.missed_at_least == 0


def test_what_is_taken_tells_what_it_bought_and_cost():
    specification = BOARDS["default"] + '[targets]\ninsertion_loss = "0.3 dB"\ncommon_mode = "1 kohm to 3.5 MHz"\n'
    found = refined(specification)
    told = next(p for p in found.problems if p.id == "R002 refined")
    for word in ("insertion loss 0.406 dB -> ", "common-mode impedance 4.16 kohm -> ", "next best: "):
        assert word in told.found


def test_what_a_board_would_do_is_a_target_that_it_meets():
    asked = text(["", "", "", ""]) + AWG_26_ONLY + "[targets]\n"
    found = refined(asked + 'common_mode = "5 kohm to 3.5 MHz"\n')
    less = next(p for p in found.problems if p.id == "R007 less")
    target = less.found.removeprefix("asked for ").split(" or ", maxsplit=1)[0]
    assert states(refined(asked + target + "\n"))["common_mode"] == "met"


@pytest.mark.slow
def test_copper_that_may_decide_is_laid_out_whichever_command_asks():
    """The target lies between what assumed copper and the board's own give: one board, as laid out."""
    asked = Request(read_text(text(["", ""]) + '[targets]\ncommon_mode = "3.95 kohm to 3.5 MHz"\n'), catalogue())
    assert refine(asked).copper_decides
    plain, laid = decided(asked), make_design(asked, predicted=True, laid_out=True)
    assert plain.choices == laid.choices
    assert plain.prediction.judged == laid.prediction.judged
    assert not refine(Request(read_text(text(["", ""])), catalogue())).copper_decides
