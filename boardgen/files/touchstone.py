"""Touchstone version 1: S parameters as text that every network program reads, always the same bytes."""

from __future__ import annotations

import re
from collections.abc import Sequence

PAIRS_A_LINE = 4


def touchstone(
    frequencies_hz: Sequence[float],
    matrices: Sequence[Sequence[Sequence[complex]]],
    terminals: Sequence[str],
    ohm: float,
    comments: Sequence[str],
) -> bytes:
    """One file: comments, the terminals by number, and for each frequency the matrix row by row, as real and imaginary.

    With two terminals the order of the format's first version is kept: S11, S21, S12, S22.
    """
    lines = [f"! {_plain(c)}" for c in comments]
    lines += [f"! Port[{n}] = {_plain(name)}" for n, name in enumerate(terminals, 1)]
    lines.append(f"# HZ S RI R {ohm:g}")
    for frequency, matrix in zip(frequencies_hz, matrices, strict=True):
        lines += _point(frequency, matrix)
    return ("\n".join(lines) + "\n").encode("ascii")


def _point(frequency: float, matrix: Sequence[Sequence[complex]]) -> list[str]:
    size = len(matrix)
    if size <= 2:
        flat = [matrix[row][column] for column in range(size) for row in range(size)]
        return [f"{frequency:.12g} {_pairs(flat)}"]
    lines = []
    for row, values in enumerate(matrix):
        for start in range(0, size, PAIRS_A_LINE):
            lead = f"{frequency:.12g}" if row == 0 and start == 0 else " "
            lines.append(f"{lead} {_pairs(values[start : start + PAIRS_A_LINE])}")
    return lines


def _pairs(values: Sequence[complex]) -> str:
    return " ".join(f"{value.real:.11e} {value.imag:.11e}" for value in values)


def _plain(text: str) -> str:
    """Comments hold plain letters only."""
    return re.sub(r"[^\x20-\x7e]", "?", text)
