"""Rings and teardrops in the fabrication note, against numbers worked by hand."""

from msgspec.structs import replace

from boardgen.documents.fabrication import rings_mm, teardrops
from tests.board.boards import CATALOGUE, example


def test_rings_of_a_board():
    """Every ring by hand: half of what the land is wider than its hole."""
    board = example()[0].board
    pads, vias = rings_mm(board)
    assert pads == min((min(p.width_nm, p.height_nm) - p.hole_nm) / 2 / 1e6 for p in board.pads if p.hole_nm)
    assert vias == min((v.pad_nm - v.hole_nm) / 2 / 1e6 for v in board.vias)
    assert min(pads, vias) >= CATALOGUE.house.ring_nm / 1e6


def test_wide_rings_need_no_teardrops():
    """A via of 0.8 mm with a hole of 0.4 mm: ring 0.2 mm, and 0.1 mm of it left where the hole wanders."""
    board = example()[0].board
    via = replace(board.vias[0], pad_nm=800_000, hole_nm=400_000)
    said = teardrops(replace(board, vias=(via,), pads=()), CATALOGUE.house)
    assert said.startswith("vias at least 0.20 mm")
    assert "leaves 0.10 mm of 0.05 mm needed: no teardrops needed" in said


def test_narrow_rings_ask_for_them():
    """0.14 mm of ring leaves 0.04 mm, less than 0.05 mm."""
    board = example()[0].board
    via = replace(board.vias[0], pad_nm=680_000, hole_nm=400_000)
    assert teardrops(replace(board, vias=(via,)), CATALOGUE.house).endswith("please add teardrops")


def test_nothing_drilled():
    board = example()[0].board
    assert "no hole" in teardrops(replace(board, vias=(), pads=()), CATALOGUE.house)
