"""Writes drill files in XNC, the open subset of the common drill format; plated and unplated apart, in millimetres."""

from __future__ import annotations

from collections.abc import Iterable

from boardgen.model.copper import Board, PointNm


def drill_files(board: Board, program: str, date: str = "") -> dict[str, bytes]:
    """The plated and the unplated holes by file name."""
    pads = [(pad.hole_nm, "ComponentDrill", pad.at) for pad in board.pads if pad.hole_nm]
    vias = [(via.hole_nm, "ViaDrill", via.at) for via in board.vias]
    screws = [(screw.hole_nm, "MechanicalDrill", screw.at) for screw in board.mounting_holes]
    return {
        "drill-plated.drl": _file((*vias, *pads), "Plated,1,2,PTH", program, date),
        "drill-unplated.drl": _file(screws, "NonPlated,1,2,NPTH", program, date),
    }


def hole_table(board: Board) -> list[tuple[float, bool, int]]:
    """Diameter in mm, whether plated, and how many, small to large."""
    counts: dict[tuple[int, bool], int] = {}
    holes = [(pad.hole_nm, True) for pad in board.pads if pad.hole_nm] + [(v.hole_nm, True) for v in board.vias]
    for hole in holes + [(screw.hole_nm, False) for screw in board.mounting_holes]:
        counts[hole] = counts.get(hole, 0) + 1
    return [(size / 1e6, plated, count) for (size, plated), count in sorted(counts.items())]


def _file(holes: Iterable[tuple[int, str, PointNm]], function: str, program: str, date: str) -> bytes:
    tools: dict[tuple[int, str], list[PointNm]] = {}
    for size, use, at in holes:
        tools.setdefault((size, use), []).append(at)
    lines = ["M48", f"; #@! TF.GenerationSoftware,boardgen,{program.replace(' ', ',')}"]
    if date:
        lines.append(f"; #@! TF.CreationDate,{date}")
    lines += [f"; #@! TF.FileFunction,{function}", "METRIC"]
    ordered = sorted(tools)
    for number, (size, use) in enumerate(ordered, 1):
        plated = "Plated,PTH" if function.startswith("Plated") else "NonPlated,NPTH"
        lines += [f"; #@! TA.AperFunction,{plated},{use}", f"T{number}C{size / 1e6:.3f}"]
    lines += ["%", "G05"]
    for number, tool in enumerate(ordered, 1):
        lines.append(f"T{number}")
        lines += [f"X{x / 1e6:.6f}Y{y / 1e6:.6f}" for x, y in sorted(tools[tool])]
    return "\n".join([*lines, "M30", ""]).encode("ascii")
