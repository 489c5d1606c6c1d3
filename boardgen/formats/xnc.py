"""Drill files in XNC, the open subset of the common drill format: plated and unplated holes apart, in millimetres.

Source: Ucamco, XNC Format Specification, revision 2021.11, on the structure of a file (M48 to M30), tools and their
diameters (TnnC), drill mode (G05), and attributes in comments, which are those of the layer format. Recalled.
"""

from __future__ import annotations

import re
from collections.abc import Iterable

from msgspec import Struct

from boardgen.model.copper import Board, PointNm

_TOOL = re.compile(r"T(\d+)C([0-9.]+)")
_ATTRIBUTE = re.compile(r"; #@! T([FA])\.(\w+),(.*)")
_HOLE = re.compile(r"X(-?[0-9.]+)Y(-?[0-9.]+)")


class DrillError(ValueError):
    """The file is not a drill file that can be read whole."""


class Hole(Struct, frozen=True):
    """A hole: its middle, its finished diameter in nanometres, and what its tool says that it is for."""

    at: PointNm
    size_nm: int
    function: str


class DrillFile(Struct, frozen=True):
    """What a drill file says that it is, and its holes in the order of the file."""

    function: str
    holes: tuple[Hole, ...]


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


def read_drill(text: str) -> DrillFile:
    """What a drill file holds.

    Raises DrillError for a file that ends early and for every statement that the files written here do not use.
    """
    lines = [line.strip() for line in text.splitlines() if line.strip()]
    if not lines or lines[0] != "M48":
        raise DrillError("the file does not begin with M48")
    if lines[-1] != "M30":
        raise DrillError("the file ends before M30")
    if "%" not in lines:
        raise DrillError("the head of the file does not end")
    end = lines.index("%")
    function, tools = _head(lines[1:end])
    found: list[Hole] = []
    tool = ""
    for line in lines[end + 1 : -1]:
        if match := _HOLE.fullmatch(line):
            if tool not in tools:
                raise DrillError("a hole before its tool")
            x, y = (round(float(each) * 1e6) for each in match.groups())
            found.append(Hole((x, y), *tools[tool]))
        elif line.startswith("T") and line[1:].isdigit():
            tool = line[1:]
        elif line != "G05":
            msg = f"{line} is not known here"
            raise DrillError(msg)
    return DrillFile(function, tuple(found))


def _head(lines: Iterable[str]) -> tuple[str, dict[str, tuple[int, str]]]:
    """What a file says that it is, and diameter and use of each tool by its number."""
    said = {"F": {"FileFunction": ""}, "A": {"AperFunction": ""}}
    tools: dict[str, tuple[int, str]] = {}
    units = 0
    for line in lines:
        if attribute := _ATTRIBUTE.fullmatch(line):
            said[attribute.group(1)][attribute.group(2)] = attribute.group(3)
        elif match := _TOOL.fullmatch(line):
            if match.group(1) in tools:
                msg = f"T{match.group(1)} is defined twice"
                raise DrillError(msg)
            tools[match.group(1)] = (round(float(match.group(2)) * 1e6), said["A"]["AperFunction"])
        elif line == "METRIC":
            units += 1
        elif not line.startswith(";"):
            msg = f"{line} is not known here"
            raise DrillError(msg)
    if units != 1:
        raise DrillError("the file does not name its unit once")
    return said["F"]["FileFunction"], tools
