"""Puts the legend on: outlines off the lands, marks of pin 1 and bands, designators and names in free places."""

from __future__ import annotations

import itertools
from collections.abc import Iterator

from msgspec.structs import replace

from boardgen.board.lettering import ascii_text, size, write
from boardgen.board.shape import Box, grown
from boardgen.board.surface import AWAY_NM, Spot, Surface, land_box
from boardgen.model.copper import Board, Land, Standing, Stroke, Text
from boardgen.model.house import House
from boardgen.model.netlist import Netlist

NAMED = ("connector", "terminal", "stud", "jack")
MARKED = ("relay", "core", "bifilar choke")
LINE_NAMES = (("select", "SEL"), ("feed", "FEED"), ("coil supply", "COIL"), ("0V", "0V"), ("earth", "EARTH"))
CATHODE = "K"
INWARD_STEPS, INWARD_NM = 70, 200_000
TITLE_CAP_NM = 1_500_000


def lettered(board: Board, netlist: Netlist, house: House, date: str) -> Board:  # noqa: C901 - one kind of text after the other
    """The board with its legend. `facts` says how many designators a body hides, and how many found no place."""
    surface = Surface(board, house)
    pen, cap = round(house.legend_width * 1e6), round(house.legend_height * 1e6)
    lands: dict[str, list[Land]] = {}
    for land in board.lands:
        lands.setdefault(land.ref, []).append(land)
    outlines = [s for part in board.standings for s in _outline(part, lands[part.ref], surface, board, pen)]
    surface.take_lines(outlines)
    texts: list[Text] = []
    missing = hidden = 0

    def put(words: str, places: Iterator[Spot] | None, cap_nm: int = cap, *, seen: bool = False) -> bool:
        """Writes the words in the first free place, of the whole board where none are given."""
        size_nm = size(words, cap_nm, pen)
        spot = surface.first_anywhere(*size_nm) if places is None else surface.first_free(places, *size_nm, seen=seen)
        if spot is None:
            return False
        x, y, upright = spot
        text = write(words, x, y, cap_nm, pen, upright)
        surface.take(text)
        texts.append(text)
        return True

    values = netlist.component
    for part in board.standings:
        if part.kind in NAMED:
            words = ascii_text(values[part.ref].value)
            wide, high = size(words, cap, pen)
            spots = itertools.chain(_about(part.body, wide, high), _inward(part.body, board, wide, high))
            if not put(words, spots, seen=True):
                put(words, _about(part.body, wide, high))
        if part.kind == "terminal":
            for land in lands[part.ref]:
                words = next((short for name, short in LINE_NAMES if land.net.startswith(name)), "")
                if words:
                    x, y = land.at[0] - size(words, cap, pen)[0] // 2, part.body[3] + AWAY_NM + 50_000
                    put(words, ((x, y + n * 100_000, False) for n in range(12)))
    for part in board.standings:
        if cathode := _bent_cathode(part, lands[part.ref]):
            put(CATHODE, _about(land_box(cathode), *size(CATHODE, cap, pen)))
    # small parts first: they have the fewest places about them
    for part in sorted(board.standings, key=lambda s: (s.body[2] - s.body[0]) * (s.body[3] - s.body[1])):
        if not put(part.ref, _about(part.body, *size(part.ref, cap, pen))):
            missing += 1
        elif surface.bodies.meets(texts[-1].box):
            hidden += 1
    for words, cap_nm in (
        (ascii_text(f"{board.title}  rev {board.revision}"), TITLE_CAP_NM),
        (ascii_text(board.title), cap),
        (f"rev {ascii_text(board.revision)}", cap),
        (f"made {date or '____________'}", cap),
    ):
        # in two pieces only where one found no place
        if cap_nm == cap and not words.startswith("made") and any(words in text.words for text in texts):
            continue
        put(words, None, cap_nm)
    facts = {
        **board.facts,
        "designators": float(len(board.standings)),
        "designators under a body": float(hidden),
        "designators without a place": float(missing),
    }
    return replace(board, outlines=tuple(outlines), texts=tuple(texts), facts=facts)


def _inward(body: Box, board: Board, wide: int, high: int) -> Iterator[Spot]:
    """Places further in from the nearer long edge of the board, within the strip: for a name longer than the gaps."""
    left, low, right, top = body
    down = low + top > board.height_nm
    for step in range(INWARD_STEPS):
        y = low - AWAY_NM - high - step * INWARD_NM if down else top + AWAY_NM + step * INWARD_NM
        for slide in (0, -1, 1, -2, 2, -3, 3):
            yield (left + right - wide) // 2 + slide * 1_000_000, y, False


