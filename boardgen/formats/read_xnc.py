"""Reads a drill file back."""

from __future__ import annotations

import re

from boardgen.model.copper import PointNm

_TOOL = re.compile(r"T(\d+)C([0-9.]+)")
_HOLE = re.compile(r"X(-?[0-9.]+)Y(-?[0-9.]+)")


class DrillError(ValueError):
    """The file is not a drill file that can be read whole."""


def read_drill(text: str) -> list[tuple[PointNm, int]]:
    """Place and diameter of every hole in nm. Raises DrillError."""
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
