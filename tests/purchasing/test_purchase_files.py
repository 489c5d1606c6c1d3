"""The files of an order: what somebody may have put into names does no harm, and nothing is lost."""

import csv
import io
from decimal import Decimal

import pytest
from msgspec.structs import replace

from boardgen.documents.order.files import purchase_files
from boardgen.purchasing.cost_over_quantity import cost_over_quantity
from boardgen.purchasing.make_order import make_order
from boardgen.purchasing.stock import StockItem, read_stock
from tests.purchasing.made_offers import RESISTOR, offer
from tests.purchasing.made_requests import asked, board, need

HOSTILE = ("../../etc", "=cmd|'/C calc'!A0", "<script>alert(1)</script>", "電子", "A" * 200, "CON")


def made(names=("Supplier A", "Supplier B")):
    offers = [offer((1, "4.00"), supplier=names[0], order_code="=1+1")]
    offers += [offer((1, "0.105"), part="resistor-37r4", supplier=names[1], order_code="-2")]
    stock = (StockItem("relay-x", Decimal(3), "@note"), StockItem("=odd", Decimal("1.5"), ""))
    return make_order(asked(board(need(), need(RESISTOR)), offers=offers, stock=stock))


@pytest.mark.parametrize("name", HOSTILE)
def test_names_of_suppliers_do_no_harm(name):
    files = purchase_files(made((name, "Supplier B")))
    mine = [file for file in files if file.startswith("order-") and file.endswith(".csv")]
    assert len(mine) == 2
    assert all(set(file) <= set("abcdefghijklmnopqrstuvwxyz0123456789-.") and len(file) < 80 for file in mine)
    assert b"<script" not in files["request-for-quotation.html"]


def test_an_order_for_upload():
    tables = purchase_files(made())
    (row,) = csv.DictReader(io.StringIO(tables["order-1-supplier-a.csv"].decode()))
    assert (row["order_code"], row["quantity"], row["unit_price"], row["line_total"]) == ("'=1+1", "5", "4.00", "20.00")
    (row,) = csv.DictReader(io.StringIO(tables["order-2-supplier-b.csv"].decode()))
    assert (row["order_code"], row["quantity"], row["unit_price"], row["line_total"]) == ("'-2", "8", "0.105", "0.84")


def test_the_stock_afterwards_is_stock_for_the_next_order():
    order = made()
    rows, problems = read_stock(purchase_files(order)["stock-after.csv"].decode(), "stock.csv")
    assert problems == ()
    left = {line.key: line.left for line in order.stock if line.left}
    assert {row.part.lstrip("'"): row.quantity for row in rows} == left == {"=odd": Decimal("1.5")}


def test_a_request_has_what_is_wanted_and_nobodys_prices():
    files = purchase_files(made())
    text = files["request-for-quotation.txt"].decode()
    assert "5: Maker X-12" in text
    assert "8: Maker R37R4" in text
    for name in ("Supplier A", "Supplier B", "4.00", "0.105"):
        assert name not in text
        assert name not in files["request-for-quotation.html"].decode()


def test_the_cost_over_quantity_is_a_table_and_a_plot():
    question = asked(board(need()), offers=[offer((1, "4.00"), (10, "3.00"))])
    points = cost_over_quantity(question, 5)
    order = make_order(replace(question, title="<b>=x"))
    files = purchase_files(order, points)
    rows = list(csv.DictReader(io.StringIO(files["cost-over-quantity.csv"].decode())))
    assert [row["cost_per_board"] for row in rows] == ["16.00", "15.00", "12.00", "12.00", "12.00"]
    assert rows[1]["why"] == "Maker X-12 for 3.00 instead of 4.00 (-1.00 a board)"
    picture = files["cost-over-quantity.svg"]
    assert b"&lt;b&gt;=x: cost of a board" in picture
    assert picture == purchase_files(order, points)["cost-over-quantity.svg"]
    assert "cost-over-quantity.svg" not in purchase_files(order)
