"""Touchstone version 1: S parameters as text that every network program reads, always the same bytes."""

from __future__ import annotations

import re
from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike, NDArray

PAIR = "%.11e %.11e"
PAIRS_A_LINE = 4


def touchstone(
    frequencies_hz: Sequence[float],
    matrices: ArrayLike,
    terminals: Sequence[str],
    ohm: float,
    comments: Sequence[str],
) -> bytes:
    """One file: comments, the terminals by number, and for each frequency the matrix row by row, as real and imaginary.

    `matrices` are (points, terminals, terminals).
    With two terminals the order of the format's first version is kept: S11, S21, S12, S22.
    """
    lines = [f"! {_plain(c)}" for c in comments]
    lines += [f"! Port[{n}] = {_plain(name)}" for n, name in enumerate(terminals, 1)]
    lines.append(f"# HZ S RI R {ohm:g}")
    values = np.asarray(matrices, dtype=complex)
    size = values.shape[-1]
    if size == 2:
        values = values.swapaxes(1, 2)
    # of a matrix that is its own transpose each pair is put into digits once
    rows, columns = np.triu_indices(size) if np.array_equal(values, values.swapaxes(1, 2)) else _everywhere(size)
    place = np.empty((size, size), int)
    place[columns, rows] = np.arange(rows.size)
    place[rows, columns] = np.arange(rows.size)
    order = place.ravel().tolist()
    # one form for a whole point: to format its numbers one by one would take half as long again
    digits, form = "|".join([PAIR] * rows.size), _form(size)
    numbers = np.ascontiguousarray(values[:, rows, columns]).view(float).tolist()
    for frequency, point in zip(frequencies_hz, numbers, strict=True):
        pairs = (digits % tuple(point)).split("|")
        lines.append(form % (f"{frequency:.12g}", *[pairs[at] for at in order]))
    return ("\n".join(lines) + "\n").encode("ascii")


def _everywhere(size: int) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """Rows and columns of all entries."""
    rows, columns = np.indices((size, size))
    return rows.ravel(), columns.ravel()


def _form(size: int) -> str:
    """The lines of one point: its frequency, and the pairs of a matrix of that size."""
    if size <= 2:
        return " ".join(["%s"] * (size * size + 1))
    pairs = ["%s"] * size
    row = [" ".join(pairs[start : start + PAIRS_A_LINE]) for start in range(0, size, PAIRS_A_LINE)]
    return "%s " + "\n  ".join(row * size)


def _plain(text: str) -> str:
    """Comments hold plain letters only."""
    return re.sub(r"[^\x20-\x7e]", "?", text)
