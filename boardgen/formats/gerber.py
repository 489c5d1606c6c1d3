"""Writes the layers of a board in the Gerber layer format with attributes (X2), coordinates in nanometres.

Source: Ucamco, The Gerber Layer Format Specification, revision 2024.05, the sections on coordinates (FS, MO), apertures
(AD), plotting (D01 to D03), polarity (LP), regions (G36, G37) and attributes (TF, TA, TO, TD). Titles of sections
recalled. An aperture is defined when it is first used, so that the file follows the order of the board.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from boardgen.model.copper import Board, PlacedPad, PointNm, Side

_POSITIVE = "Positive"
_SPECIAL = re.compile(r"[^ -~]|[%*,\\]")
"""What is no printable letter of ASCII, or has a meaning in the format."""


class _Layer:
    """The text of one layer as it grows; apertures are numbered when first used."""

    def __init__(self, program: str, date: str, function: str, polarity: str = _POSITIVE) -> None:
        name, _, version = program.partition(" ")
        self.head = [f"%TF.GenerationSoftware,boardgen,{_field(name)},{_field(version)}*%"]
        if date:
            self.head.append(f"%TF.CreationDate,{date}*%")
        self.head += ["%TF.Part,Single*%", f"%TF.FileFunction,{function}*%", f"%TF.FilePolarity,{polarity}*%"]
        self.head += ["%FSLAX46Y46*%", "%MOMM*%", "G01*", "G75*"]
        self.apertures: dict[tuple[str, str], int] = {}
        self.defined: list[str] = []
        self.body: list[str] = []
        self.attached = ("", "")
        self.aperture = 0
        self.dark = True

    def use(self, form: str, function: str) -> None:
        """Selects an aperture, such as "C,0.6", with its function."""
        number = self.apertures.get((form, function))
        if number is None:
            number = self.apertures[form, function] = 10 + len(self.apertures)
            if function:
                self.defined.append(f"%TA.AperFunction,{function}*%")
            self.defined.append(f"%ADD{number}{form}*%")
            if function:
                self.defined.append("%TD.AperFunction*%")
        if self.aperture != number:
            self.body.append(f"D{number}*")
            self.aperture = number

    def attach(self, net: str, pin: str = "") -> None:
        """Net, and pin where there is one, of what follows."""
        if (net, pin) == self.attached:
            return
        old_net, old_pin = self.attached
        if old_pin and not pin:
            self.body.append("%TD*%")
            old_net = ""
        if net != old_net:
            self.body.append(f"%TO.N,{net}*%")
        if pin and pin != old_pin:
            self.body.append(f"%TO.P,{pin}*%")
        self.attached = net, pin

    def polarity(self, dark: bool) -> None:
        if dark != self.dark:
            self.body.append("%LPD*%" if dark else "%LPC*%")
            self.dark = dark

    def line(self, points: Sequence[PointNm]) -> None:
        (x, y), *rest = points
        self.body.append(f"X{x}Y{y}D02*")
        self.body += [f"X{x}Y{y}D01*" for x, y in rest]

    def piece(self, start: PointNm, end: PointNm) -> None:
        self.body.append(f"X{start[0]}Y{start[1]}D02*\nX{end[0]}Y{end[1]}D01*")

    def flash(self, point: PointNm) -> None:
        self.body.append(f"X{point[0]}Y{point[1]}D03*")

    def area(self, ring: tuple[PointNm, ...], dark: bool = True) -> None:
        self.polarity(dark)
        self.body.append("G36*")
        self.line((*ring, ring[0]))
        self.body.append("G37*")

    def bytes(self) -> bytes:
        return "\n".join([*self.head, *self.defined, *self.body, "M02*", ""]).encode("ascii")


def gerber_layers(board: Board, program: str, mask_margin_nm: int, date: str = "") -> dict[str, bytes]:
    """The layers of a board by file name.

    Parameters
    ----------
    board : the drawn board, in nanometres, origin at the lower left corner seen from the component side
    program : name and version of what writes, with one blank between them
    mask_margin_nm : what the opening of the solder mask is wider than its pad on each side
    date : ISO date-time, "" to leave it out

    """
    return {
        "copper-top.gbr": _copper(board, "top", _Layer(program, date, "Copper,L1,Top")),
        "copper-bottom.gbr": _copper(board, "bottom", _Layer(program, date, "Copper,L2,Bot")),
        "mask-top.gbr": _mask(board, "top", mask_margin_nm, _Layer(program, date, "Soldermask,Top", "Negative")),
        "mask-bottom.gbr": _mask(board, "bottom", mask_margin_nm, _Layer(program, date, "Soldermask,Bot", "Negative")),
        "silkscreen-top.gbr": _legend(board, _Layer(program, date, "Legend,Top")),
        "outline.gbr": _outline(board, _Layer(program, date, "Profile,NP")),
    }


def _copper(board: Board, side: Side, layer: _Layer) -> bytes:
    for region in board.regions:
        if region.side == side:
            layer.attach(_field(region.net))
            layer.area(region.outline)
            for hole in region.clear:
                layer.area(hole, dark=False)
    layer.polarity(dark=True)
    for track in board.tracks:
        if track.side == side:
            layer.use(f"C,{_mm(track.width_nm)}", "Conductor")
            layer.attach(_field(track.net))
            layer.piece(track.start, track.end)
    for via in board.vias:
        layer.use(f"C,{_mm(via.pad_nm)}", "ViaPad")
        layer.attach(_field(via.net))
        layer.flash(via.at)
    for pad in board.pads:
        if side in pad.sides:
            layer.use(_form(pad, 0), "ComponentPad" if pad.hole_nm else "SMDPad,CuDef")
            layer.attach(_field(pad.net) if pad.net else "N/C", f"{_field(pad.ref)},{_field(pad.number)}")
            layer.flash(pad.at)
    return layer.bytes()


def _mask(board: Board, side: Side, margin_nm: int, layer: _Layer) -> bytes:
    for pad in board.pads:
        if side in pad.sides:
            layer.use(_form(pad, margin_nm), "")
            layer.flash(pad.at)
    for hole in board.mounting_holes:
        layer.use(f"C,{_mm(hole.hole_nm + 2 * margin_nm)}", "")
        layer.flash(hole.at)
    return layer.bytes()


def _legend(board: Board, layer: _Layer) -> bytes:
    for stroke in (*board.silkscreen_lines, *(s for text in board.silkscreen_texts for s in text.strokes)):
        layer.use(f"C,{_mm(stroke.width_nm)}", "")
        layer.line(stroke.points)
    return layer.bytes()


def _outline(board: Board, layer: _Layer) -> bytes:
    layer.use("C,0.1", "Profile")
    wide, high = board.width_nm, board.height_nm
    layer.line(((0, 0), (wide, 0), (wide, high), (0, high), (0, 0)))
    return layer.bytes()


def _form(pad: PlacedPad, margin_nm: int) -> str:
    wide, high = pad.width_nm + 2 * margin_nm, pad.height_nm + 2 * margin_nm
    return f"C,{_mm(wide)}" if pad.is_round else f"R,{_mm(wide)}X{_mm(high)}"


def _field(text: str) -> str:
    """Text of an attribute, what has a meaning in the format written by its code point."""
    return _SPECIAL.sub(lambda found: f"\\u{ord(found.group()):04X}", text)


def _mm(size_nm: int) -> str:
    return f"{size_nm / 1e6:.6f}".rstrip("0").rstrip(".")
