"""Spacing of conductors by voltage, IPC-2221 Table 6-1, editions B and C.

The two editions differ in figures and in what columns mean: A6 and A7 change places. Below about 30 V the limits
of fabrication (0.13 to 0.15 mm, recalled) usually govern. Surge tracks need a rule of their own, not this table.
"""

from typing import Final

from msgspec import Struct

from boardgen.handbook import require

UPPER_V: Final = (15, 30, 50, 100, 150, 170, 250, 300, 500)
"""Highest volts, direct or peak, of each row; a table with fewer figures ends sooner."""


class Column(Struct, frozen=True):
    """Spacings in millimetres, one for each row of `UPPER_V`, and how they were learnt."""

    edition: str
    name: str
    meaning: str
    spacing_mm: tuple[float, ...]
    standing: str


_SECOND_HAND: Final = "read at second hand"
_RECALLED: Final = "recalled"

COLUMNS: Final = (
    Column("B", "B1", "internal", (0.05, 0.05, 0.1, 0.1, 0.2, 0.2, 0.2, 0.2, 0.25), _SECOND_HAND),
    Column("B", "B2", "external, uncoated, to 3050 m altitude",
           (0.1, 0.1, 0.6, 0.6, 0.6, 1.25, 1.25, 1.25, 2.5), _SECOND_HAND),
    Column("B", "B3", "external, uncoated, above 3050 m altitude",
           (0.1, 0.1, 0.6, 1.5, 3.2, 3.2, 6.4, 12.5, 12.5), _RECALLED),
    Column("B", "B4", "external, polymer coating", (0.05, 0.05, 0.13, 0.13, 0.4, 0.4, 0.4, 0.4, 0.8), _SECOND_HAND),
    Column("B", "A5", "external, conformal coating", (0.13, 0.13, 0.13, 0.13, 0.4, 0.4, 0.4, 0.4, 0.8), _RECALLED),
    Column("B", "A6", "lead, uncoated", (0.13, 0.25, 0.4, 0.5, 0.8, 0.8, 0.8, 0.8, 1.5), _RECALLED),
    Column("B", "A7", "lead, coated", (0.13, 0.13, 0.13, 0.13, 0.4, 0.4, 0.4, 0.8, 0.8), _RECALLED),
    Column("C", "B1", "internal", (0.05, 0.05, 0.10, 0.10), _SECOND_HAND),
    Column("C", "B2", "external, uncoated, to 3050 m altitude", (0.10, 0.10, 0.64, 0.64), _SECOND_HAND),
    Column("C", "B3", "external, uncoated, above 3050 m altitude", (0.10, 0.10, 0.64, 1.50), _SECOND_HAND),
    Column("C", "B4", "external, under solder mask", (0.075, 0.075, 0.30, 0.30), _SECOND_HAND),
    Column("C", "B5", "external, coated", (0.075, 0.075, 0.13, 0.13), _SECOND_HAND),
    Column("C", "A6", "lead, coated", (0.13, 0.13, 0.13, 0.13), _SECOND_HAND),
    Column("C", "A7", "lead, uncoated", (0.13, 0.25, 0.40, 0.50), _SECOND_HAND),
    Column("C", "A8", "lead, above 3050 m altitude", (0.13, 0.25, 0.80, 1.00), _SECOND_HAND),
)  # fmt: skip
"""Source: IPC-2221 Table 6-1, editions B and C (standing by column)."""

_BY_NAME: Final = {(each.edition, each.name): each for each in COLUMNS}


def column_of(edition: str, name: str) -> Column:
    """Column `name` ("B1" to "A8") of `edition` ("B" or "C") with its meaning and standing.

    Raises ValueError when the edition has no such column.

    Source: IPC-2221 Table 6-1 (standing by column).
    """
    if (edition, name) not in _BY_NAME:
        known = ", ".join(f"{e} {n}" for e, n in _BY_NAME)
        message = f"no column {name!r} in edition {edition!r}; known are {known}"
        raise ValueError(message)
    return _BY_NAME[edition, name]


def spacing_m(voltage_v: float, edition: str, column: str) -> float:
    """Least spacing in metres of conductors `voltage_v` volts (direct or peak) apart.

    A voltage between two rows takes the higher row. Raises ValueError when the voltage is negative, not finite
    or above the table, or the edition has no such column.

    Source: IPC-2221 Table 6-1 (standing by column).
    """
    require.not_negative(voltage_v=voltage_v)
    spacings_mm = column_of(edition, column).spacing_mm
    for upper_v, spacing_mm in zip(UPPER_V, spacings_mm, strict=False):
        if voltage_v <= upper_v:
            return spacing_mm / 1000
    message = f"voltage_v of {voltage_v} lies above the table of edition {edition}"
    raise ValueError(message)
