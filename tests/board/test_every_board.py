"""Every combination of three options is connected and clean, from its geometry, with and without pour.

Covering arrays of strength three: two cells that meet, and what changes the one beside them, are three options.
"""

from __future__ import annotations

import pytest

from boardgen.kinds import KIND
from boardgen.model.problem import InputError
from boardgen.spec.template import with_ways
from tests.board.boards import CATALOGUE, made, made_text
from tests.board.independent_copper import read_back
from tests.circuit.options import ENTRY, SIGNAL, Options, covering

# what no option of the circuit says: how many strips stand side by side, and whether 0V is poured about them
LAID: Options = {"ways": (1, 2), "pour": (False, True)}
# signal paths and entries in one array: as many boards as the paths alone need. A jack has no drawing: refused below
BOARDS = covering({**SIGNAL, **ENTRY, **LAID, "entry": ("terminals", "studs")}, 3, seed=73)
SHARES = 6


def test_at_least_twenty_boards_are_read_back() -> None:
    assert len(BOARDS[::2]) >= 20


@pytest.mark.slow
@pytest.mark.parametrize("share", range(SHARES))
def test_every_three_options(share: int) -> None:
    """A share of neighbours, which have most of their cells in common; every second one is read back from its files."""
    for number in range(len(BOARDS) * share // SHARES, len(BOARDS) * (share + 1) // SHARES):
        option = BOARDS[number]
        layout, netlist, rules = made(option, 2 if option["ways"] == 2 else 1, option["pour"] is True)
        assert layout.faults == (), option
        assert layout.board.layout.names_astray == 0, option
        if number % 2 == 0:
            read_back(layout.board, netlist, rules)


@pytest.mark.slow
def test_an_earth_via_keeps_the_distance_of_a_surge() -> None:
    """Earth wiring that changes sides between the parts of a cell: a via is wider than its track."""
    option = {"feed": "plain", "braid_breakers": "antennas", "relays_in_series": 2, "idle": "open"}
    layout, _, _ = made(option | {"drive": "low side", "reverse": False}, 1, pour=False)
    assert layout.faults == ()


@pytest.mark.parametrize("earth_to_0v", ["gas tube", "linked", "open"])
def test_the_fence_below_the_stud_is_one_piece(earth_to_0v: str) -> None:
    """Without a braid breaker a short cell stands below the stud: too short for a via of its own."""
    option = {"braid_breakers": "none", "output_feed": True, "earth_to_0v": earth_to_0v}
    layout, _, _ = made(option, 2, pour=False)
    assert layout.faults == ()


@pytest.mark.parametrize("ways", range(1, 17))
def test_one_to_sixteen_ways(ways: int) -> None:
    for option in ({"feed": "local rail"}, {"relays_in_series": 2, "idle": "open", "surge": False}):
        layout, _, _ = made(option, ways, pour=ways % 2 == 0)
        assert layout.faults == (), (option, ways)


@pytest.mark.slow
@pytest.mark.parametrize("ways", range(2, 9))
def test_changeovers(ways: int) -> None:
    """A port at rest: the rails break at every relay, and each stretch meets the next strip's."""
    for option in ({"feed": "local rail"}, {"feed": "none", "surge": False, "braid_breakers": "none"}):
        layout, _, _ = made(option | {"rest": "way 1", "idle": "open"}, ways, pour=ways % 2 == 0)
        assert layout.faults == (), (option, ways)


def test_no_letter_lies_on_the_band_of_a_diode() -> None:
    """Sixteen ways of the eight-way template put designators inside diodes."""
    layout, _, _ = made_text(with_ways("eight-way", 16))
    assert layout.faults == ()


RELAYS = ("relay-tq2-12", "relay-tx2-12", "relay-hfd2-12-s", "relay-ds2e-12", "relay-im06")


@pytest.mark.parametrize("relay", RELAYS)
@pytest.mark.slow
@pytest.mark.parametrize("series", [1, 2])
def test_relay_patterns(relay: str, series: int) -> None:
    layout, netlist, _ = made({"relays_in_series": series, "feed": "local rail"}, 2, relay=CATALOGUE.part(relay))
    assert {c.part.key for c in netlist.of_kind("relay")} == {relay}
    assert layout.faults == ()


@pytest.mark.parametrize("entry", ["jack"])
def test_part_without_a_drawing_is_refused_by_name(entry: str) -> None:
    with pytest.raises(InputError) as raised:
        made({"entry": entry})
    (problem,) = raised.value.problems
    assert problem.id == "B001 pattern unknown"
    assert "jack-8p8c" in problem.found
    assert "--parts" in problem.wanted


def test_equal_strips_are_equal_under_translation() -> None:
    """What stands at the ends of the outer strips gives way to screws, and nothing else."""
    layout, netlist, _ = made({"feed": "none"}, 6)
    strips: dict[str, list[tuple[int, int, int]]] = {}
    inner: dict[str, list[tuple[int, int, int]]] = {}
    for part in layout.board.parts:
        subject = netlist.component[part.ref].subject
        place = (part.at[0], part.at[1], part.rotation)
        strips.setdefault(subject.strip, []).append(place)
        if not (KIND[part.kind].outside or subject.stage == "surge"):
            inner.setdefault(subject.strip, []).append(place)
    pitch = layout.board.layout.pitch_nm
    assert sorted(strips["way 4"]) == [(x + pitch, y, turn) for x, y, turn in sorted(strips["way 3"])]
    first = sorted(inner["way 1"])
    assert 2 * len(first) > len(strips["way 1"])
    for further in range(1, 6):
        assert sorted(inner[f"way {further + 1}"]) == [(x + further * pitch, y, turn) for x, y, turn in first]


def test_tracks_run_at_0_45_and_90_degrees_only() -> None:
    layout, _, _ = made({"feed": "common-mode choked", "relays_in_series": 2})
    for track in layout.board.tracks:
        dx, dy = abs(track.end[0] - track.start[0]), abs(track.end[1] - track.start[1])
        assert dx == 0 or dy == 0 or abs(dx - dy) <= 1, track


def test_the_same_netlist_gives_the_same_board() -> None:
    first, _, _ = made({"feed": "plain"})
    second, _, _ = made({"feed": "plain"})
    assert first == second
