"""Puts the silkscreen on: the parts' drawings, then what their pins are for, their names and designators.

Every text stands nearer to the part that it is about, and to its pin, than to any other; where no such place is free,
a name is shortened, and a designator stands under its body. Small parts are lettered first, since they have the fewest
places about them; equal parts are lettered alike. How free places are found stands in `silkscreen_space`.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Mapping, Sequence
from functools import partial
from itertools import chain

from msgspec.structs import replace

from boardgen.board.rotated_footprint import Box, hull
from boardgen.board.silkscreen_lines import drawings
from boardgen.board.silkscreen_space import (
    AWAY_NM,
    BODY_AWAY_NM,
    Owner,
    Places,
    SilkscreenPen,
    SilkscreenSpace,
    Spot,
    box_of,
    gap,
    meet,
    pad_box,
)
from boardgen.board.stroke_font import ascii_text
from boardgen.kinds import KIND
from boardgen.model.board_house import BoardHouse
from boardgen.model.copper import Board, PlacedPad, PlacedPart, SilkscreenText
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
ABOVE_STEPS, ABOVE_NM = 12, 100_000
"""How many places above a screw are tried, and from one to the next."""
DOWN_NM = 500_000
"""From one place beside a block to the next."""
DISTANCES_NM = (20_000, 370_000, 720_000, 1_070_000, 1_420_000, 1_770_000, 2_120_000, 2_820_000, 3_520_000)
"""How much farther from a body than need be a text is tried."""
CLOSE_NM = AWAY_NM + DISTANCES_NM[0]
"""Between a body and the texts nearest to it."""
SLIDES = (0, -1, 1, -2, 2, -3, 3, -4, 4)
"""How far along a side a text is tried, in eighths of the side or of twice the text."""
SHORTEST = 3
"""Letters of a name that are left at least where it is cut."""
CUT = ".."
TITLE_CAP_NM = 1_500_000
"""Height of the capitals of the title, where there is room."""


def with_silkscreen(board: Board, netlist: Netlist, house: BoardHouse, date: str) -> Board:
    """The board with its silkscreen.

    Parameters
    ----------
    board, netlist : the layout without silkscreen, and the circuit, whose values name the ports and terminals
    house : how wide and high lines and letters must be, and what they keep from pads
    date : when it was made; a line to write on where it is empty

    Returns
    -------
    The same board; its facts say how many designators a body hides, how many found no place, and how many of them and
    of the words at ports and terminals stand nearer to another part.

    """
    space = SilkscreenSpace(board, house)
    lines = drawings(board, netlist, space, house.legend_width_nm)
    pen = SilkscreenPen(space, house.legend_width_nm, house.legend_height_nm)
    pads: dict[str, list[PlacedPad]] = {}
    for pad in board.pads:
        pads.setdefault(pad.ref, []).append(pad)
    alike = _alike(board, netlist)
    for parts in alike:
        _pins(pen, parts, pads, netlist)
    for parts in alike:
        if KIND[parts[0].kind].appearance.names_each_pin:
            _screws(pen, parts, pads, netlist)
    for parts in alike:
        if KIND[parts[0].kind].outside:
            _names(pen, parts, pads, netlist)
    # small parts first: they have the fewest places about them
    designators = [
        text
        for parts in sorted(alike, key=lambda each: _area(each[0].body))
        for text in _designators(pen, parts, board.parts)
    ]
    at_ends = pen.texts[: len(pen.texts) - sum(text is not None for text in designators)]
    _title(pen, board, date)
    found = [text for text in designators if text]
    hidden = [text for text in found if space.bodies.meets(text.box)]
    layout = replace(
        board.layout,
        designators_hidden=len(hidden),
        designators_astray=sum(not space.belongs(text.box, Owner(text.ref)) for text in found if text not in hidden),
        names_astray=sum(not space.belongs(text.box, Owner(text.ref)) for text in at_ends),
        designators_missing=len(designators) - len(found),
    )
    return replace(board, silkscreen_lines=tuple(lines), silkscreen_texts=tuple(pen.texts), layout=layout)


def _alike(board: Board, netlist: Netlist) -> list[list[PlacedPart]]:
    """The parts of one pattern at the same place of the strips of antennas, side by side; the output's on their own."""
    lefts, output = board.layout.lefts_nm, netlist.ports[-1].strip
    components = netlist.component
    found: dict[object, list[PlacedPart]] = {}
    for part in board.parts:
        x, y = part.at
        last = components[part.ref].subject.strip == output
        from_left = x - lefts[max(bisect_right(lefts, x) - 1, 0)]
        found.setdefault((part.footprint, part.rotation, from_left, y, last), []).append(part)
    return list(found.values())


