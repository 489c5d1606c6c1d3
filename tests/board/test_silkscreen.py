"""Designators, names and polarity marks on a dense board: all there, and nearly all in sight once the parts stand."""

from __future__ import annotations

from itertools import combinations, pairwise

import pytest
from msgspec.structs import replace

from boardgen.board.check_assembly import silkscreen
from boardgen.board.layout import Layout
from boardgen.board.rotated_footprint import Box
from boardgen.board.silkscreen_space import gap, meet, pad_box
from boardgen.board.stroke_font import write
from boardgen.kinds import KIND
from boardgen.model.board_house import BoardHouse
from boardgen.model.copper import Stroke
from boardgen.spec.template import with_ways
from tests.board.boards import made, made_text

DENSE = {"feed": "local rail", "relays_in_series": 2}
ASTRAY_SHARE = 0.03
"""Of all words so many may be nearer to another part: designators where parts stand close, measured."""
TEMPLATES = (("four-way", 4), ("eight-way", 16), ("four-way-feeds", 4), ("four-way-cascaded", 4))
ODD: tuple[tuple[dict[str, object], int], ...] = (
    ({"entry": "studs", "earth_to_0v": "linked"}, 2),
    ({"rest": "way 1", "idle": "open", "drive": "low side", "indicators": True}, 3),
    ({"surge": False, "braid_breakers": "none", "idle": "open"}, 2),
    ({"feed": "common-mode choked", "feed_lines": "with selection", "output_feed": True}, 3),
)
"""Sixteen ways in one row, feeds and two relays in series; studs, changeovers with lamps, no tubes, choked feeds."""
HIDDEN_SHARE = 0.06
"""Of the designators so many may lie under a body where small parts stand close: measured, common practice."""


