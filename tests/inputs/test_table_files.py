"""Tables as people have them: encodings, folders, workbooks good and bad."""

import io
import tracemalloc
import zipfile
from datetime import date, datetime
from pathlib import Path

import pytest
from openpyxl import Workbook

from boardgen.inputs.table_files import read_tables
from boardgen.model.problem import InputError
from boardgen.purchasing.price_tables import read_prices

HEADING = "part,supplier,order_code,currency,quantity,unit_price,as_of,source\n"
TEXT = HEADING + "relay,Käufer,1,EUR,1,2.95,2026-11-01,a list\n"


def refusal(path: Path) -> tuple[str, int | None, str, str]:
    with pytest.raises(InputError) as caught:
        read_tables([path])
    (problem,) = caught.value.problems
    return problem.place.file, problem.place.line, problem.found, problem.hint


@pytest.mark.parametrize(
    "content",
    [
        TEXT.encode(),
        TEXT.encode("utf-8-sig"),
        TEXT.encode("utf-16"),
        b"\xfe\xff" + TEXT.encode("utf-16-be"),
        b"# encoding: latin-1\n" + TEXT.encode("latin-1"),
        b"# encoding: windows-1252;;;\r\n" + TEXT.encode("cp1252"),
        b"\xef\xbb\xbf# encoding: utf-8\n" + TEXT.encode(),
    ],
)
def test_every_encoding_gives_the_same(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "p.csv"
    path.write_bytes(content)
    ((name, text),) = read_tables([path])
    offers, problems = read_prices(text, name)
    assert (name, problems) == (str(path), ())
    assert [(o.supplier, o.place.line) for o in offers] == [("Käufer", 3 if b"encoding" in content else 2)]


@pytest.mark.parametrize(
    ("content", "line", "found"),
    [
        (TEXT.encode("latin-1"), 2, "the table is not UTF-8 text (byte 74)"),
        (b"# encoding: latin-9\n" + TEXT.encode("latin-1"), 1, 'the encoding "latin-9" is unknown'),
        (TEXT.encode("utf-16-le"), None, "the table is not UTF-8 text"),
        ("part".encode("utf-16-le"), None, "the table holds NUL characters, as UTF-16 without its mark does"),
        (b"\xd0\xcf\x11\xe0\xa1\xb1", None, "this is a workbook of the old form"),
        (b"PK\x03\x04 no archive", None, "the file cannot be read as a workbook"),
    ],
)
def test_what_cannot_be_read_is_told_with_its_file_and_what_to_do(
    tmp_path: Path, content: bytes, line: int | None, found: str
) -> None:
    (tmp_path / "prices").mkdir()
    (tmp_path / "prices" / "a.csv").write_text(TEXT, encoding="utf-8")
    path = tmp_path / "prices" / "b.csv"
    path.write_bytes(content)
    file, at, said, hint = refusal(tmp_path / "prices")
    assert file == str(path)
    assert line is None or at == line
    assert said.startswith(found)
    assert hint


def workbook(*rows: object, first: str = "Prices") -> Workbook:
    book = Workbook()
    book.active.title = first
    for row in rows:
        book.active.append(row)
    return book


def saved(book: Workbook, path: Path) -> Path:
    book.save(path)
    return path


def test_a_workbook_is_read_as_the_text_it_could_be(tmp_path: Path) -> None:
    names = HEADING.strip().split(",")
    rows = [names, [], ["relay", "Käufer\nKG", 7, "EUR", 1, 0.1 + 0.2, date(2026, 11, 1), "list, own"]]
    rows.append(["wire", "K", "007", "EUR", 10.0, 1e-05, datetime(2026, 11, 2), True])  # noqa: DTZ001
    book = workbook(*rows)
    book.create_sheet("Notes").append(["anything"])
    path = saved(book, tmp_path / "p.xlsx")
    ((name, text),) = read_tables([path])
    assert name == f"{path}, sheet Prices"
    assert text == (
        HEADING + '\nrelay,Käufer KG,7,EUR,1,0.3,2026-11-01,"list, own"\nwire,K,007,EUR,10,0.00001,2026-11-02,true\n'
    )
    offers, problems = read_prices(text, name)
    assert problems == ()
    assert [offer.place.line for offer in offers] == [3, 4]


def test_an_empty_sheet_before_the_table_is_passed_over(tmp_path: Path) -> None:
    book = workbook()
    sheet = book.create_sheet("Table")
    sheet.append(["part", "quantity"])
    ((name, text),) = read_tables([saved(book, tmp_path / "p.xlsx")])
    assert (name.endswith("sheet Table"), text) == (True, "part,quantity\n")


def test_a_formula_without_a_value_is_refused(tmp_path: Path) -> None:
    path = saved(workbook(["part", "quantity"], ["a", "=1+1"]), tmp_path / "p.xlsx")
    file, line, found, hint = refusal(path)
    assert (file, line) == (str(path), 2)
    assert found == "row 2 of sheet Prices has a formula that was never calculated"
    assert "save it" in hint


def test_a_small_workbook_never_fills_the_memory(tmp_path: Path) -> None:
    book = workbook(["part", "quantity"], ["a", 1])

    path = saved(book, tmp_path / "p.xlsx")
    old = zipfile.ZipFile(path)
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as new:
        for entry in old.infolist():
            data = old.read(entry)
            if entry.filename.endswith("sheet1.xml"):
                merged = b'<mergeCells count="1"><mergeCell ref="A50:XFD1048576"/></mergeCells>'
                data = data.replace(b"</sheetData>", b"</sheetData>" + merged)
                data = data.replace(b'ref="A1:B2"', b'ref="A1:XFD1048576"')
            new.writestr(entry, data)
    path.write_bytes(out.getvalue())
    tracemalloc.start()
    try:
        ((_, text),) = read_tables([path])
        _, peak = tracemalloc.get_traced_memory()
    finally:
        tracemalloc.stop()
    assert text == "part,quantity\na,1\n"
    assert peak < 50_000_000


def test_a_cell_far_beside_the_table_is_refused(tmp_path: Path) -> None:
    book = workbook(["part", "quantity"])
    book.active.cell(2, 16_384, "x")
    assert "more than 200 columns" in refusal(saved(book, tmp_path / "p.xlsx"))[2]
    book = workbook(["part", "quantity"])
    book.active.cell(1_048_576, 1, "x")
    assert "more than 200,000 rows" in refusal(saved(book, tmp_path / "q.xlsx"))[2]
