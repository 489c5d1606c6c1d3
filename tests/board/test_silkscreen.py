"""Designators, names and polarity marks on a dense board: all there, and nearly all in sight once the parts stand."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from boardgen.board.check_assembly import silkscreen
from boardgen.board.layout import Layout
from boardgen.board.rotated_footprint import Box
from boardgen.board.stroke_font import write
from boardgen.model.board_house import BoardHouse
from boardgen.spec.template import with_ways
from tests.board.boards import made, made_text

DENSE = {"feed": "local rail", "relays_in_series": 2}
HIDDEN_SHARE = 0.06
"""Of the designators so many may lie under a body where small parts stand close: measured, common practice."""


def covered(layout: Layout, box: Box) -> bool:
    return any(
        b[0] < box[2] and b[2] > box[0] and b[1] < box[3] and b[3] > box[1]
        for b in (s.body for s in layout.board.parts)
    )


@pytest.fixture(scope="module", params=["dense", "eight-way"])
def layout(request: pytest.FixtureRequest) -> Layout:
    return made(DENSE, 4)[0] if request.param == "dense" else made_text(with_ways("eight-way", 8))[0]


def test_every_designator_is_there_and_in_sight(layout: Layout) -> None:
    texts = {text.words: text for text in layout.board.silkscreen_texts}
    refs = [part.ref for part in layout.board.parts]
    assert set(refs) <= texts.keys()
    hidden = [ref for ref in refs if covered(layout, texts[ref].box)]
    assert len(hidden) <= HIDDEN_SHARE * len(refs), hidden


def test_letters_are_a_millimetre_high(layout: Layout) -> None:
    for text in layout.board.silkscreen_texts:
        wide, high = text.box[2] - text.box[0], text.box[3] - text.box[1]
        assert min(wide, high) >= 1_000_000 or len(text.words) == 1, text.words


def test_names_of_ports_are_in_sight() -> None:
    layout, netlist, _ = made_text(with_ways("eight-way", 8))
    names = [netlist.component[part.ref].value for part in layout.board.parts if part.kind == "connector"]
    for name in names:
        at_ports = [
            t for t in layout.board.silkscreen_texts if t.words == name and t.box[1] > layout.board.height_nm // 2
        ]
        assert at_ports, name
        assert not any(covered(layout, text.box) for text in at_ports)


def test_a_diode_on_end_has_its_cathode_marked(layout: Layout) -> None:
    """From above nobody sees its band."""
    on_end = [s.ref for s in layout.board.parts if s.kind == "diode" and s.footprint.endswith("-upright")]
    assert on_end
    marks = [t for t in layout.board.silkscreen_texts if t.words == "K"]
    for ref in on_end:
        (pad,) = (x for x in layout.board.pads if x.ref == ref and x.number == "2")
        away = min(
            max(abs((t.box[0] + t.box[2]) // 2 - pad.at[0]), abs((t.box[1] + t.box[3]) // 2 - pad.at[1])) for t in marks
        )
        assert away < 4_000_000, ref


def gap(box: Box, other: Box) -> int:
    """Between two boxes, across or up, whichever is more."""
    across = max(box[0] - other[2], other[0] - box[2], 0)
    return max(across, max(box[1] - other[3], other[1] - box[3], 0))


@pytest.mark.parametrize(("template", "ways"), [("eight-way", 8), ("four-way-feeds", 4), ("four-way-feeds", 16)])
def test_every_screw_says_what_it_is_for(template: str, ways: int) -> None:
    layout, _, _ = made_text(with_ways(template, ways), pour=False)
    bodies = {part.ref: part.body for part in layout.board.parts if part.kind == "terminal"}
    screws = [pad for pad in layout.board.pads if pad.ref in bodies]
    assert len(screws) == 2 * len(bodies)
    for pad in screws:
        words = "SEL" if pad.net.startswith("select") else "FEED" if pad.net.startswith("feed line") else pad.net
        above = [
            text
            for text in layout.board.silkscreen_texts
            if abs((text.box[0] + text.box[2]) // 2 - pad.at[0]) < 100_000
            and 0 < text.box[1] - bodies[pad.ref][3] < 1_500_000
        ]
        assert [text.words for text in above] == [words]


@pytest.mark.parametrize(("template", "ways"), [("eight-way", 8), ("four-way-feeds", 4), ("two-way", 2)])
@pytest.mark.parametrize("kind", ["connector", "terminal"])
def test_a_name_stands_nearest_to_what_it_names(template: str, ways: int, kind: str) -> None:
    layout, netlist, _ = made_text(with_ways(template, ways), pour=False)
    parts = [part for part in layout.board.parts if part.kind == kind]
    for part in parts:
        named = [text for text in layout.board.silkscreen_texts if text.words == netlist.component[part.ref].value]
        nearest = [min(parts, key=lambda other, t=text: gap(t.box, other.body)).ref for text in named]
        assert part.ref in nearest


def test_designators_of_equal_strips_stand_alike(layout: Layout) -> None:
    """The same way up on the same side of equal parts."""
    texts = {text.words: text for text in layout.board.silkscreen_texts}
    places: dict[tuple[str, int, int], list[tuple[bool, bool, bool, bool, bool]]] = {}
    for part in layout.board.parts:
        box, body = texts[part.ref].box, part.body
        place = (
            box[2] - box[0] < box[3] - box[1],
            box[2] < body[0],
            box[0] > body[2],
            box[3] < body[1],
            box[1] > body[3],
        )
        places.setdefault((part.footprint, part.rotation, part.at[1]), []).append(place)
    several = [each for each in places.values() if len(each) > 3]
    assert several
    odd = sum(len(each) - max(map(each.count, each)) for each in several)
    assert odd <= 0.15 * sum(map(len, several))


def test_one_letter_that_reads_upwards_is_high_enough() -> None:
    """Its box is as wide as the letter is high."""
    board = made({"feed": "none"}, 1, pour=False)[0].board
    upright = write("N", 20_000_000, 20_000_000, 1_000_000, 150_000, upright=True)
    low = write("NN", 20_000_000, 20_000_000, 700_000, 150_000, upright=True)
    heights = [
        [
            f
            for f in silkscreen(replace(board, silkscreen_texts=(text,), silkscreen_lines=()), BoardHouse())
            if f.id == "B405 legend height"
        ]
        for text in (upright, low)
    ]
    assert [len(each) for each in heights] == [0, 1]


@pytest.mark.parametrize(("template", "ways"), [("two-way", 2), ("four-way-feeds", 4), ("eight-way", 16)])
def test_title_revision_and_date_are_in_sight(template: str, ways: int) -> None:
    layout, netlist, _ = made_text(with_ways(template, ways), pour=False)
    wanted = (netlist.title, f"rev {netlist.revision}", "made ")
    told = [text for text in layout.board.silkscreen_texts if any(words in text.words for words in wanted)]
    assert all(any(words in text.words for text in told) for words in wanted)
    assert not any(covered(layout, text.box) for text in told)


def test_all_ports_of_a_board_have_centre_and_braid_in_one_order() -> None:
    """Also where only some of the pairs go through a transformer, which wants the braid on the left."""
    layout, netlist, _ = made({"braid_breakers": "antennas"}, 3, pour=False)
    order = set()
    for component in netlist.of_kind("connector"):
        at = {pad.number: pad.at[0] for pad in layout.board.pads if pad.ref == component.ref}
        order.add(at[component.part.pins["centre"]] < at[component.part.pins["braid"]])
    assert order == {False}