def covered(layout: Layout, box: Box) -> bool:
    return any(
        b[0] < box[2] and b[2] > box[0] and b[1] < box[3] and b[3] > box[1]
        for b in (part.body for part in layout.board.parts if KIND[part.kind].appearance.colour)
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


def bars(layout: Layout, ref: str) -> list[Stroke]:
    """The bold lines of a part."""
    return [line for line in layout.board.silkscreen_lines if line.ref == ref and line.width_nm == 300_000]


@pytest.mark.parametrize("number", range(3))
def test_every_cathode_has_a_bar_and_no_anode(number: int) -> None:
    """Of diodes lying and on end, and of lamps, where parts stand close: nearer to the cathode than to the anode."""
    option = ({**DENSE, "indicators": True}, {"indicators": True, "drive": "low side"}, {"feed": "common-mode choked"})
    layout, netlist, _ = made(option[number], 3, pour=False)
    polar = [c for c in netlist.components if c.part.kind in ("diode", "indicator")]
    assert polar
    for component in polar:
        pads = {pad.number: pad_box(pad) for pad in layout.board.pads if pad.ref == component.ref}
        cathode, anode = (pads[component.part.pins[role]] for role in ("cathode", "anode"))
        (bar,) = bars(layout, component.ref)
        box = (*min(bar.points), *max(bar.points))
        assert gap(box, cathode) < gap(box, anode), component.ref


def test_nothing_loses_its_outline() -> None:
    """Neither a small diode on end, whose pads take all sides of its body, nor a stud, whose land covers it."""
    layout, _, _ = made_text(with_ways("four-way-feeds", 4), pour=False)
    drawn = {line.ref for line in layout.board.silkscreen_lines if line.width_nm == 150_000}
    assert drawn == {part.ref for part in layout.board.parts}


def test_windings_and_ports_are_marked_at_their_pads() -> None:
    """P and S, C and B nearest to the pads they tell, and a dot nearest to each start."""
    layout, netlist, _ = made(DENSE, 3, pour=False)
    at_pins = {
        "core": {"P": ("primary start", "primary end"), "S": ("secondary start", "secondary end")},
        "connector": {"C": ("centre",), "B": ("braid",)},
    }
    marked = 0
    for component in (c for c in netlist.components if c.part.kind in at_pins):
        pins, ref = component.part.pins, component.ref
        boxes = {pad.number: pad_box(pad) for pad in layout.board.pads if pad.ref == ref}
        for letter, roles in at_pins[component.part.kind].items():
            (text,) = (t for t in layout.board.silkscreen_texts if (t.ref, t.words) == (ref, letter))
            nearest = min(pins, key=lambda role, t=text, b=boxes, p=pins: gap(t.box, b[p[role]]))
            assert nearest in roles, (ref, letter)
            marked += 1
        dots = [line for line in layout.board.silkscreen_lines if line.ref == ref and line.width_nm == 500_000]
        starts = [role for role in pins if role.endswith("start")]
        at_dots = [
            min(pins, key=lambda role, d=dot, b=boxes, p=pins: gap((*d.points[0], *d.points[1]), b[p[role]]))
            for dot in dots
        ]
        assert at_dots == starts
    assert marked == 2 * 4 + 2 * 4


@pytest.mark.slow
@pytest.mark.parametrize("sort", [*TEMPLATES, *ODD], ids=str)
def test_words_stand_nearer_to_their_own_part_than_to_any_other(
    sort: tuple[str | dict[str, object], int],
) -> None:
    """Over templates and odd boards: ports, screws and windings always, designators but for a counted few."""
    of, ways = sort
    layout = made_text(with_ways(of, ways), pour=False)[0] if isinstance(of, str) else made(of, ways, pour=False)[0]
    extents = {part.ref: [part.body] for part in layout.board.parts}
    for pad in layout.board.pads:
        extents[pad.ref].append(pad_box(pad))
    mine = [text for text in layout.board.silkscreen_texts if text.ref]
    away = [
        text
        for text in mine
        if min(extents, key=lambda ref, t=text: min(gap(t.box, box) for box in extents[ref])) != text.ref
    ]
    assert all(text.words == text.ref for text in away), [(t.words, t.ref) for t in away if t.words != t.ref]
    assert layout.board.layout.names_astray == 0
    assert len(away) <= layout.board.layout.designators_astray + layout.board.layout.designators_hidden
    assert len(away) <= ASTRAY_SHARE * len(mine)


@pytest.mark.parametrize(("template", "ways"), [("eight-way", 8), ("four-way-feeds", 4), ("four-way-feeds", 16)])
def test_every_screw_says_what_it_is_for(template: str, ways: int) -> None:
    """In sight once the block stands, and nearer to its own screw than to the other."""
    layout, _, _ = made_text(with_ways(template, ways), pour=False)
    blocks = [part.ref for part in layout.board.parts if part.kind == "terminal"]
    assert blocks
    for ref in blocks:
        screws = [pad for pad in layout.board.pads if pad.ref == ref]
        texts = [t for t in layout.board.silkscreen_texts if t.ref == ref and t.words in ("SEL", "FEED", "0V", "COIL")]
        assert not any(covered(layout, text.box) for text in texts)
        told = {min(screws, key=lambda pad, t=text: gap(t.box, pad_box(pad))).number: text.words for text in texts}
        assert told == {
            pad.number: "SEL"
            if pad.net.startswith("select")
            else "FEED"
            if pad.net.startswith("feed line")
            else pad.net
            for pad in screws
        }


def test_designators_of_equal_strips_stand_alike(layout: Layout) -> None:
    """The same way up on the same side of equal parts; a terminal's as its name stands, whatever the side."""

    def side(box: Box, body: Box) -> tuple[bool, ...]:
        upright = box[2] - box[0] < box[3] - box[1]
        return upright, box[2] < body[0], box[0] > body[2], box[3] < body[1], box[1] > body[3]

    screws = {"SEL", "FEED", "0V", "COIL"}
    texts = {text.words: text for text in layout.board.silkscreen_texts}
    names = {text.ref: text.box for text in texts.values() if text.words not in {text.ref, *screws}}
    places: dict[tuple[str, int, int], list[tuple[bool, ...]]] = {}
    for part in layout.board.parts:
        place = side(texts[part.ref].box, part.body)
        if part.kind == "terminal":
            named = side(names[part.ref], part.body)
            place = tuple(one == other for one, other in zip(place, named, strict=True))
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


@pytest.mark.parametrize(("template", "ways"), [("four-way", 4), ("four-way-feeds", 4), ("eight-way", 8)])
def test_no_letter_of_a_pin_is_read_with_a_name(template: str, ways: int) -> None:
    """A letter that stands in the line of a port's name is read as a part of it."""
    layout, netlist, _ = made_text(with_ways(template, ways), pour=False)
    texts = layout.board.silkscreen_texts
    for component in netlist.of_kind("connector"):
        of_port = [text for text in texts if text.ref == component.ref]
        (name,) = (text for text in of_port if text.words == component.value)
        letters = [text for text in of_port if text.words in ("B", "C")]
        assert len(letters) == 2
        assert not any(name.box[1] < letter.box[3] and letter.box[1] < name.box[3] for letter in letters)


@pytest.mark.parametrize("template", ["four-way", "eight-way", "four-way-feeds"])
def test_a_block_is_called_in_a_gap_of_its_own(template: str) -> None:
    """No designator of a terminal stands among another's words, unless its own name does, for want of a free side."""
    ways = 8 if template == "eight-way" else 4
    board = made_text(with_ways(template, ways), pour=False)[0].board
    blocks = sorted((part for part in board.parts if part.kind == "terminal"), key=lambda part: part.body[0])
    assert len(blocks) > ways
    called = 0
    for left, right in pairwise(blocks):
        space = (left.body[2], left.body[1], right.body[0], left.body[3])
        words = {(text.ref, text.words == text.ref) for text in board.silkscreen_texts if meet(space, text.box)}
        for ref in {left.ref, right.ref}:
            if (ref, True) in words:
                called += 1
                alone = {about for about, _ in words} & {left.ref, right.ref} == {ref}
                assert alone or (ref, False) in words, ref
    assert called


def test_a_stud_says_its_line_and_its_antenna_where_there_is_little_room() -> None:
    """As screws say lines, in two pieces where the whole finds no room; no words of the board are cut or cross."""
    board = made({"entry": "studs", "feed": "local rail", "output_feed": True}, 2, pour=False)[0].board
    studs = [part.ref for part in board.parts if part.footprint == "stud-4.7"]
    told = {" ".join(t.words for t in board.silkscreen_texts if t.ref == ref and t.words != ref) for ref in studs}
    assert {"SEL way 1", "FEED way 1", "SEL way 2", "FEED output"} <= told
    for one, other in combinations(board.silkscreen_texts, 2):
        assert not meet(one.box, other.box), (one.words, other.words)
