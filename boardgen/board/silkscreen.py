"""Puts the silkscreen on: outlines off the pads, marks of pin 1 and bands, designators and names in free places.

Small parts are lettered first, since they have the fewest places about them; equal parts are lettered alike. How free
places are found stands in `silkscreen_space`.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Mapping, Sequence
from functools import partial

from msgspec.structs import replace

from boardgen.board.rotated_footprint import Box, grown
from boardgen.board.silkscreen_space import AWAY_NM, BODY_AWAY_NM, SilkscreenPen, SilkscreenSpace, Spot, pad_box
from boardgen.board.stroke_font import ascii_text
from boardgen.kinds import KIND
from boardgen.model.board_house import BoardHouse
from boardgen.model.copper import Board, PlacedPad, PlacedPart, SilkscreenText, Stroke
from boardgen.model.netlist import Netlist, NetName
from boardgen.stages.line_nets import COIL_SUPPLY, FEED, FEED_LINE, FEED_LINE_SHARED, FEED_SHARED, SELECT

LINE_NAMES: Mapping[str, str] = {
    SELECT: "SEL",
    **dict.fromkeys((FEED, FEED_LINE, FEED_SHARED, FEED_LINE_SHARED), "FEED"),
    COIL_SUPPLY: "COIL",
    "0V": "0V",
    "earth": "EARTH",
}
"""What a screw is for, by what its net is called apart from the strip."""
CATHODE = "K"
"""What stands at the cathode of a diode on end."""
SLIDE_NM = 1_000_000
"""From one place to the next along a body's side."""
INWARD_STEPS, INWARD_NM = 70, 200_000
"""How many places farther in from the edge of the board are tried for a name, and from one to the next."""
ABOVE_STEPS, ABOVE_NM = 12, 100_000
"""How many places above a screw are tried, and from one to the next."""
NEAR_NM, FAR_NM = (20_000, 720_000, 1_420_000), (2_120_000, 2_820_000, 3_520_000)
"""How much farther from a body than need be a text is tried."""
TITLE_CAP_NM = 1_500_000
"""Height of the capitals of the title, where there is room."""
MARK_INSET_NM, MARK_NM = 400_000, 1_600_000
"""The corner at pin 1: how far inside the body, and how long its sides."""


def with_silkscreen(board: Board, netlist: Netlist, house: BoardHouse, date: str) -> Board:
    """The board with its silkscreen.

    Parameters
    ----------
    board, netlist : the layout without silkscreen, and the circuit, whose values name the ports and terminals
    house : how wide and high lines and letters must be, and what they keep from pads
    date : when it was made; a line to write on where it is empty

    Returns
    -------
    The same board; its facts say how many designators a body hides, and how many found no place.

    """
    space = SilkscreenSpace(board, house)
    pen = SilkscreenPen(space, house.legend_width_nm, house.legend_height_nm)
    pads: dict[str, list[PlacedPad]] = {}
    for pad in board.pads:
        pads.setdefault(pad.ref, []).append(pad)
    outlines = [s for part in board.parts for s in _outline(part, pads[part.ref], space, board, pen.width_nm)]
    space.take_lines(outlines)
    alike = _alike(board, netlist)
    for parts in alike:
        if KIND[parts[0].kind].appearance.names_each_pin:
            _screws(pen, parts, pads, netlist)
    for parts in alike:
        if KIND[parts[0].kind].outside:
            _names(pen, parts, board, netlist)
    for parts in alike:
        ends = {part.ref: pad_box(end) for part in parts if (end := _bent_cathode(part, pads[part.ref]))}
        _beside_or_elsewhere(pen, [CATHODE] * len(ends), list(ends.values()), list(ends))
    missing = hidden = 0
    # small parts first: they have the fewest places about them
    for parts in sorted(alike, key=lambda each: _area(each[0].body)):
        refs = [part.ref for part in parts]
        for text in _beside_or_elsewhere(pen, refs, [part.body for part in parts], refs):
            missing += text is None
            hidden += text is not None and space.bodies.meets(text.box)
    _title(pen, board, date)
    layout = replace(board.layout, designators_hidden=hidden, designators_missing=missing)
    return replace(board, silkscreen_lines=tuple(outlines), silkscreen_texts=tuple(pen.texts), layout=layout)


