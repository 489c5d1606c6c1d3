"""Reads a board and its footprints back from the S-expression form of KiCad 6, as far as boards written here use it.

Source as in boardgen.formats.kicad_pcb. Places come out as the layers have them: nanometres from the lower left corner
of the board, y upwards. A statement that boards written here do not have is a fault by name.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from functools import partial
from typing import Any

from msgspec import Struct

from boardgen.formats.kicad_pcb import COPPER, NOT_UNDER_A_SCREW, turned
from boardgen.formats.s_expression import ExpressionError, named, one, read_expression
from boardgen.model.copper import PointNm, Region, Side, Stroke, Track, Via

KNOWN = {
    "version", "generator", "general", "paper", "title_block", "layers", "setup", "net", "footprint", "gr_line",
    "gr_text", "segment", "via", "zone",
}  # fmt: skip
KNOWN_OF_FOOTPRINTS = {
    "layer", "tstamp", "at", "descr", "property", "attr", "fp_text", "fp_line", "fp_poly", "pad", "version",
    "generator",
}  # fmt: skip
SIDE: Mapping[str, Side] = {layer: side for side, layer in COPPER.items()}
Item = Sequence[Any]


class EditorPad(Struct, frozen=True):
    """A pad: its number ("" for a screw's hole), middle, size as it lies, hole, form, net and role."""

    number: str
    at: PointNm
    width_nm: int
    height_nm: int
    hole_nm: int
    kind: str
    form: str
    net: str = ""
    role: str = ""


class EditorText(Struct, frozen=True):
    """A printed text: its words, middle, and whether it is turned by 90 degrees."""

    words: str
    at: PointNm
    upright: bool


class EditorFootprint(Struct, frozen=True):
    """A footprint in a place. Pads, lines and rings lie where the board has them, or about its own origin."""

    name: str
    ref: str
    value: str
    at: PointNm
    degrees: int
    fields: Mapping[str, str]
    pads: tuple[EditorPad, ...]
    lines: tuple[Stroke, ...]
    rings: Mapping[str, tuple[tuple[PointNm, ...], ...]]
    printed: EditorText | None


class EditorArea(Struct, frozen=True):
    """A filled area, the ring by which the editor fills it, and what it keeps off other nets."""

    region: Region
    filled: tuple[PointNm, ...]
    clearance_nm: int


class EditorBoard(Struct, frozen=True):
    """A board as the file has it."""

    title: str
    revision: str
    date: str
    layers: tuple[tuple[int, str, str], ...]
    thickness_mm: str
    mask_margin_nm: int
    nets: frozenset[str]
    footprints: tuple[EditorFootprint, ...]
    outline: tuple[tuple[PointNm, PointNm], ...]
    tracks: tuple[Track, ...]
    vias: tuple[Via, ...]
    areas: tuple[EditorArea, ...]
    keepouts: tuple[tuple[PointNm, ...], ...]
    texts: tuple[EditorText, ...]


Place = Callable[[Item], PointNm]
"""Where two coordinates of the file lie."""


def read_board(text: str) -> EditorBoard:
    """A board file. Raises ExpressionError where it cannot be read whole."""
    whole = read_expression(text)
    _only_known(whole, "kicad_pcb", KNOWN)
    title, setup = one(whole, "title_block"), one(whole, "setup")
    corner = [_nm(each) for each in one(setup, "aux_axis_origin")[1:]]

    def place(item: Item) -> PointNm:
        return _nm(item[1]) - corner[0], corner[1] - _nm(item[2])

    nets = {str(net[1]): str(net[2]) for net in named(whole, "net")}
    net_of, zones = partial(_net, nets), list(named(whole, "zone"))
    return EditorBoard(
        title=_said(title, "title"),
        revision=_said(title, "rev"),
        date=_said(title, "date"),
        layers=tuple((int(each[0]), str(each[1]), str(each[2])) for each in one(whole, "layers")[1:]),
        thickness_mm=_text(one(whole, "general"), "thickness"),
        mask_margin_nm=_nm(one(setup, "pad_to_mask_clearance")[1]),
        nets=frozenset(nets.values()),
        footprints=tuple(_footprint(each, place(one(each, "at")), net_of) for each in named(whole, "footprint")),
        outline=tuple(
            (place(one(line, "start")), place(one(line, "end")))
            for line in named(whole, "gr_line")
            if _text(line, "layer") == "Edge.Cuts"
        ),
        tracks=tuple(
            Track(
                _side(track), place(one(track, "start")), place(one(track, "end")), _nm(one(track, "width")[1]),
                net_of(track),
            )
            for track in named(whole, "segment")
        ),
        vias=tuple(
            Via(place(one(via, "at")), _nm(one(via, "size")[1]), _nm(one(via, "drill")[1]), net_of(via))
            for via in named(whole, "via")
        ),
        areas=tuple(_area(zone, place, net_of) for zone in zones if not list(named(zone, "keepout"))),
        keepouts=tuple(_keepout(zone, place) for zone in zones if list(named(zone, "keepout"))),
        texts=tuple(_printed(text, str(text[1]), place(one(text, "at"))) for text in named(whole, "gr_text")),
    )  # fmt: skip


def read_footprint(text: str) -> EditorFootprint:
    """A footprint of a library, about its own origin. Raises ExpressionError where it cannot be read whole."""
    return _footprint(read_expression(text), (0, 0), lambda _: "")


def _footprint(item: Item, at: PointNm, net_of: Callable[[Item], str]) -> EditorFootprint:
    _only_known(item, "footprint", KNOWN_OF_FOOTPRINTS)
    degrees = next((_degrees(each) for each in named(item, "at")), 0)

    def place(local: Item) -> PointNm:
        x, y = turned((_nm(local[1]), -_nm(local[2])), degrees // 90)
        return at[0] + x, at[1] + y

    texts = {str(text[1]): text for text in named(item, "fp_text")}
    if texts.keys() != {"reference", "value"}:
        raise ExpressionError("a footprint has no designator or no value")
    ref = texts["reference"]
    printed = _text(ref, "layer") == "F.SilkS"
    rings: dict[str, tuple[tuple[PointNm, ...], ...]] = {}
    for ring in named(item, "fp_poly"):
        rings[_text(ring, "layer")] = (*rings.get(_text(ring, "layer"), ()), _ring(ring, place))
    return EditorFootprint(
        name=str(item[1]),
        ref=str(ref[2]),
        value=str(texts["value"][2]),
        at=at,
        degrees=degrees,
        fields={str(each[1]): str(each[2]) for each in named(item, "property")},
        pads=tuple(_pad(pad, place, degrees, net_of) for pad in named(item, "pad")),
        lines=tuple(
            Stroke((place(one(line, "start")), place(one(line, "end"))), _nm(one(line, "width")[1]))
            for line in named(item, "fp_line")
        ),
        rings=rings,
        printed=_printed(ref, str(ref[2]), place(one(ref, "at"))) if printed else None,
    )


def _pad(item: Item, place: Place, degrees: int, net_of: Callable[[Item], str]) -> EditorPad:
    wide, high = (_nm(each) for each in one(item, "size")[1:])
    if degrees % 180:
        wide, high = high, wide
    hole = next((_nm(drill[1]) for drill in named(item, "drill")), 0)
    joined = net_of(item) if list(named(item, "net")) else ""
    role = next((str(each[1]) for each in named(item, "pinfunction")), "")
    kind, form = str(item[2]), str(item[3])
    return EditorPad(str(item[1]), place(one(item, "at")), wide, high, hole, kind, form, joined, role)


def _printed(item: Item, words: str, at: PointNm) -> EditorText:
    if _text(item, "layer") != "F.SilkS":
        msg = f'the text "{words}" lies on {_text(item, "layer")}'
        raise ExpressionError(msg)
    return EditorText(words, at, bool(_degrees(one(item, "at")) % 180))


def _area(item: Item, place: Place, net_of: Callable[[Item], str]) -> EditorArea:
    net = net_of(item)
    filled = one(item, "filled_polygon")
    if _text(item, "net_name") != net or _side(filled) != _side(item):
        raise ExpressionError("an area contradicts itself on its net or layer")
    outline, *clear = (_ring(ring, place) for ring in named(item, "polygon"))
    clearance = _nm(one(one(item, "connect_pads"), "clearance")[1])
    return EditorArea(Region(_side(item), outline, tuple(clear), net), _ring(filled, place), clearance)


def _keepout(item: Item, place: Place) -> tuple[PointNm, ...]:
    """The ring of an area that copper must stay out of on both sides."""
    rules = {str(rule[0]): str(rule[1]) for rule in one(item, "keepout")[1:]}
    if {*one(item, "layers")[1:]} != set(SIDE) or any(rules.get(kind) != "not_allowed" for kind in NOT_UNDER_A_SCREW):
        raise ExpressionError("a keep-out does not keep copper out of both sides")
    return _ring(one(item, "polygon"), place)


def _ring(item: Item, place: Place) -> tuple[PointNm, ...]:
    return tuple(map(place, named(one(item, "pts"), "xy")))


def _net(nets: Mapping[str, str], item: Item) -> str:
    """The net of a pad, track, via or area; a pad names it as well."""
    _, number, *name = one(item, "net")
    if number not in nets or any(each != nets[number] for each in name):
        msg = f"net {number} is not in the list of nets by that name"
        raise ExpressionError(msg)
    return nets[number]


def _side(item: Item) -> Side:
    layer = _text(item, "layer")
    if layer not in SIDE:
        msg = f"copper on the layer {layer}"
        raise ExpressionError(msg)
    return SIDE[layer]


def _degrees(item: Item) -> int:
    degrees = round(float(item[3])) if len(item) > 3 else 0
    if degrees % 90:
        msg = f"something is turned by {degrees} degrees"
        raise ExpressionError(msg)
    return degrees % 360


def _said(item: Item, word: str) -> str:
    """A text that is left out where there is none."""
    return next((str(each[1]) for each in named(item, word)), "")


def _text(item: Item, word: str) -> str:
    return str(one(item, word)[1])


def _nm(number: Any) -> int:
    try:
        return round(float(number) * 1e6)
    except (TypeError, ValueError, OverflowError) as error:
        msg = f"{number} is no length"
        raise ExpressionError(msg) from error


def _only_known(item: Item, kind: str, known: Iterable[str]) -> None:
    if not item or item[0] != kind:
        msg = f"it is no {kind}"
        raise ExpressionError(msg)
    for each in item[1:]:
        if isinstance(each, list) and (not each or each[0] not in known):
            msg = f"({each[0] if each else ''} ...) is not known here"
            raise ExpressionError(msg)
