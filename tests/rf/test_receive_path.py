"""The way to the receiver against noise temperatures walked through it by hand, and what is told of it."""

from __future__ import annotations

import math

import pytest
from msgspec.structs import replace

from boardgen.design import make_design
from boardgen.documents import receive_path as words
from boardgen.request import Request
from boardgen.rf.receive_path import Link, PathPoint, path_cost
from boardgen.spec.load import read_text
from tests.catalogue.shipped import CATALOGUE
from tests.rf.rf_boards import BOARDS

ROOM_K = 290.0
FEEDER = (
    '[feeder]\ncable = "RG-6 copper centre"\nlength = "150 m"\nenvironment = "quiet rural"\nnoise_figure = "14 dB"\n'
)

# external noise at the antenna over k T0 B, then each link: loss, or gain and noise figure, in dB
STATIONS = [
    (60.1, [(-0.4,), (-3.0,), (0.0, 12.0)]),
    (9.4, [(-0.4,), (-3.5,), (0.0, 14.0)]),
    (9.4, [(-0.4,), (15.0, 4.0), (-3.5,), (0.0, 14.0)]),
    (4.8, [(-0.3,), (-4.0,), (20.0, 3.0), (-1.0,), (0.0, 16.0)]),
    (0.0, [(-1.0,), (0.0, 0.0)]),
]


def rise_by_temperatures_db(external_db: float, links: list[tuple[float, ...]]) -> float:
    """Noise walked from the antenna to the receiver in kelvin, signal and noise alike through each link.

    A loss at room temperature lets 1/L through and adds T0 (1 - 1/L); an amplifier adds T0 (F - 1) at its input. Common
    practice of noise temperatures, no source; it is another way than factors in cascade.
    """
    outside = ROOM_K * 10 ** (external_db / 10)
    kelvin, signal = outside, 1.0
    for link in links:
        gain = 10 ** (link[0] / 10)
        if len(link) == 1:
            kelvin = kelvin * gain + ROOM_K * (1 - gain)
        else:
            kelvin = (kelvin + ROOM_K * (10 ** (link[1] / 10) - 1)) * gain
        signal *= gain
    return 10 * math.log10(kelvin / (outside * signal))


def point(external_db: float, links: list[tuple[float, ...]]) -> PathPoint:
    names = {1: ("main coax", "second coax"), 2: ("amplifier", "receiver")}
    losses = iter(("board", *names[1]))
    made = [
        Link(next(losses), link[0], -link[0]) if len(link) == 1
        else Link("receiver" if n == len(links) - 1 else "amplifier", *link)
        for n, link in enumerate(links)
    ]  # fmt: skip
    return PathPoint(7e6, tuple(made), external_db)


@pytest.mark.parametrize(("external_db", "links"), STATIONS)
def test_five_stations(external_db: float, links: list[tuple[float, ...]]) -> None:
    found = point(external_db, links)
    assert found.whole_db == pytest.approx(rise_by_temperatures_db(external_db, links), abs=1e-9)
    lossless = [link for link in links if len(link) == 2]
    assert found.own_db == pytest.approx(rise_by_temperatures_db(external_db, lossless), abs=1e-9)
    for number, link in enumerate(found.links):
        without = [*links[:number], *links[number + 1 :]]
        if link.gain_db <= 0:
            left = rise_by_temperatures_db(external_db, without) if without else 0.0
            assert found.shares_db[link.name] == pytest.approx(found.whole_db - left, abs=1e-9)


def test_an_amplifier_and_a_second_coax_stand_where_they_are_said_to() -> None:
    figures = 'gain = "15 dB"\nnoise_figure = "4 dB"\n'
    second = FEEDER + 'second_cable = "RG-58C"\nsecond_length = "20 m"\n'
    orders = {}
    for place in ("box", "house"):
        text = BOARDS["default"] + second + f'[amplifier]\nplace = "{place}"\n' + figures
        path = make_design(Request(read_text(text), CATALOGUE)).prediction.path
        orders[place] = [link.name for link in path[-1].links]
        assert path_cost(read_text(text), path).amplifier is None
    assert orders["box"] == ["board", "amplifier", "main coax", "second coax", "receiver"]
    assert orders["house"] == ["board", "main coax", "amplifier", "second coax", "receiver"]


def test_what_would_help_is_what_it_would_be() -> None:
    """Each cable that is advised gives what it promises once it is named, and an amplifier once it is there."""
    spec = read_text(BOARDS["default"] + FEEDER)
    prediction = make_design(Request(spec, CATALOGUE)).prediction
    cost = path_cost(spec, prediction.path)
    assert cost.amplifier is not None
    assert [one.cable for one in cost.cables] == ["15 mm foam 75 ohm", "RG-11 foam"]
    feeder = spec.feeder.model_copy(update={"cable": cost.cables[0].cable})
    other = spec.model_copy(update={"feeder": feeder})
    again = replace(prediction, request=replace(prediction.request, spec=other)).path
    assert max(p.whole_db for p in again) == pytest.approx(cost.cables[0].whole_db, abs=1e-9)
    amplifier = spec.amplifier.model_copy(update={"place": "box", "gain": 15.0, "noise_figure": 4.0})
    other = spec.model_copy(update={"amplifier": amplifier})
    again = replace(prediction, request=replace(prediction.request, spec=other)).path
    assert max(p.whole_db for p in again) == pytest.approx(cost.amplifier.whole_db, abs=1e-9)
    said = words.in_short(cost)
    assert f"{cost.worst.whole_db:.1f} dB at 10.15 MHz" in said
    assert "by the receiver" in said
    assert f"an amplifier at the box {cost.amplifier.whole_db:.1f}" in said
