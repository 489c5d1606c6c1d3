"""Drill files in XNC, the open subset of the common drill format: plated and unplated holes apart, in millimetres.

Source: Ucamco, XNC Format Specification, revision 2021.11, on the structure of a file (M48 to M30), tools and their
diameters (TnnC), drill mode (G05), and attributes in comments, which are those of the layer format. Recalled.
"""

from __future__ import annotations

import re
from collections.abc import Iterable

from boardgen.model.copper import Board, PointNm

_TOOL = re.compile(r"T(\d+)C([0-9.]+)")
_HOLE = re.compile(r"X(-?[0-9.]+)Y(-?[0-9.]+)")


class DrillError(ValueError):
    """The file is not a drill file that can be read whole."""


def drill_files(board: Board, program: str, date: str = "") -> dict[str, bytes]:
    """The plated and the unplated holes by file name.

    Parameters
    ----------
    board : the drawn board, in nanometres
    program : name and version of what writes, with one blank between them
    date : ISO date-time, "" to leave it out

    """
    pads = [(pad.hole_nm, "ComponentDrill", pad.at) for pad in board.pads if pad.hole_nm]
    vias = [(via.hole_nm, "ViaDrill", via.at) for via in board.vias]
    screws = [(screw.hole_nm, "MechanicalDrill", screw.at) for screw in board.mounting_holes]
    return {
        "drill-plated.drl": _file((*vias, *pads), ("Plated", "PTH"), program, date),
        "drill-unplated.drl": _file(screws, ("NonPlated", "NPTH"), program, date),
    }


def _file(holes: Iterable[tuple[int, str, PointNm]], plating: tuple[str, str], program: str, date: str) -> bytes:
    """One file; a hole is its diameter in nm, its use and its middle. Tools are numbered from the smallest on."""
    tools: dict[tuple[int, str], list[PointNm]] = {}
    for size, use, at in holes:
        tools.setdefault((size, use), []).append(at)
    lines = ["M48", f"; #@! TF.GenerationSoftware,boardgen,{program.replace(' ', ',')}"]
    if date:
        lines.append(f"; #@! TF.CreationDate,{date}")
    lines += [f"; #@! TF.FileFunction,{plating[0]},1,2,{plating[1]}", "METRIC"]
    ordered = sorted(tools)
    for number, (size, use) in enumerate(ordered, 1):
        lines += [f"; #@! TA.AperFunction,{plating[0]},{plating[1]},{use}", f"T{number}C{size / 1e6:.3f}"]
    lines += ["%", "G05"]
    for number, tool in enumerate(ordered, 1):
        lines.append(f"T{number}")
        lines += [f"X{x / 1e6:.6f}Y{y / 1e6:.6f}" for x, y in sorted(tools[tool])]
    return "\n".join([*lines, "M30", ""]).encode("ascii")


def read_drill(text: str) -> list[tuple[PointNm, int]]:
    """Place and diameter of every hole in nm, in the order of the file.

    Raises DrillError for a file that ends early and for every statement that the files written here do not use.
    """
    sizes: dict[str, int] = {}
    found: list[tuple[PointNm, int]] = []
    tool = ""
    lines = [line.strip() for line in text.splitlines() if line.strip()]
    if not lines or lines[0] != "M48":
        raise DrillError("the file does not begin with M48")
    if lines[-1] != "M30":
        raise DrillError("the file ends before M30")
    for line in lines[1:-1]:
        if match := _TOOL.fullmatch(line):
            sizes[match.group(1)] = round(float(match.group(2)) * 1e6)
        elif match := _HOLE.fullmatch(line):
            if tool not in sizes:
                raise DrillError("a hole before its tool")
            found.append(((round(float(match.group(1)) * 1e6), round(float(match.group(2)) * 1e6)), sizes[tool]))
        elif line.startswith("T") and line[1:].isdigit():
            tool = line[1:]
        elif not line.startswith(";") and line not in ("%", "METRIC", "G05"):
            msg = f"{line} is not known here"
            raise DrillError(msg)
    return found
