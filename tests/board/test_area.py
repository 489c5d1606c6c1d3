"""The area of boards with every stage, against a fixed size of the same circuit, and what the program says sets it."""

from __future__ import annotations

import pytest

from boardgen.board import arrange, cell_layout
from boardgen.board.layout import Layout, size_in_words
from boardgen.board.parasitics import signal_coupling_f
from boardgen.spec.template import templates_folder
from tests.board.boards import made, made_text

REFERENCE_MM2 = 116.84 * 108.41
"""Four ways with every stage, drawn in cells on a 2.54 mm grid: the size to beat. Our own figure, no source."""
ALL_STAGES = {
    "surge": True, "braid_breakers": "all", "relays_in_series": 1, "idle": "terminated", "earth_to_0v": "gas tube",
    "compensation": "none",
}  # fmt: skip


def area_mm2(option: dict[str, object], ways: int = 4) -> float:
    layout, _, _ = made(option, ways)
    assert layout.faults == ()
    return layout.board.area_m2 * 1e6


@pytest.mark.parametrize("feed", ["plain", "common-mode choked", "local rail"])
def test_four_ways_with_every_stage_take_a_fifth_less(feed: str) -> None:
    """Chokes of 9.3 mm on a 5 mm pitch: the smallest in the catalogue that carry the current."""
    assert area_mm2(ALL_STAGES | {"feed": feed}) <= 0.80 * REFERENCE_MM2


def test_four_ways_without_feeds_are_smaller_still() -> None:
    assert area_mm2(ALL_STAGES | {"feed": "none"}) <= 84.60 * 105.41


def test_a_loose_cell_of_the_fullest_strip_is_squeezed(monkeypatch: pytest.MonkeyPatch) -> None:
    option = {"drive": "low side", "feed": "none"}
    # one arrangement alone, since another may be as low
    monkeypatch.setattr(arrange, "ROUTED", 1)
    squeezed = made(option, 1)[0]
    assert squeezed.faults == ()
    monkeypatch.setattr(cell_layout, "SQUEEZES", 0)
    cell_layout._attempts.cache_clear()
    assert squeezed.board.area_m2 < 0.98 * made(option, 1)[0].board.area_m2
    cell_layout._attempts.cache_clear()


def test_strips_stand_apart_where_that_costs_little(monkeypatch: pytest.MonkeyPatch) -> None:
    """Cores that all but touch couple their antennas: a few per cent of area buy more than 10 dB of isolation."""

    def laid() -> tuple[Layout, float]:
        layout, netlist, _ = made_text((templates_folder() / "four-way.toml").read_text(encoding="utf-8"))
        return layout, signal_coupling_f(layout.board, netlist)

    apart, little_f = laid()
    monkeypatch.setattr(arrange, "ROUTED", 1)
    smallest, much_f = laid()
    assert apart.faults == smallest.faults == ()
    assert little_f < 10 ** (-10 / 20) * much_f
    assert smallest.board.area_m2 < apart.board.area_m2 < arrange.LARGER * smallest.board.area_m2


def test_common_studs_stand_where_an_antenna_has_none() -> None:
    """With a port at rest two strips have room for the two common studs: none stands behind the other."""
    option = {"rest": "way 1", "idle": "open", "entry": "studs", "drive": "low side", "feed": "none"}
    layout, netlist, _ = made(option, 2)
    assert layout.faults == ()
    level = {part.at[1] for part in layout.board.parts if netlist.component[part.ref].subject.stage == "control entry"
             and part.kind == "stud"}  # fmt: skip
    assert len(level) == 1


def test_parts_keep_room_for_an_iron() -> None:
    """What is small must still be soldered by hand: courtyards never meet, and holes keep the house's distance."""
    layout, _, _ = made(ALL_STAGES | {"feed": "local rail"}, 4)
    holes = [(pad.at, pad.width_nm) for pad in layout.board.pads if pad.hole_nm]
    gaps = [
        ((a[0] - b[0]) ** 2 + (a[1] - b[1]) ** 2) ** 0.5 - (wide + other) / 2
        for index, (a, wide) in enumerate(holes)
        for b, other in holes[:index]
    ]
    # pads of the small relays and of cores are nearest: 2.54 mm apart with lands of up to 1.7 mm
    assert min(gaps) >= 0.8e6


def test_the_setting_accounts_for_the_height() -> None:
    """The stages along the fullest strip add up to the height of the board, and the sentence names each."""
    layout, _, _ = made(ALL_STAGES | {"feed": "local rail"}, 4)
    words = size_in_words(layout.board)
    lengths = [float(part.rsplit(" ", 1)[1]) for part in words.split("in mm: ")[1].split(", ")]
    assert sum(lengths) == pytest.approx(layout.board.height_nm / 1e6, abs=0.05 * len(lengths))
    assert words.startswith("5 strips of ")
    for stage in ("port", "feed", "braid breaker", "selector", "rails", "entry"):
        assert stage in words


def test_larger_parts_are_named_where_they_set_the_width() -> None:
    """The relay on a 20 mm body makes the strip longer; the sentence says by how much."""
    small, _, _ = made(ALL_STAGES | {"feed": "none"}, 4)
    two, _, _ = made(ALL_STAGES | {"feed": "none", "relays_in_series": 2}, 4)
    assert two.board.height_nm > small.board.height_nm
    assert "(core, 13.3 mm)" in size_in_words(small.board)