def _pins(pen: SilkscreenPen, parts: list[PlacedPart], pads: Mapping[str, list[PlacedPad]], netlist: Netlist) -> None:
    """The letters of equal parts' pins, each beside its own."""
    roles = netlist.component[parts[0].ref].part.pins
    for letter, of in KIND[parts[0].kind].appearance.letters:
        numbers = {roles[role] for role in of}
        own = [tuple(pad_box(pad) for pad in pads[part.ref] if pad.number in numbers) for part in parts]
        others = [tuple(pad_box(pad) for pad in pads[part.ref] if pad.number in roles.values()) for part in parts]
        owners = [
            Owner(part.ref, mine, tuple(box for box in all_ if box not in mine))
            for part, mine, all_ in zip(parts, own, others, strict=True)
        ]
        places: list[Places] = [partial(_away, hull(owner.own), hull(owner.others)) for owner in owners]
        pen.put_alike([letter] * len(parts), places, owners)


def _screws(pen: SilkscreenPen, parts: list[PlacedPart], pads: Mapping[str, list[PlacedPad]], netlist: Netlist) -> None:
    """What each screw of equal terminals is for: above the screws, else on end beside the blocks, else inside them."""
    told: list[list[tuple[str, PlacedPad]]] = []
    for part in parts:
        called = [(netlist.called.get(end.net, NetName()), end) for end in pads[part.ref]]
        words = [(LINE_NAMES.get(each.before or each.after, ""), end) for each, end in called]
        told.append([(word, end) for word, end in words if word])
    owners = {(end.ref, end.number): _owner_of(end, pads[end.ref]) for of in told for _, end in of}
    for places in (_above, _on_end):
        left = []
        for part, of in zip(parts, told, strict=True):
            ways = [(word, partial(places, end, part.body), owners[end.ref, end.number]) for word, end in of]
            if not pen.put_all(ways):
                left.append((part, of))
        parts, told = [part for part, _ in left], [of for _, of in left]
    for part, of in zip(parts, told, strict=True):
        for word, end in of:
            about = owners[end.ref, end.number]
            for places in (_above, _on_end, _under_top):
                if pen.put(word, partial(places, end, part.body), about=about, seen=places is not _under_top):
                    break


def _owner_of(pad: PlacedPad, pads: Sequence[PlacedPad]) -> Owner:
    return Owner(pad.ref, (pad_box(pad),), tuple(pad_box(other) for other in pads if other.number != pad.number))


def _names(pen: SilkscreenPen, parts: list[PlacedPart], pads: Mapping[str, list[PlacedPad]], netlist: Netlist) -> None:
    """The names of equal ports or terminals, in sight; in two pieces or shortened where the whole finds no room."""
    labels = {c.subject.strip: c.value for c in netlist.of_kind("connector")}
    pieces = [_name(netlist.component[part.ref].value, pads[part.ref], netlist, labels) for part in parts]
    words = [" ".join(each) for each in pieces]
    # above a terminal it would be read with what its screws are for
    near = _aside if KIND[parts[0].kind].appearance.names_each_pin else _beside
    places: list[Places] = [partial(near, part.body) for part in parts]
    owners = [Owner(part.ref) for part in parts]
    texts = pen.put_alike(words, places, owners)
    for each, word, of, owner, text in zip(pieces, words, places, owners, texts, strict=True):
        if text is None and not (len(each) > 1 and pen.put_all([(piece, of, owner) for piece in each])):
            cuts = (f"{word[:letters].rstrip()}{CUT}" for letters in range(len(word) - len(CUT), SHORTEST - 1, -1))
            if not any(pen.put(cut, of, about=owner, seen=True) for cut in cuts):
                pen.put(word, of, about=owner.ref)


