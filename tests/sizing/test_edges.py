"""Rules just below and just above their numbers."""

from __future__ import annotations

import math

import pytest

from boardgen.model.choice import Subject
from boardgen.request import needed
from boardgen.sizing.choke import impedance
from boardgen.sizing.diode import reversed_line_a
from boardgen.sizing.winding import ratio_return_loss_db
from tests.sizing import own_arithmetic as own
from tests.sizing.own_network import ohm_per_m, warm
from tests.sizing.sized_boards import sized, text


def problems(specification: str) -> set[str]:
    return {problem.id.split()[0] for problem in sized(specification)[1].problems}


def test_a_feed_of_more_than_200_milliampere_can_keep_a_tube_lit() -> None:
    """Tubes are commonly tested to let go at 0.2 A: ITU-T K.12 (recalled)."""
    assert "V141" in problems(text(ports={0: {"feed": "12 V 202 mA"}}))
    assert "V141" not in problems(text(ports={0: {"feed": "12 V 198 mA"}}))


@pytest.mark.parametrize("drive", ["high side", "low side"])
def test_a_reversed_line_drives_its_current_through_a_diode_of_700_millivolt(drive: str) -> None:
    control = {"drive": drive, "cable": "93.8 ohm/km", "length": "100 m", "coldest": "-20 degC", "returns": 2}
    request, _ = sized(text(control=control, protection={"reverse": False}))
    conductor = warm(ohm_per_m("93.8 ohm/km"), -20) * 100
    loop = 2 * conductor if drive == "low side" else 1.5 * conductor
    assert reversed_line_a(request) == pytest.approx((14.0 - 0.7) / loop, rel=1e-3)


def test_copper_is_easy_to_make() -> None:
    """Signal tracks of 0.6 mm, others of at least 0.3 mm, clearances of at least 0.2 mm, widths in steps of 0.1 mm."""
    _, choices = sized(text(ports={0: {"feed": "12 V 60 mA"}}))
    told = {(c.role, c.subject.slot): c for c in choices.values if c.subject.stage == "copper"}
    assert told["track width", "signal"].achieved == pytest.approx(0.6e-3, rel=1e-9)
    assert told["track width", "control"].achieved == pytest.approx(0.3e-3, rel=1e-9)
    assert told["clearance", "control"].achieved == pytest.approx(0.2e-3, rel=1e-9)
    surge = told["track width", "surge"]
    assert surge.achieved == pytest.approx(math.ceil(surge.required / 0.1e-3) * 0.1e-3, rel=1e-9)
    assert told["track width", "signal"].required == pytest.approx(0.15e-3, rel=1e-9)


@pytest.mark.parametrize(("times", "word"), [(1.01, "which blows it"), (0.99, "which does not blow it")])
def test_a_far_short_blows_the_fuse_from_a_little_over_twice_its_rating(times: float, word: str) -> None:
    """2.1 times its rated current within two minutes: IEC 60127-2 (recalled)."""
    cable = Subject("", "control entry", "cable")
    _, choices = sized(text())
    rated_a = choices.choice("cable fuse", cable).achieved
    length_m = 13.2 / (2 * ohm_per_m("93.8 ohm/km") * 2.1 * rated_a * times)
    _, choices = sized(text(control={"cable": "93.8 ohm/km", "length": f"{length_m:.2f} m"}))
    assert choices.choice("cable fuse", cable).achieved == rated_a
    assert word in choices.choice("cable fuse", cable).next_limit


def test_no_core_is_wound_with_more_than_thirty_turns() -> None:
    _, choices = sized(text(lowest="100 kHz", highest="200 kHz", impedance=200, parts={"core": "core-73-2402"}))
    turns = [c for c in choices.values if c.role == "turns"]
    assert max(c.required for c in turns) > 30
    assert max(c.chosen for c in turns) == 30


def test_a_bleeder_is_judged_at_the_worst_of_one_per_cent() -> None:
    _, choices = sized(text())
    bleeder = choices.choice("bleeder", Subject("", "board", "bleeder"))
    assert bleeder.achieved == pytest.approx(0.99 * bleeder.chosen, rel=1e-9)


def test_a_bleeder_is_ten_times_a_high_common_mode_target() -> None:
    _, choices = sized(text(targets={"common_mode": "50 kohm"}))
    assert choices.choice("bleeder", Subject("", "board", "bleeder")).required == pytest.approx(500e3, rel=1e-9)


def test_a_feed_track_warms_by_ten_kelvin_at_all_feeds_and_a_coil() -> None:
    _, choices = sized(text(antennas=3, ports={n: {"feed": "12 V 2 A"} for n in range(3)}, control={"length": "1 m"}))
    # the fuse is 1.5 times all feeds and a coil
    ampere = choices.choice("cable fuse", Subject("", "control entry", "cable")).required / 1.5
    track = choices.choice("track width", Subject("", "copper", "feed"))
    assert track.required == pytest.approx(own.track_m(ampere), rel=2e-3)


def test_a_choke_without_a_stated_quality_has_one_of_thirty() -> None:
    request, _ = sized(text())
    part = next(p for p in request.catalogue.of_kind("choke") if needed(p, "inductance") and "quality" not in p.figures)
    # at its resonance nothing but the loss is left
    at_hz, henry = part.figures["self resonance"].value, part.figures["inductance"].value
    assert abs(impedance(part, at_hz, henry)) == pytest.approx(own.choke_ohm(part, at_hz, henry), rel=1e-3)


def test_a_ratio_without_loss_is_told_as_99_decibels() -> None:
    assert ratio_return_loss_db(6, 6, 75.0, 75.0) == 99.0
