"""What a station takes beside its boards, counted by hand."""

from decimal import Decimal

import pytest

from boardgen.request import Request
from boardgen.station.needs import beside, of_board, with_allowance
from tests.station.made_stations import box_design, station


def made(feeders, *, source=None, control=None, selector=None):
    """Two boxes of two ways with these feeder keys, and what they take beside their boards: needs by note, problems."""
    control = {"cable": "24 AWG", "conductors": 8, "length": "75 m", **(control or {})}
    boxes = [(name, box_design(2), control) for name in feeders]
    directions = [(f"{name} {n}", f"{name}/way {n}", None) for name in feeders for n in (1, 2)]
    design = station(boxes, directions, source=source)
    requests = {}
    for name, request in design.requests.items():
        feeder = request.spec.feeder.model_copy(update=feeders[name])
        requests[name] = Request(request.spec.model_copy(update={"feeder": feeder}), request.catalogue)
    own = selector(design) if selector else None
    return design, beside(design.plan, requests, own, design.station.steering, design.diode, design.fuse)


def quantities(found):
    totals = {}
    for need in found.needs:
        totals[need.part.number] = totals.get(need.part.number, 0) + need.per_board
    return totals


TWO = {"dune": {"cable": "RG-6 copper centre", "length": 150.0}, "heath": {"cable": "RG-11 foam", "length": 120.0}}


def test_cables_plugs_diodes_and_one_fuse():
    """Two boxes of two: the rest feeder needs no relay, so the other box's two outputs share one by two diodes."""
    design, found = made(TWO)
    fuse = design.fuse.number
    assert quantities(found) == {
        "data cable 4 pairs 24 AWG, solid copper, for direct burial": Decimal(2 * 82),  # 75 + 3.75 + 3, rounded up
        "coax RG-6, solid copper centre": Decimal(161),  # 150 + 7.5 + 3
        "coax RG-11, foam dielectric": Decimal(129),
        "F plug, watertight, for RG-6": 2,
        "F plug, watertight, for RG-11": 2,
        "1N4007": 2,
        fuse: 1,
        "inline fuse holder 5 x 20 mm": 1,
    }
    assert found.problems == ()
    spared = {need.part.number for need in found.needs if need.spare}
    assert {"1N4007", fuse} < spared
    assert not [n for n in found.needs if n.unit == "m" and n.spare], "the allowance is there already"
    assert all("assumed" in need.note for need in found.needs if need.unit == "m")


def test_a_feeder_without_a_cable_is_told_and_the_rest_is_ordered():
    _, found = made({"dune": {}, "heath": TWO["heath"]})
    (problem,) = found.problems
    assert (problem.severity, problem.place.key) == ("warning", "box[1]")
    assert 'the feeder of "dune" has no cable by name' in problem.sentence
    assert quantities(found)["F plug, watertight, for RG-11"] == 2


def test_what_the_catalogue_lacks_is_still_needed():
    control = {"cable": "93.8 ohm/km", "conductors": 10, "cables": 2}
    _, found = made(TWO, control=control)
    (cable,) = {need.part for need in found.needs if need.note.startswith("control cable")}
    assert (cable.number, cable.unit) == ("control cable 10 x 93.8 ohm/km", "m")
    assert quantities(found)[cable.number] == 4 * 82
    assert "Not in the catalogue" in cable.verify[0]


@pytest.mark.parametrize(
    ("poles", "outputs", "number"),
    [
        (1, 5, "rotary switch 1 pole 12 positions, break before make"),
        (2, 5, "rotary switch 2 poles 6 positions, break before make"),
        (2, 6, "rotary switch 2 poles 6 positions, break before make"),
        (2, 7, "rotary switch 2 poles 12 positions, two wafers, break before make"),
        (1, 30, "rotary switch 1 pole 30 positions, break before make"),
    ],
)
def test_the_least_switch_with_a_position_for_off(poles, outputs, number):
    """Four directions take four positions, and off a fifth."""
    _, found = made(TWO, source={"kind": "manual switch", "poles": poles, "outputs": outputs})
    assert [need.part.number for need in found.needs if need.part.kind == "switch"] == [number]


def test_fifty_ohm_ends_are_bnc_and_a_jack_has_a_plug():
    def selector(design):
        return next(iter(design.requests.values()))

    cable = {"cable": "RG-58C", "length": 0.0}
    _, found = made({"dune": cable, "heath": cable}, selector=selector)
    assert quantities(found)["F plug, watertight, for RG-58"] == 4, "the boxes are of 75 ohm"
    assert "coax RG-58C/U" not in quantities(found)


def test_a_board_of_a_station_brings_no_fuse_of_its_own():
    needs = box_design(2).needs
    left = of_board(needs)
    gone = {need.part.kind for need in needs} - {need.part.kind for need in left}
    assert gone == {"cable fuse"}
    assert len(needs) - len(left) == 2
    assert "hardware-fuse-holder" not in {need.part.key for need in left}


def test_the_allowance_is_rounded_up_to_whole_metres():
    assert [with_allowance(x) for x in (0.0, 0.5, 20.0, 100.0, 1999.9)] == [3, 4, 24, 108, 2103]
