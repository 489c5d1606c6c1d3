"""bill.csv: every cell, and nothing that a spreadsheet would calculate."""

import csv
import io
from decimal import Decimal

from msgspec.structs import replace

from boardgen.documents.order.tables import assembly_bill_csv, bill_csv
from boardgen.formats.positions import positions_csv
from boardgen.purchasing.bill import bill
from boardgen.purchasing.needs import NOT_BOUGHT, Spares
from tests.documents.book_boards import design
from tests.workbooks.made_bill import NEEDS, OFFERS, made_bill

GOLDEN = """\
line,maker,maker's number,description,value,designators,per board,needed,spares,ordered,unit,supplier,order code,\
unit price,line cost,currency,lead days,price as of,standing,note
1,Maker,X-12,"signal relay, sealed",12 V,K1 K2 K3 K4,4,12,2,14,piece,Supplier A,code relay,\
3.61,50.54,CAD,5,2026-11-01,recalled,"else @Supplier: 14 at 4.15 = 58.10 CAD, 5 days"
2,Maker,"'=HYPERLINK(""x"")",'-1+2,'@x,X1,1,3,0,3,piece,,,,,,,,recalled,no price
3,Maker,'+R,a part,37R4,R1 R2 R3,3,9,1,10,piece,'-Supplier,code resistor,\
0.335,3.35,CAD,5,2026-11-01,recalled,'=cmd
4,Maker,AWG 28,enamelled wire,0.32 mm,,3.47,10.5,1,25,m,Supplier A,code wire,\
0.2825,7.06,CAD,5,2026-11-01,recalled,the least sold is 25 m
,,,"Order for 3 boards, 1 without a price left out",,,,,,,,,,,60.95,CAD,,,,
,,,Order per board,,,,,,,,,,,20.32,CAD,,,,
,,,Parts in one board,,,,,,,,,,,16.43,CAD,,,,
"""


def test_the_whole_table() -> None:
    assert bill_csv(made_bill()).decode("utf-8") == GOLDEN


def test_a_note_says_what_is_wrong_with_a_price() -> None:
    prices = [replace(OFFERS[0], stock=Decimal(3), invented=True)]
    made = bill(NEEDS[:1], prices, 3, Spares(Decimal()), "CAD")
    (row, *_) = csv.DictReader(io.StringIO(bill_csv(made).decode()))
    assert row["note"] == "stock short; price invented"


def test_a_second_writing_is_the_same() -> None:
    assert bill_csv(made_bill()) == bill_csv(made_bill())


def test_a_bill_of_one_board_and_nothing_on_it() -> None:
    rows = list(csv.reader(io.StringIO(bill_csv(made_bill(1, ())).decode())))
    assert [(row[3], row[14]) for row in rows[1:]] == [
        ("Order for 1 board", "0.00"),
        ("Order per board", "0.00"),
        ("Parts in one board", "0.00"),
    ]


def test_an_assembly_house_finds_every_fitted_part_once_and_where_it_stands() -> None:
    made = design("one way")
    rows = list(csv.DictReader(io.StringIO(assembly_bill_csv(made.netlist, made.layout.board).decode())))
    placed = csv.DictReader(io.StringIO(positions_csv(made.layout.board, made.netlist).decode()))
    standing = {row["Designator"]: row for row in placed}
    refs = [ref for row in rows for ref in row["Designator"].split(",")]
    bought = [c for c in made.netlist.components if c.fitted and c.part.maker not in NOT_BOUGHT and c.ref in standing]
    assert len(refs) > 10
    assert sorted(refs) == sorted(component.ref for component in bought)
    for row in rows:
        assert int(row["Quantity"]) == len(row["Designator"].split(","))
        for ref in row["Designator"].split(","):
            assert [standing[ref][name] for name in ("Comment", "Footprint")] == [row["Comment"], row["Footprint"]]
            assert standing[ref]["Fitted"] == "yes"
            assert made.netlist.component[ref].part.number == row["Manufacturer Part Number"].removeprefix("'")