def _alike(board: Board, netlist: Netlist) -> list[list[PlacedPart]]:
    """The parts of one pattern at the same place of the strips of antennas, side by side; the output's on their own."""
    pitch, output = board.layout.pitch_nm, netlist.ports[-1].strip
    components = netlist.component
    found: dict[object, list[PlacedPart]] = {}
    for part in board.parts:
        x, y = part.at
        last = components[part.ref].subject.strip == output
        found.setdefault((part.footprint, part.rotation, x % pitch, y, last), []).append(part)
    return list(found.values())


def _screws(pen: SilkscreenPen, parts: list[PlacedPart], pads: Mapping[str, list[PlacedPad]], netlist: Netlist) -> None:
    """What each screw of equal terminals is for, above it; where another part is near, inside the body."""
    top = parts[0].body[3]
    for ends in zip(*(pads[part.ref] for part in parts), strict=True):
        called = [netlist.called.get(end.net, NetName()) for end in ends]
        words = [LINE_NAMES.get(each.before or each.after, "") for each in called]
        told = [(each, end.at[0], end.ref) for each, end in zip(words, ends, strict=True) if each]
        refs = [ref for _, _, ref in told]
        texts = pen.put_alike([each for each, _, _ in told], [partial(_above, x, top) for _, x, _ in told], refs)
        for (each, x, ref), text in zip(told, texts, strict=True):
            if text is None:
                pen.put(each, partial(_under_top, x, top), ref=ref)


def _names(pen: SilkscreenPen, parts: list[PlacedPart], board: Board, netlist: Netlist) -> None:
    """The names of equal ports or terminals, in sight where there is room."""
    words = [ascii_text(netlist.component[part.ref].value) for part in parts]
    outside = [partial(_outside, part.body, board) for part in parts]
    refs = [part.ref for part in parts]
    for each, part, text in zip(words, parts, pen.put_alike(words, outside, refs), strict=True):
        if text is None:
            _elsewhere(pen, each, part.body, part.ref)


def _beside_or_elsewhere(
    pen: SilkscreenPen, words: Sequence[str], bodies: Sequence[Box], refs: Sequence[str]
) -> list[SilkscreenText | None]:
    """A text for each of equal bodies: beside it, else wherever there is room."""
    texts = pen.put_alike(words, [partial(_beside, body, distances=NEAR_NM) for body in bodies], refs)
    each = zip(texts, words, bodies, refs, strict=True)
    return [text or _elsewhere(pen, word, body, ref) for text, word, body, ref in each]


def _elsewhere(pen: SilkscreenPen, words: str, body: Box, ref: str) -> SilkscreenText | None:
    """A text that finds no place beside its body: inside, farther off, or under another body."""
    return (
        pen.put(words, partial(_inside, body), ref=ref)
        or pen.put(words, partial(_beside, body, distances=FAR_NM), ref=ref, seen=True)
        or pen.put(words, partial(_beside, body, distances=NEAR_NM), ref=ref)
    )


def _title(pen: SilkscreenPen, board: Board, date: str) -> None:
    """Title, revision and a place for the date; small or in two pieces only where one found no place."""
    title, revision = ascii_text(board.title), f"rev {ascii_text(board.revision)}"
    whole = f"{title}  {revision}"
    if not (pen.put(whole, None, TITLE_CAP_NM) or pen.put(whole, None)):
        pen.put(title, None)
        pen.put(revision, None)
    pen.put(f"made {date or '____________'}", None)


def _area(body: Box) -> int:
    return (body[2] - body[0]) * (body[3] - body[1])


def _above(x: int, top: int, wide: int, _: int) -> Iterator[Spot]:
    """Places centred above a point of a body's upper side."""
    for step in range(ABOVE_STEPS):
        yield x - wide // 2, top + BODY_AWAY_NM + step * ABOVE_NM, False


def _under_top(x: int, top: int, wide: int, high: int) -> Iterator[Spot]:
    """Places centred below a point of a body's upper side, inside the body."""
    for step in range(ABOVE_STEPS):
        # a nanometre more: what is inside does not touch
        yield x - wide // 2, top - BODY_AWAY_NM - 1 - high - step * ABOVE_NM, False


def _outside(body: Box, board: Board, wide: int, high: int) -> Iterator[Spot]:
    return itertools.chain(_beside(body, wide, high, (*NEAR_NM, *FAR_NM)), _inward(body, board, wide, high))


