"""A workbook of an order goes to a buyer and comes back: `boardgen order --quoted`."""

import csv
import io
import json
import re
from decimal import Decimal
from pathlib import Path

import openpyxl
import pytest
from openpyxl.worksheet.worksheet import Worksheet

from tests.cli.empty_folder import TITLES, User, tree

TITLE = f"Order for {TITLES['two-way']}"


@pytest.fixture(scope="module")
def ordered(tmp_path_factory: pytest.TempPathFactory) -> User:
    """A two-way board that was ordered; `back.xlsx` is a copy of its workbook that nobody touched."""
    user = User(tmp_path_factory.mktemp("ordered"))
    order(user)
    (user.here / "back.xlsx").write_bytes(user.built(TITLE)["order.xlsx"])
    return user


def order(user: User) -> None:
    """Whether the board meets its targets is no matter here."""
    user.start("two-way")
    done = user.run("order", "board.toml", "--on", "2026-11-20")
    assert (done.returncode in (0, 1), done.stderr) == (True, ""), done.stdout[-500:]


def edit(user: User, **cells: object) -> Path:
    """A copy of the workbook with cells of the first line on the first supplier's sheet changed, by column."""
    book = openpyxl.load_workbook(user.here / "back.xlsx")
    sheet = first_sheet(book)
    for column, value in cells.items():
        sheet[f"{column}{first_row(sheet)}"] = value
    path = user.here / "edited.xlsx"
    book.save(path)
    return path


def first_sheet(book: openpyxl.Workbook) -> Worksheet:
    return next(sheet for sheet in book if sheet.title.startswith("Buy "))


def first_row(sheet: Worksheet) -> int:
    return next(cell.row for cell in sheet["A"] if cell.value == "Line") + 1


def again(user: User, *words: str) -> dict[str, object]:
    done = user.run("order", "board.toml", "--on", "2026-11-20", "--json", *words)
    assert done.returncode in (0, 1), done.stderr
    told: dict[str, object] = json.loads(done.stdout)
    return told


def test_untouched_it_changes_nothing(ordered: User) -> None:
    before = json.loads(ordered.built(TITLE)["order.json"])
    told = again(ordered, "--quoted", "back.xlsx")
    assert told["total"] == before["total"]
    assert (told["total_before"], told["entered"]) == (before["total"], [])


def test_costs_follow_and_the_differences_are_told(ordered: User) -> None:
    before = json.loads(ordered.built(TITLE)["order.json"])
    line = before["suppliers"][0]["lines"][0]
    quantity, price = int(line["quantity"]) + 60, Decimal(line["unit_price"]) + Decimal("0.005")
    edit(ordered, F=quantity, I=float(price), K=33, B="NEW-1")
    told = again(ordered, "--quoted", "edited.xlsx", "--since", "back.xlsx", "--out", "other")
    (*changed, total) = told["since"]
    assert changed == told["entered"]
    assert (total["what"], total["before"], total["now"]) == (
        "total",
        f"{before['total']} CAD",
        f"{told['total']} CAD",
    )
    supplier = told["suppliers"][0]
    after = supplier["lines"][0]
    assert (after["quantity"], Decimal(after["unit_price"]), after["order_code"]) == (str(quantity), price, "NEW-1")
    assert abs(Decimal(after["line_total"]) - quantity * price) <= Decimal("0.005")
    assert Decimal(supplier["goods"]) == sum(Decimal(x["line_total"]) for x in supplier["lines"])
    assert [(c["line"], c["what"], c["now"]) for c in told["entered"]] == [
        (1, "order code", "NEW-1"),
        (1, "quantity, piece", str(quantity)),
        (1, "unit price", f"{price.normalize():f}"),
        (1, "lead days", "33"),
    ]
    files = ordered.built(TITLE, "other")
    table = list(csv.DictReader(io.StringIO(next(files[n] for n in sorted(files) if n.startswith("order-1")).decode())))
    assert (table[0]["order_code"], table[0]["quantity"]) == ("NEW-1", str(quantity))
    book = openpyxl.load_workbook(io.BytesIO(files["order.xlsx"]))
    said = [cell.value for cell in book["Changes"]["A"]]
    assert {"Entered by hand, in edited.xlsx", "Since back.xlsx"} <= set(said)


def test_a_line_of_nothing_is_not_sent_and_is_short(ordered: User) -> None:
    edit(ordered, F=0)
    done = ordered.run("order", "board.toml", "--on", "2026-11-20", "--quoted", "edited.xlsx", "--out", "none")
    assert done.returncode == 1
    assert "short of what the boards need" in done.stdout
    files = ordered.built(TITLE, "none")
    sheet = first_sheet(openpyxl.load_workbook(ordered.here / "back.xlsx"))
    code = sheet[f"B{first_row(sheet)}"].value
    sent = "".join(data.decode() for name, data in files.items() if name.startswith("order-") and name.endswith("csv"))
    assert code not in {row[0] for row in csv.reader(io.StringIO(sent))}


def test_bad_cells_are_named_all_at_once_and_nothing_is_written(ordered: User) -> None:
    edit(ordered, F="=2+2", I="four", P="another part")
    before = tree(ordered.top)
    done = ordered.run("order", "board.toml", "--on", "2026-11-20", "--quoted", "edited.xlsx", "--out", "bad")
    assert done.returncode == 2
    for column, said in (("F", "a formula"), ("I", "text"), ("P", "as written")):
        (line,) = [x for x in done.stderr.splitlines() if f"!{column}" in x and "edited.xlsx: Buy " in x]
        assert said in line
    assert tree(ordered.top) == before


@pytest.mark.parametrize("name", ["absent.xlsx", "board.toml"])
def test_what_is_no_workbook_is_refused(ordered: User, name: str) -> None:
    assert name in ordered.refused("order", "board.toml", "--on", "2026-11-20", "--quoted", name)


@pytest.mark.slow
def test_a_workbook_edited_in_its_folder_is_never_replaced(user: User) -> None:
    order(user)
    path = user.here / "output" / TITLE / "order.xlsx"
    book = openpyxl.load_workbook(path)
    first_sheet(book)[f"F{first_row(first_sheet(book))}"] = 99
    book.save(path)
    edited = path.read_bytes()
    for words in ((), ("--quoted", str(path))):
        said = user.refused("order", "board.toml", "--on", "2026-11-20", *words)
        assert "order.xlsx is not as manifest.json says" in said
    assert path.read_bytes() == edited
    path.rename(user.here / "back.xlsx")
    said = user.run("order", "board.toml", "--on", "2026-11-20", "--quoted", "back.xlsx").stdout
    assert "entered in back.xlsx" in said
    assert re.search(r"quantity, piece +\d+ +99$", said, re.MULTILINE)
    assert re.search(r"the total was [\d.]+ CAD and is [\d.]+ CAD: [\d.]+ CAD more", said)
    assert path.exists()