def _name(value: str, pads: Sequence[PlacedPad], netlist: Netlist, labels: Mapping[str, str]) -> tuple[str, ...]:
    """The name of a part at the edge; of a stud for a strip's line, what screws have for the line, then the port's."""
    lines = [netlist.called.get(pad.net, NetName()) for pad in pads]
    if len(lines) == 1 and lines[0].strip and lines[0].before in LINE_NAMES:
        return LINE_NAMES[lines[0].before], ascii_text(labels[lines[0].strip])
    return (ascii_text(value),)


def _designators(
    pen: SilkscreenPen, parts: list[PlacedPart], all_parts: Sequence[PlacedPart]
) -> list[SilkscreenText | None]:
    """The designators of equal parts: beside each, else inside its body, else wherever there is room near it."""
    if KIND[parts[0].kind].appearance.names_each_pin:
        texts = _beside_names(pen, parts, all_parts)
    else:
        texts = _alike_at(pen, parts, [_first(part) for part in parts])
    return [
        texts[part.ref]
        or pen.put(part.ref, partial(pen.space.near, part.body), about=Owner(part.ref), seen=True)
        or pen.put(part.ref, partial(_inside, part.body), about=Owner(part.ref))
        or pen.put(part.ref, partial(_beside, part.body), about=part.ref, seen=True)
        or pen.put(part.ref, partial(_beside, part.body), about=part.ref)
        for part in parts
    ]


def _alike_at(
    pen: SilkscreenPen, parts: Sequence[PlacedPart], places: Sequence[Places]
) -> dict[str, SilkscreenText | None]:
    refs = [part.ref for part in parts]
    return dict(zip(refs, pen.put_alike(refs, places, [Owner(ref) for ref in refs]), strict=True))


def _first(part: PlacedPart) -> Places:
    """Where a designator stands best: between solder pads, else beside the body."""
    if not KIND[part.kind].appearance.colour:
        return lambda wide, high: chain(_inside(part.body, wide, high), _beside(part.body, wide, high))
    return partial(_beside, part.body)


def _beside_names(
    pen: SilkscreenPen, blocks: list[PlacedPart], all_parts: Sequence[PlacedPart]
) -> dict[str, SilkscreenText | None]:
    """The designators of equal blocks on the side of their names, or on a side where no other block has words."""
    groups: dict[tuple[bool, bool], list[tuple[PlacedPart, list[Box]]]] = {}
    for block in blocks:
        others = [p for p in all_parts if p.kind == block.kind and p.ref != block.ref and _level(p.body, block.body)]
        sides = _sides(pen, block, others)
        named = any(text.ref == block.ref and meet(sides[0], text.box) for text in pen.texts)
        groups.setdefault((sides[0][0] < block.body[0], named), []).append((block, sides))
    found: dict[str, SilkscreenText | None] = {}
    for group in groups.values():
        ways: list[Places] = [partial(_at_sides, block.body, sides) for block, sides in group]
        found |= _alike_at(pen, [block for block, _ in group], ways)
    return found


def _sides(pen: SilkscreenPen, block: PlacedPart, others: Sequence[PlacedPart]) -> list[Box]:
    """Left and right of a block up to the next: first the side without another's words, then that with its own."""
    left, low, right, top = block.body
    from_x = max((other.body[2] for other in others if other.body[2] <= left), default=0)
    to_x = min((other.body[0] for other in others if other.body[0] >= right), default=pen.space.board[2])
    near = {other.ref for other in others}

    def worse(side: Box) -> tuple[bool, bool]:
        about = {text.ref for text in pen.texts if meet(side, text.box)}
        return bool(about & near), block.ref not in about

    return sorted(((from_x, low, left, top), (right, low, to_x, top)), key=worse)


def _at_sides(body: Box, sides: Sequence[Box], wide: int, high: int) -> Iterator[Spot]:
    """Places beside a body on one side and then the other; upright where it does not touch it, to stay nearer."""
    for side in sides:
        spots = [spot for spot in _beside(body, wide, high) if _across(side, spot, wide, high)]
        yield from sorted(spots, key=lambda spot: not spot[2] and gap(body, box_of(spot, wide, high)) > CLOSE_NM)
    yield from _beside(body, wide, high)


def _across(side: Box, spot: Spot, wide: int, high: int) -> bool:
    """Whether a text lies between the left and right of a box."""
    left, _, right, _ = box_of(spot, wide, high)
    return side[0] <= left and right <= side[2]


