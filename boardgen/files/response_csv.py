"""The predicted response as a table: one row for each frequency and selected antenna."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Mapping, Sequence

from boardgen.files.harmless import harmless


def response_csv(columns: Sequence[str], rows: Iterable[Mapping[str, str | float | None]]) -> bytes:
    """Numbers with six digits, an empty cell for what does not exist; always the same bytes for the same rows."""
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(columns)
    for row in rows:
        writer.writerow([_cell(row.get(name)) for name in columns])
    return text.getvalue().encode()


def _cell(value: str | float | None) -> str:
    if value is None:
        return ""
    return harmless(value) if isinstance(value, str) else f"{value:.6g}"
