"""Faults planted in a clean board are caught in memory, each by the check that is meant for it."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from msgspec.structs import replace

from boardgen.board.check import check
from boardgen.model.copper import Board, SilkscreenText, Stroke, Track, Via
from tests.board.boards import CATALOGUE, example

MM = 1_000_000


def first(items, wanted):
    return next(item for item in items if wanted(item))


def without(items, item):
    return tuple(other for other in items if other is not item)


def bridge(board: Board) -> Board:
    pads = [pad for pad in board.pads if pad.ref.startswith("K")]
    one, two = pads[1], pads[2]
    return replace(board, tracks=(*board.tracks, Track("top", one.at, two.at, 200_000, one.net)))


def gap_in_bus(board: Board) -> Board:
    rail = first(board.tracks, lambda t: t.net == "bus centre" and t.width_nm == 1_500_000)
    middle = (rail.start[0] + rail.end[0]) // 2
    halves = (
        replace(rail, end=(middle - 2 * MM, rail.end[1])),
        replace(rail, start=(middle + 2 * MM, rail.start[1])),
    )
    return replace(board, tracks=(*without(board.tracks, rail), *halves))


def missing_via(board: Board) -> Board:
    via = first(board.vias, lambda v: v.net == "bus braid")
    return replace(board, vias=without(board.vias, via))


def short_lane(board: Board) -> Board:
    lane = max((t for t in board.tracks if t.net.startswith("select") and t.side == "bottom"), key=_long)
    middle = ((lane.start[0] + lane.end[0]) // 2, (lane.start[1] + lane.end[1]) // 2)
    return replace(board, tracks=(*without(board.tracks, lane), replace(lane, end=middle)))


def moved_pin(board: Board) -> Board:
    pad = first(board.pads, lambda x: x.ref == "K1" and x.net)
    moved = replace(pad, at=(pad.at[0] + 6 * MM, pad.at[1]))
    return replace(board, pads=(*without(board.pads, pad), moved))


def lost_pin(board: Board) -> Board:
    return replace(board, pads=without(board.pads, first(board.pads, lambda x: x.ref == "K1" and x.net)))


def close_track(board: Board) -> Board:
    pad = first(board.pads, lambda x: x.ref == "K1" and x.net and x.net != "0V")
    y = pad.at[1] + pad.height_nm // 2 + 100_000 + 50_000
    track = Track("top", (pad.at[0] - MM // 5, y), (pad.at[0] + MM // 5, y), 100_000, "stray")
    return replace(board, tracks=(*board.tracks, track))


def loose_copper(board: Board) -> Board:
    x, y = MM, board.height_nm - MM
    return replace(board, tracks=(*board.tracks, Track("bottom", (x, y), (x + MM // 2, y), 300_000, "0V")))


def thin_track(board: Board) -> Board:
    track = first(board.tracks, lambda t: t.net == "bus centre")
    return replace(board, tracks=(*without(board.tracks, track), replace(track, width_nm=100_000)))


def thin_surge(board: Board) -> Board:
    track = first(board.tracks, lambda t: t.surge)
    return replace(board, tracks=(*without(board.tracks, track), replace(track, width_nm=1_000_000)))


def bar_of_0v(board: Board) -> Track:
    return first(board.tracks, lambda t: t.net == "0V" and t.surge and t.side == "bottom" and _long(t) > 20 * MM)


def cut_bar(board: Board) -> Board:
    bar = bar_of_0v(board)
    x, y = bar.start[0], (bar.start[1] + bar.end[1]) // 2
    halves = replace(bar, end=(x, y - MM // 2)), replace(bar, start=(x, y + MM // 2))
    return replace(board, tracks=(*without(board.tracks, bar), *halves))


def few_vias_at_the_bar(board: Board) -> Board:
    """Two of six are left: their walls are thinner than the copper that they join."""
    x = bar_of_0v(board).start[0]
    cluster = [via for via in board.vias if abs(via.at[0] - x) == 600_000]
    assert len(cluster) == 6
    return replace(board, vias=tuple(via for via in board.vias if via not in cluster[2:]))


def neck_at_a_screw(board: Board) -> Board:
    """The pour leads there still, and a thin track."""
    rail = first(board.tracks, lambda t: t.net == "0V" and t.surge and t.side == "top" and t.start[1] == t.end[1])
    neck = first(board.tracks, lambda t: t.surge and rail.start[1] in (t.start[1], t.end[1]) and t.start[0] == t.end[0]
                 and t.side == "top" and _long(t) < 5 * MM and t.start[0] < rail.end[0] - 2 * MM)  # fmt: skip
    thin = replace(neck, width_nm=600_000, surge=False)
    return replace(board, tracks=(*(t for t in board.tracks if (t.start, t.end) != (neck.start, neck.end)), thin))


def neck_at_a_port(board: Board) -> Board:
    port = first(board.pads, lambda x: x.ref == "J1")
    neck = first(board.tracks, lambda t: t.surge and port.at in (t.start, t.end))
    return replace(board, tracks=(*without(board.tracks, neck), replace(neck, width_nm=600_000, surge=False)))


def longer_than_is_made(board: Board) -> Board:
    return replace(board, height_nm=CATALOGUE.house.longest_nm + 1)


def small_ring(board: Board) -> Board:
    pad = first(board.pads, lambda x: x.ref == "K1")
    return replace(board, pads=(*without(board.pads, pad), replace(pad, hole_nm=pad.width_nm - 200_000)))


def near_holes(board: Board) -> Board:
    via = board.vias[0]
    return replace(board, vias=(*board.vias, replace(via, at=(via.at[0], via.at[1] + 700_000))))


def tiny_hole(board: Board) -> Board:
    via = board.vias[0]
    return replace(board, vias=(*board.vias[1:], replace(via, hole_nm=200_000)))


def over_edge(board: Board) -> Board:
    return replace(board, vias=(*board.vias, Via((300_000, 30 * MM), MM, MM // 2, "0V")))


def under_screw(board: Board) -> Board:
    x, y = board.mounting_holes[0].at
    return replace(board, tracks=(*board.tracks, Track("top", (x + 2 * MM, y), (x + 3 * MM, y), MM // 2, "0V")))


def earth_too_near(board: Board) -> Board:
    stud = first(board.pads, lambda x: x.net == "earth" and x.width_nm == 10 * MM)
    x = stud.at[0] - stud.width_nm // 2 - MM // 2
    return replace(board, tracks=(*board.tracks, Track("bottom", (x, stud.at[1]), (x, stud.at[1] - MM), 300_000, "x")))


def sharp_corner(board: Board) -> Board:
    track = first(board.tracks, lambda t: t.net == "bus centre" and t.width_nm == 1_500_000)
    x, y = track.start
    extra = Track("top", (x, y), (x + MM, y + MM // 2), 300_000, "bus centre")
    return replace(board, tracks=(*board.tracks, extra))


def parts_collide(board: Board) -> Board:
    part = first(board.parts, lambda s: s.ref == "K1")
    other = first(board.parts, lambda s: s.ref == "T1")
    return replace(board, parts=(*without(board.parts, part), replace(part, at=other.at)))


def text_on_land(board: Board) -> Board:
    x, y = board.pads[0].at
    return replace(
        board, silkscreen_texts=(*board.silkscreen_texts, SilkscreenText("J9", (x, y, x + MM, y + 12 * MM // 10), ()))
    )


def low_text(board: Board) -> Board:
    text = board.silkscreen_texts[0]
    left, low, right, _ = text.box
    return replace(
        board,
        silkscreen_texts=(
            SilkscreenText(text.words, (left, low, right, low + 800_000), ()),
            *board.silkscreen_texts[1:],
        ),
    )


def thin_legend(board: Board) -> Board:
    return replace(board, silkscreen_lines=(*board.silkscreen_lines, Stroke(((MM, 9 * MM), (MM, 9 * MM + 1)), 80_000)))


def legend_over_hole(board: Board) -> Board:
    x, y = board.vias[0].at
    return replace(board, silkscreen_lines=(*board.silkscreen_lines, Stroke(((x, y - MM), (x, y + MM)), 150_000)))


def legend_at_edge(board: Board) -> Board:
    return replace(board, silkscreen_lines=(*board.silkscreen_lines, Stroke(((80_000, MM), (80_000, 9 * MM)), 150_000)))


def twice_written(board: Board) -> Board:
    return replace(board, silkscreen_texts=(*board.silkscreen_texts, board.silkscreen_texts[0]))


def thin_web(board: Board) -> Board:
    pad = first(board.pads, lambda x: x.ref == "K1")
    near = replace(pad, ref="X1", at=(pad.at[0] + pad.width_nm + 150_000, pad.at[1]), net="")
    return replace(board, pads=(*board.pads, near))


def _long(track: Track) -> int:
    return abs(track.end[0] - track.start[0]) + abs(track.end[1] - track.start[1])


PLANTED: list[tuple[Callable[[Board], Board], str]] = [
    (bridge, "B102"), (gap_in_bus, "B101"), (missing_via, "B101"), (short_lane, "B101"), (moved_pin, "B101"),
    (lost_pin, "B103"), (close_track, "B201"), (loose_copper, "B104"), (thin_track, "B203"), (thin_surge, "B203"),
    (cut_bar, "B207"), (few_vias_at_the_bar, "B207"), (neck_at_a_screw, "B207"), (neck_at_a_port, "B207"),
    (longer_than_is_made, "B305"),
    (small_ring, "B301"), (near_holes, "B303"), (tiny_hole, "B302"), (over_edge, "B304"), (over_edge, "B204"),
    (under_screw, "B205"), (earth_too_near, "B202"), (sharp_corner, "B206"), (parts_collide, "B401"),
    (text_on_land, "B404"), (low_text, "B405"), (thin_legend, "B406"), (twice_written, "B407"), (thin_web, "B403"),
    (legend_over_hole, "B408"), (legend_at_edge, "B409"),
]  # fmt: skip


def test_the_board_itself_is_clean() -> None:
    layout, _, _ = example(pour=False)
    assert layout.faults == ()


@pytest.mark.parametrize(("plant", "check_id"), PLANTED, ids=[f"{p.__name__} {i}" for p, i in PLANTED])
def test_planted(plant: Callable[[Board], Board], check_id: str) -> None:
    layout, netlist, rules = example(pour=False)
    found = check(plant(layout.board), netlist, CATALOGUE.footprints, rules)
    mine = [problem for problem in found if problem.id.startswith(check_id)]
    assert mine, {problem.id for problem in found}
    assert all("mm" in problem.place.key and problem.sentence for problem in mine)