def _level(one: Box, other: Box) -> bool:
    """Whether two boxes stand beside one another."""
    return one[1] < other[3] and other[1] < one[3]


def _title(pen: SilkscreenPen, board: Board, date: str) -> None:
    """Title, revision and a place for the date; small or in two pieces only where one found no place."""
    title, revision = ascii_text(board.title) or "board", f"rev {ascii_text(board.revision)}"
    whole = f"{title}  {revision}"
    if not (pen.put(whole, None, TITLE_CAP_NM) or pen.put(whole, None)):
        pen.put(title, None)
        pen.put(revision, None)
    pen.put(f"made {date or '____________'}", None)


def _area(body: Box) -> int:
    return (body[2] - body[0]) * (body[3] - body[1])


def _above(pad: PlacedPad, body: Box, wide: int, _: int) -> Iterator[Spot]:
    """Places centred above a screw, outside the body."""
    for step in range(ABOVE_STEPS):
        yield pad.at[0] - wide // 2, body[3] + BODY_AWAY_NM + step * ABOVE_NM, False


def _on_end(pad: PlacedPad, body: Box, wide: int, high: int) -> Iterator[Spot]:
    """Places beside a block, on the side that a screw is nearer to, reading upwards."""
    left, low, right, top = body
    for step in range(ABOVE_STEPS):
        away = BODY_AWAY_NM + step * ABOVE_NM
        at = left - away - high if 2 * pad.at[0] < left + right else right + away
        for down in range(0, max(top - low - wide, 1), DOWN_NM):
            yield at, top - wide - down, True


def _under_top(pad: PlacedPad, body: Box, wide: int, high: int) -> Iterator[Spot]:
    """Places centred on a screw, just inside the body."""
    for step in range(ABOVE_STEPS):
        # a nanometre more: what is inside does not touch
        yield pad.at[0] - wide // 2, body[3] - BODY_AWAY_NM - 1 - high - step * ABOVE_NM, False


def _inside(body: Box, wide: int, high: int) -> Iterator[Spot]:
    """Places of a text inside a body, from its middle."""
    left, low, right, top = body
    x, y = (left + right) // 2, (low + top) // 2
    for down in (0, 1, -1, 2, -2, 3, -3):
        for across in (0, 1, -1):
            dx, dy = across * (right - left) // 5, down * (top - low) // 8
            yield x - wide // 2 + dx, y - high // 2 + dy, False
            yield x - high // 2 + dx, y - wide // 2 + dy, True


def _away(own: Box, others: Box, wide: int, high: int) -> Iterator[Spot]:
    """Places beside some pads on the side that faces away from the others; then all about them."""
    left, low, right, top = own
    x, y = (left + right) // 2, (low + top) // 2
    dx, dy = left + right - others[0] - others[2], low + top - others[1] - others[3]
    for away in (AWAY_NM + distance for distance in DISTANCES_NM[:5]):
        for slide in SLIDES[:5]:
            if abs(dx) > abs(dy):
                yield (right + away if dx > 0 else left - away - wide), y - high // 2 + slide * high // 8, False
            else:
                yield x - wide // 2 + slide * wide // 2, (top + away if dy > 0 else low - away - high), False
    yield from _beside(own, wide, high)


def _aside(body: Box, wide: int, high: int) -> Iterator[Spot]:
    """Places beside a body to the left and right, lying and upright; then all about it."""
    for spot in _beside(body, wide, high):
        if spot[0] > body[2] or spot[0] + (high if spot[2] else wide) < body[0]:
            yield spot
    yield from _beside(body, wide, high)


def _beside(body: Box, wide: int, high: int) -> Iterator[Spot]:
    """Places on the four sides of a body, slid along, at growing distances."""
    left, low, right, top = body
    x, y = (left + right) // 2, (low + top) // 2
    for away in (AWAY_NM + distance for distance in DISTANCES_NM):
        for slide in SLIDES:
            shift = slide * max(right - left, 2 * wide) // 8
            yield x - wide // 2 + shift, top + away, False
            yield x - wide // 2 + shift, low - away - high, False
        for slide in SLIDES:
            shift = slide * max(top - low, 2 * wide) // 8
            yield left - away - wide, y - high // 2 + shift, False
            yield right + away, y - high // 2 + shift, False
            yield left - away - high, y - wide // 2 + shift, True
            yield right + away, y - wide // 2 + shift, True
