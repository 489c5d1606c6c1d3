"""Shapes over a picture of the board that light up what is pointed at: its parts and the copper of its nets."""

from __future__ import annotations

from collections.abc import Iterable

from boardgen.documents.canvas import Canvas
from boardgen.documents.pictures.board_picture import EDGE_MM
from boardgen.model.copper import Board, PlacedPad, Side, Track


def with_lights(svg: str, board: Board, side: Side, *, bodies: bool, edge_mm: float = EDGE_MM) -> str:
    """The picture with shapes that are seen only while they are lit.

    Parameters
    ----------
    svg : the board from that side, the bottom turned over from left to right.
    board : what is drawn.
    side : whose copper lights up, net by net.
    bodies : whether the parts do too.
    edge_mm : how far the board's corner lies from the picture's origin.

    """
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
    if bodies:
        for part in board.parts:
            left, low, right, top = (value / 1e6 for value in part.body)
            shapes.rect(left, high - top, right - left, top - low, class_="light", data_part=part.ref, rx=0.4)
    canvas.add(shapes, edge_mm + (wide if side == "bottom" else 0), edge_mm, mirrored=side == "bottom")
    return svg.replace("</svg>", f"{canvas}</svg>", 1)


def _nets(board: Board, side: Side) -> Iterable[tuple[str, list[Track], list[PlacedPad]]]:
    for net in sorted({pad.net for pad in board.pads if pad.net}):
        tracks = [track for track in board.tracks if track.net == net and track.side == side]
        yield net, tracks, [pad for pad in board.pads if pad.net == net and side in pad.sides]