def _bent_cathode(part: Standing, lands: list[Land]) -> Land | None:
    """The cathode of a diode on end, whose band nobody sees from above: the land beside the body."""
    if part.kind != "diode":
        return None
    left, low, right, top = part.body
    cathode = next((land for land in lands if land.pad == "2"), None)
    anode_inside = any(left < land.at[0] < right and low < land.at[1] < top for land in lands if land.pad == "1")
    return cathode if anode_inside else None


def _about(body: Box, wide: int, high: int) -> Iterator[Spot]:
    """Places of a text about a body: above, below, beside, slid along; then inside, then farther off."""
    left, low, right, top = body
    x, y = (left + right) // 2, (low + top) // 2
    yield from _beside(body, wide, high, (20_000, 720_000, 1_420_000))
    for down in (0, 1, -1, 2, -2, 3, -3):
        for across in (0, 1, -1):
            dx, dy = across * (right - left) // 5, down * (top - low) // 8
            yield x - wide // 2 + dx, y - high // 2 + dy, False
            yield x - high // 2 + dx, y - wide // 2 + dy, True
    yield from _beside(body, wide, high, (2_120_000, 2_820_000, 3_520_000))


def _beside(body: Box, wide: int, high: int, distances: tuple[int, ...]) -> Iterator[Spot]:
    """Places on the four sides of a body, slid along, at these distances beyond the least."""
    left, low, right, top = body
    x, y = (left + right) // 2, (low + top) // 2
    for away in (AWAY_NM + distance for distance in distances):
        for slide in (0, -1, 1, -2, 2, -3, 3):
            shift = slide * max(right - left, 2 * wide) // 6
            yield x - wide // 2 + shift, top + away, False
            yield x - wide // 2 + shift, low - away - high, False
        for slide in (0, -1, 1, -2, 2, -3, 3):
            shift = slide * max(top - low, 2 * wide) // 6
            yield left - away - wide, y - high // 2 + shift, False
            yield right + away, y - high // 2 + shift, False
            yield left - away - high, y - wide // 2 + shift, True
            yield right + away, y - wide // 2 + shift, True


def _outline(part: Standing, lands: list[Land], surface: Surface, board: Board, pen: int) -> Iterator[Stroke]:
    """The body's four sides, broken where a land is near; a band for a diode, a corner for pin 1."""
    left, low, right, top = part.body
    sides = [
        ((left, low), (right, low)),
        ((left, top), (right, top)),
        ((left, low), (left, top)),
        ((right, low), (right, top)),
    ]
    band = next((land for land in lands if land.pad == "2"), None)
    if part.kind in ("diode",) and band:
        if abs(band.at[0] - (left + right) // 2) > abs(band.at[1] - (low + top) // 2):
            at = right - (right - left) // 5 if band.at[0] > left else left + (right - left) // 5
            sides.append(((at, low), (at, top)))
        else:
            at = top - (top - low) // 5 if band.at[1] > low else low + (top - low) // 5
            sides.append(((left, at), (right, at)))
    first = next((land for land in lands if land.pad in ("1", "P1")), None)
    if part.kind in MARKED and first:
        sides += _corner(part.body, first)
    # a land takes what a pen about it would touch
    near = list(surface.lands.meeting(grown(part.body, pen)))
    for start, end in sides:
        if min(start[0], start[1]) > 0 and end[0] < board.width_nm and end[1] < board.height_nm:
            yield from _broken(start, end, near, pen)


def _corner(body: Box, land: Land) -> list[tuple[tuple[int, int], tuple[int, int]]]:
    """A second line inside the corner nearest to pin 1, along the side that the pin is at."""
    left, low, right, top = body
    x = left + 400_000 if land.at[0] < (left + right) // 2 else right - 400_000
    y = low + 400_000 if land.at[1] < (low + top) // 2 else top - 400_000
    long = 1_600_000
    x2, y2 = (x + long if x < (left + right) // 2 else x - long), (y + long if y < (low + top) // 2 else y - long)
    return [(min((x, y), (x2, y)), max((x, y), (x2, y))), (min((x, y), (x, y2)), max((x, y), (x, y2)))]


def _broken(start: tuple[int, int], end: tuple[int, int], lands: list[Box], pen: int) -> Iterator[Stroke]:
    """What is left of a level or plumb line after every land has taken its share."""
    axis = 0 if start[1] == end[1] else 1
    across, half = start[1 - axis], pen // 2
    pieces = [(start[axis], end[axis])]
    for box in lands:
        if box[1 - axis] - half < across < box[3 - axis] + half:
            low, high = box[axis] - half, box[axis + 2] + half
            pieces = [p for a, b in pieces for p in ((a, min(b, low)), (max(a, high), b)) if p[1] - p[0] > 2 * pen]
    for a, b in pieces:
        ends = ((a, across), (b, across)) if axis == 0 else ((across, a), (across, b))
        yield Stroke(ends, pen)
