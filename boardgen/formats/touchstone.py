"""S parameters as text that every network program reads, always the same bytes.

Source: EIA/IBIS Open Forum, Touchstone File Format Specification, revision 1.1 (2002), on the option line, on two-port
data, whose matrix stands column by column, and on N-port data, at most four pairs a line. Titles of sections recalled.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike

PAIRS_A_LINE = 4


def touchstone(
    frequencies_hz: Sequence[float],
    matrices: ArrayLike,
    ports: Sequence[str],
    reference_ohm: float,
    comments: Sequence[str],
) -> bytes:
    """One file of version 1: comments, the ports by number, and the matrix at each frequency, row by row.

    Parameters
    ----------
    frequencies_hz : (points,) ascending, hertz
    matrices : (points, ports, ports) complex, S parameters; written as real and imaginary part
    ports : what each port is, in the order of the matrix
    reference_ohm : the one resistance that all parameters are referred to
    comments : lines for the head; what is not ASCII becomes a question mark

    """
    lines = [f"! {_plain(comment)}" for comment in comments]
    lines += [f"! Port[{number}] = {_plain(port)}" for number, port in enumerate(ports, 1)]
    lines.append(f"# HZ S RI R {reference_ohm:g}")
    for frequency, matrix in zip(frequencies_hz, np.asarray(matrices, dtype=complex), strict=True):
        # of two ports alone the format has S21 before S12
        rows = matrix.T if len(matrix) == 2 else matrix
        pairs = [[f"{s.real:.11e} {s.imag:.11e}" for s in row] for row in rows.tolist()]
        if len(pairs) <= 2:
            lines.append(" ".join([f"{frequency:.12g}", *(pair for row in pairs for pair in row)]))
        else:
            broken = [" ".join(row[at : at + PAIRS_A_LINE]) for row in pairs for at in range(0, len(row), PAIRS_A_LINE)]
            lines.append(f"{frequency:.12g} " + "\n  ".join(broken))
    return ("\n".join(lines) + "\n").encode("ascii")


def _plain(text: str) -> str:
    """Comments hold plain letters only."""
    return re.sub(r"[^\x20-\x7e]", "?", text)
