"""The values of formulas inside a workbook's XML, which the library that writes the workbook leaves out."""

from __future__ import annotations

import re
from collections.abc import Mapping
from decimal import Decimal
from xml.sax.saxutils import escape

_FORMULA_CELL = re.compile(r'<c r="([A-Z]+[0-9]+)"([^>]*)><f>(.*?)</f><v ?(?:/>|></v>)</c>', re.DOTALL)


def with_values(sheet_xml: str, values: Mapping[str, Decimal | str | None]) -> str:
    """The sheet with the value of each formula cell put in, None for an empty text.

    Raises KeyError for a formula without a value.
    """

    def filled(cell: re.Match[str]) -> str:
        address, attributes, formula = cell.groups()
        value = values[address]
        if value is None or isinstance(value, str):
            return f'<c r="{address}"{attributes} t="str"><f>{formula}</f><v>{escape(value or "")}</v></c>'
        return f'<c r="{address}"{attributes}><f>{formula}</f><v>{value:f}</v></c>'

    filled_xml, count = _FORMULA_CELL.subn(filled, sheet_xml)
    if count != len(values) or count != sheet_xml.count("<f>"):
        raise KeyError("a formula without a value, or a value without a formula")
    return filled_xml