def _inward(body: Box, board: Board, wide: int, high: int) -> Iterator[Spot]:
    """Places further in from the nearer long edge of the board, within the strip: for a name longer than the gaps."""
    left, low, right, top = body
    down = low + top > board.height_nm
    for step in range(INWARD_STEPS):
        y = low - AWAY_NM - high - step * INWARD_NM if down else top + AWAY_NM + step * INWARD_NM
        for slide in (0, -1, 1, -2, 2, -3, 3):
            yield (left + right - wide) // 2 + slide * SLIDE_NM, y, False


def _bent_cathode(part: PlacedPart, pads: list[PlacedPad]) -> PlacedPad | None:
    """The cathode of a diode on end, whose band nobody sees from above: the pad beside the body."""
    if KIND[part.kind].appearance.marked != "band":
        return None
    left, low, right, top = part.body
    cathode = next((pad for pad in pads if pad.number == "2"), None)
    anode_inside = any(left < pad.at[0] < right and low < pad.at[1] < top for pad in pads if pad.number == "1")
    return cathode if anode_inside else None


def _inside(body: Box, wide: int, high: int) -> Iterator[Spot]:
    """Places of a text inside a body, from its middle."""
    left, low, right, top = body
    x, y = (left + right) // 2, (low + top) // 2
    for down in (0, 1, -1, 2, -2, 3, -3):
        for across in (0, 1, -1):
            dx, dy = across * (right - left) // 5, down * (top - low) // 8
            yield x - wide // 2 + dx, y - high // 2 + dy, False
            yield x - high // 2 + dx, y - wide // 2 + dy, True


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


def _outline(
    part: PlacedPart, pads: list[PlacedPad], space: SilkscreenSpace, board: Board, width_nm: int
) -> Iterator[Stroke]:
    """The body's four sides, broken where a pad is near; a band for a diode, a corner for pin 1."""
    left, low, right, top = part.body
    sides = [
        ((left, low), (right, low)),
        ((left, top), (right, top)),
        ((left, low), (left, top)),
        ((right, low), (right, top)),
    ]
    band = next((pad for pad in pads if pad.number == "2"), None)
    if KIND[part.kind].appearance.marked == "band" and band:
        if abs(band.at[0] - (left + right) // 2) > abs(band.at[1] - (low + top) // 2):
            at = right - (right - left) // 5 if band.at[0] > left else left + (right - left) // 5
            sides.append(((at, low), (at, top)))
        else:
            at = top - (top - low) // 5 if band.at[1] > low else low + (top - low) // 5
            sides.append(((left, at), (right, at)))
    first = next((pad for pad in pads if pad.number in ("1", "P1")), None)
    if KIND[part.kind].appearance.marked == "pin 1" and first:
        sides += _corner(part.body, first)
    # a pad takes what a line about it would touch
    near = list(space.pads.meeting(grown(part.body, width_nm)))
    for start, end in sides:
        if min(start[0], start[1]) > 0 and end[0] < board.width_nm and end[1] < board.height_nm:
            yield from _broken(start, end, near, width_nm, part.ref)


def _corner(body: Box, pad: PlacedPad) -> list[tuple[tuple[int, int], tuple[int, int]]]:
    """A second line inside the corner nearest to pin 1, along the side that the pin is at."""
    left, low, right, top = body
    x = left + MARK_INSET_NM if pad.at[0] < (left + right) // 2 else right - MARK_INSET_NM
    y = low + MARK_INSET_NM if pad.at[1] < (low + top) // 2 else top - MARK_INSET_NM
    x2, y2 = (
        (x + MARK_NM if x < (left + right) // 2 else x - MARK_NM),
        (y + MARK_NM if y < (low + top) // 2 else y - MARK_NM),
    )
    return [(min((x, y), (x2, y)), max((x, y), (x2, y))), (min((x, y), (x, y2)), max((x, y), (x, y2)))]


def _broken(start: tuple[int, int], end: tuple[int, int], pads: list[Box], width_nm: int, ref: str) -> Iterator[Stroke]:
    """What is left of a level or plumb line after every pad has taken its share."""
    axis = 0 if start[1] == end[1] else 1
    across, half = start[1 - axis], width_nm // 2
    pieces = [(start[axis], end[axis])]
    for box in pads:
        if box[1 - axis] - half < across < box[3 - axis] + half:
            low, high = box[axis] - half, box[axis + 2] + half
            pieces = [p for a, b in pieces for p in ((a, min(b, low)), (max(a, high), b)) if p[1] - p[0] > 2 * width_nm]
    for a, b in pieces:
        ends = ((a, across), (b, across)) if axis == 0 else ((across, a), (across, b))
        yield Stroke(ends, width_nm, ref)
