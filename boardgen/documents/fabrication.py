"""The fabrication folder: layers, drills, test list, positions, note, all of it once more in one archive."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable

from boardgen.board.rules import Rules
from boardgen.board.stroke_font import ascii_text
from boardgen.formats.fixed_zip import fixed_zip
from boardgen.formats.gerber import gerber_layers
from boardgen.formats.ipc_d_356 import bare_board_test
from boardgen.formats.positions import positions_csv
from boardgen.formats.xnc import drill_files
from boardgen.model.board_house import BoardHouse
from boardgen.model.copper import Board
from boardgen.model.netlist import Netlist
from boardgen.model.problem import Problem

FOLDER = "fabrication/"
MARK = "NOT-GOOD-"
"""Put before every file name of a board with a fault, so that nobody sends it out by mistake."""
WANDER_MM = 0.1
"""How far a hole may lie off its land's middle: common practice, no source."""
LEFT_MM = 0.05
"""What must be left of a ring where a track joins it: IPC-6012 class 3, external layers (recalled)."""


def fabrication_files(
    board: Board,
    netlist: Netlist,
    rules: Rules,
    faults: tuple[Problem, ...],
    verify: Iterable[str],
    program: str,
    date: str,
) -> dict[str, bytes]:
    """What a board house needs, by path; with faults every name carries a mark and no archive is made."""
    stamp = f"{date}T00:00:00+00:00" if date else ""
    margin = rules.house.mask_margin_nm
    files = gerber_layers(board, program, margin, stamp) | drill_files(board, program, stamp)
    job = ascii_text(f"{board.title}, revision {board.revision}")
    files["test-list.ipc"] = bare_board_test(board, program, job)
    files["positions.csv"] = positions_csv(board, netlist)
    files["fabrication-note.txt"] = note(board, rules, faults, verify, date).encode()
    if faults:
        return {f"{FOLDER}{MARK}{name}": data for name, data in files.items()}
    return {f"{FOLDER}{name}": data for name, data in (files | {archive_name(board): fixed_zip(files)}).items()}


def archive_name(board: Board) -> str:
    """The archive's name, of title and revision in plain letters, so that no two boards' look alike where they go."""
    words = re.findall(r"[A-Za-z0-9.]+", ascii_text(f"{board.title} {board.revision}"))
    return f"{'-'.join(words)}.zip"


def note(board: Board, rules: Rules, faults: tuple[Problem, ...], verify: Iterable[str], date: str) -> str:
    """What to tell the board house, and what to check before the order."""
    wide, high = board.width_nm / 1e6, board.height_nm / 1e6
    house = rules.house
    least = min((track.width_nm for track in board.tracks), default=0) / 1e6
    clearance = rules.clearance_nm / 1e6
    lines = [f"{board.title}, revision {board.revision}" + (f", {date}" if date else ""), ""]
    if faults:
        lines += [
            f"DO NOT ORDER: {len(faults)} checks fail.",
            *(f"  {p.place}: {p.id}: {p.sentence}" for p in faults),
            "",
        ]
    lines += [
        f"Size       {wide:.2f} x {high:.2f} mm, {board.area_m2 * 1e4:.0f} cm2",
        "Stack      two layers, FR-4, 1.6 mm, 35 um copper finished, holes plated through",
        "Finish     any that solders by hand; lead-free hot air levelling is enough",
        "Mask       both sides, any colour; vias covered",
        f"Legend     top, light; {_designators(board)}",
        f"Least      track {least:.2f} mm, clearance {clearance:.2f} mm, ring {min(rings_mm(board)):.2f} mm",
        f"Rings      {teardrops(board, house)}",
        f"Drawn for  {house.name} ({house.standing}: {house.source})",
        "",
        "Holes, finished:",
        *_hole_lines(board),
        "",
        "Files: copper, mask and legend in the layer format with attributes, drills in XNC, bare-board test list in",
        "IPC-D-356A (micrometres), positions of parts. Origin at the lower left corner, seen from the component side.",
        "",
        "Verify against the maker's drawing before you order:",
        *(f"  [ ] {sentence}" for sentence in verify),
        "",
    ]
    return "\n".join(lines)


def _hole_lines(board: Board) -> list[str]:
    """Each diameter with whether it is plated and how many there are, small to large."""
    holes = [(pad.hole_nm, True) for pad in board.pads if pad.hole_nm]
    holes += [(via.hole_nm, True) for via in board.vias]
    holes += [(screw.hole_nm, False) for screw in board.mounting_holes]
    return [
        f"  {size / 1e6:5.2f} mm  {'plated' if plated else 'not plated':10}  {count:4d}"
        for (size, plated), count in sorted(Counter(holes).items())
    ]


def _designators(board: Board) -> str:
    """Where the designators stand, in words."""
    facts = board.layout
    beside = len(board.parts) - facts.designators_hidden - facts.designators_astray - facts.designators_missing
    return (
        f"of {len(board.parts)} designators {beside} nearest to their parts, {facts.designators_hidden} under, "
        f"{facts.designators_astray} nearer to another part, {facts.designators_missing} left out"
    )


def rings_mm(board: Board) -> tuple[float, float]:
    """The narrowest ring of a land and of a via, in millimetres; infinite where there is none."""
    pads = [(min(pad.width_nm, pad.height_nm) - pad.hole_nm) / 2e6 for pad in board.pads if pad.hole_nm]
    vias = [(via.pad_nm - via.hole_nm) / 2e6 for via in board.vias]
    return min(pads, default=float("inf")), min(vias, default=float("inf"))


def teardrops(board: Board, house: BoardHouse) -> str:
    """One sentence with the rings, what the house asks, and whether teardrops are wanted."""
    found = [(name, mm) for name, mm in zip(("lands", "vias"), rings_mm(board), strict=True) if mm < float("inf")]
    if not found:
        return "none: no hole has copper about it"
    said = ", ".join(f"{name} at least {mm:.2f} mm" for name, mm in found)
    left = min(mm for _, mm in found) - WANDER_MM
    judged = f"a hole {WANDER_MM:g} mm off its middle leaves {left:.2f} mm of {LEFT_MM:g} mm needed"
    want = "no teardrops needed" if left >= LEFT_MM else "please add teardrops"
    return f"{said} (the house asks {house.ring_nm / 1e6:.2f} mm); {judged}: {want}"
