"""An OpenDocument spreadsheet, made by hand, is read cell by cell."""

import io
import zipfile
from datetime import datetime

import pytest

from boardgen.formats.read_ods import MIME_TYPE, OdsCell, is_ods, read_ods

NAMES = " ".join(
    f'xmlns:{name}="urn:oasis:names:tc:opendocument:xmlns:{name}:1.0"' for name in ("office", "table", "text")
)


def ods(rows: str) -> bytes:
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w") as archive:
        archive.writestr("mimetype", MIME_TYPE)
        archive.writestr("content.xml", f'<a {NAMES}><table:table table:name="Buy">{rows}</table:table></a>')
    return stream.getvalue()


def row(cells: str, repeated: int = 1) -> str:
    return f'<table:table-row table:number-rows-repeated="{repeated}">{cells}</table:table-row>'


def cell(kind: str, value: str = "", inner: str = "", more: str = "") -> str:
    said = {"float": "value", "date": "date-value", "boolean": "boolean-value"}.get(kind)
    of_value = f'office:{said}="{value}"' if said else ""
    return f'<table:table-cell office:value-type="{kind}" {of_value} {more}>{inner}</table:table-cell>'


def values(rows: str) -> list[list[object]]:
    (sheet,) = read_ods(ods(rows))
    assert sheet.name == "Buy"
    return [[each.value for each in cells] for cells in sheet.rows]


def test_every_kind_of_value() -> None:
    text = (
        "<text:p>two<text:s text:c='3'/>words<text:tab/>x</text:p><text:p>a <text:span>line</text:span> more</text:p>"
    )
    cells = [cell("float", "16"), cell("float", "0.0655"), cell("date", "2026-11-21"), cell("boolean", "true")]
    found = values(row("".join([*cells, cell("string", inner=text), cell("string")])))
    assert found == [[16, 0.0655, datetime(2026, 11, 21), True, "two   words\tx\na line more"]]  # noqa: DTZ001


def test_what_is_repeated_stands_as_often_and_blanks_cost_nothing() -> None:
    blank = '<table:table-cell table:number-columns-repeated="16000"/>'
    twice = cell("float", "7", more='table:number-columns-repeated="2"')
    covered = "<table:covered-table-cell/>"
    rows = row(blank, 1_000_000) + row(twice + blank)
    with pytest.raises(ValueError, match="too many rows"):
        read_ods(ods(rows))
    assert values(row(covered + twice + blank, 2) + row(blank, 1_000_000)) == [[None, 7, 7], [None, 7, 7]]


def test_formulas_are_written_with_plain_references() -> None:
    more = 'table:formula="of:=LOOKUP(MAX([.F7];1);{1;10};{4;[.$B$2]})"'
    ((found,),) = read_ods(ods(row(cell("float", "4", more=more))))[0].rows
    assert found == OdsCell(4, "=LOOKUP(MAX(F7;1);{1;10};{4;$B$2})")


@pytest.mark.parametrize("damage", [lambda data: data[:200], lambda data: data.replace(b"</a>", b"</b>")])
def test_a_damaged_one_is_refused(damage: object) -> None:
    data = damage(ods(row(cell("float", "1"))))  # type: ignore[operator]
    with pytest.raises(ValueError, match="cannot be read as a spreadsheet"):
        read_ods(data)
    assert is_ods(ods("")) > is_ods(b"PK\x03\x04")
