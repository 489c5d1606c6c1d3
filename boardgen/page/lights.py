"""Shapes over a picture of the board that light up what is pointed at: its parts and the copper of its nets."""

from __future__ import annotations

from collections.abc import Iterable

from boardgen.documents.canvas import Canvas
from boardgen.documents.pictures.board_picture import EDGE_MM
from boardgen.model.copper import Board, PlacedPad, Side, Track


def with_lights(svg: str, board: Board, side: Side) -> str:
    """The picture with a shape for each part and net of that side; they are seen only while they are lit."""
    wide, high = board.width_nm / 1e6, board.height_nm / 1e6
    shapes, canvas = Canvas(), Canvas()
    for net, tracks, pads in _nets(board, side):
        with shapes.group(class_="light", data_net=net):
            for track in tracks:
                ends = [(x / 1e6, high - y / 1e6) for x, y in (track.start, track.end)]
                shapes.line(*ends, width=track.width_nm / 1e6, colour="currentColor", stroke_linecap="round")
            for pad in pads:
                left, top = pad.at[0] / 1e6 - pad.width_nm / 2e6, high - pad.at[1] / 1e6 - pad.height_nm / 2e6
                shapes.rect(left, top, pad.width_nm / 1e6, pad.height_nm / 1e6, fill="currentColor")
    if side == "top":
        for part in board.parts:
            left, low, right, top = (value / 1e6 for value in part.body)
            shapes.rect(left, high - top, right - left, top - low, class_="light", data_part=part.ref, rx=0.4)
    canvas.add(shapes, EDGE_MM + (wide if side == "bottom" else 0), EDGE_MM, mirrored=side == "bottom")
    return svg.replace("</svg>", f"{canvas}</svg>", 1)


def _nets(board: Board, side: Side) -> Iterable[tuple[str, list[Track], list[PlacedPad]]]:
    for net in sorted({pad.net for pad in board.pads if pad.net}):
        tracks = [track for track in board.tracks if track.net == net and track.side == side]
        yield net, tracks, [pad for pad in board.pads if pad.net == net and side in pad.sides]
