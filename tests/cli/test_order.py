"""boardgen order as a user meets it: files, what is printed, exit codes, and every bad input."""

import csv
import io
import json
from decimal import Decimal

import pytest

from boardgen.cli.app import main
from tests.cli.empty_folder import tree

HEADING = "part,supplier,order_code,currency,quantity,unit_price,minimum,multiple,stock,lead_days,as_of,source\n"
TERMS = "supplier,currency,shipping,free_from,order_fee,tax_percent,minimum_order,as_of,source\n"
TWO = "Larkfield four-way and Larkfield two-way"


def table(data):
    return list(csv.DictReader(io.StringIO(data.decode())))


def test_two_boards_in_one_order(user):
    user.start("four-way", "four.toml")
    user.start("two-way", "two.toml")
    said = json.loads(user.good("order", "four.toml", "two.toml", "--boards", "3", "--boards", "1", "--json"))
    assert said["boards"] == [
        {"title": "Larkfield four-way", "revision": "A", "boards": 3},
        {"title": "Larkfield two-way", "revision": "A", "boards": 1},
    ]
    files = user.built(f"Order for {TWO}")
    assert sorted(files) == said["files"]
    names = [name for name in files if name.startswith("order-")]
    assert len(names) == len(said["suppliers"]) >= 2
    for name, supplier in zip(sorted(names), said["suppliers"], strict=True):
        rows = table(files[name])
        assert [row["order_code"] for row in rows] == [line["order_code"] for line in supplier["lines"]]
        assert sum(Decimal(row["line_total"]) for row in rows) == Decimal(supplier["goods"])
    bought = [line for supplier in said["suppliers"] for line in supplier["lines"]]
    boards = sorted(x["part"].split(" of ")[1] for x in bought if x["part"].startswith("bare-board"))
    assert boards == ["Larkfield four-way", "Larkfield two-way"]
    relays = [x for x in bought if x["part"] == "relay-tq2-12"]
    assert [u["quantity"] for x in relays for u in x["where_used"]] == ["12", "2"]
    assert Decimal(said["total"]) == sum(Decimal(s["in_order_currency"]) for s in said["suppliers"])
    assert Decimal(said["total"]) <= Decimal(said["line_by_line"]["total"])
    assert said["proof"]["optimal"]
    assert json.loads(files["order.json"])["total"] == said["total"]
    request = files["request-for-quotation.txt"].decode()
    assert "16: Panasonic TQ2-12V" in request
    prices = {line["unit_price"] for s in said["suppliers"] for line in s["lines"]}
    assert not [price for price in prices if f" {price}" in request]
    assert b"http://" not in files["request-for-quotation.html"].replace(b"http://www.w3.org", b"")


def test_the_next_order_starts_from_what_this_one_leaves(user):
    user.start("two-way")
    user.good("order", "board.toml", "--quiet")
    after = user.built("Order for Larkfield two-way")["stock-after.csv"]
    (user.here / "stock.csv").write_bytes(after)
    again = json.loads(user.good("order", "board.toml", "--stock", "stock.csv", "--out", "second", "--json"))
    assert again["total"] != json.loads(user.built("Order for Larkfield two-way")["order.json"])["total"]
    first = {row["part"]: Decimal(row["quantity"]) for row in table(after)}
    assert {x["part"]: Decimal(x["before"]) for x in again["stock"] if Decimal(x["before"])} == first
    assert all(Decimal(x["left"]) >= 0 for x in again["stock"])


@pytest.mark.slow
def test_what_it_prints_and_the_cost_over_the_number_of_boards(user):
    user.start("two-way")
    said = user.good("order", "board.toml", "--over", "6", SOURCE_DATE_EPOCH="1764028800")
    lines = said.splitlines()
    assert lines[0] == "Order for Larkfield two-way"
    assert lines[2] == "ordered on 2025-11-25"
    assert "proof         nothing cheaper can be bought from these price files" in lines
    assert "invented prices" in said
    files = user.built("Order for Larkfield two-way")
    rows = table(files["cost-over-quantity.csv"])
    assert [row["boards"] for row in rows] == ["1", "2", "3", "4", "5", "6"]
    assert f"total         {rows[0]['total']} CAD" in said
    assert all(Decimal(row["cost_per_board"]) <= Decimal(row["line_by_line"]) for row in rows)
    assert b"cost of a board" in files["cost-over-quantity.svg"]
    before = user.built("Order for Larkfield two-way")
    assert user.good("order", "board.toml", "--over", "6", SOURCE_DATE_EPOCH="1764028800") == said
    assert user.built("Order for Larkfield two-way") == before


def test_own_prices_with_gaps_filled_by_the_demonstration(user):
    user.start("two-way")
    (user.here / "own.csv").write_text(
        HEADING
        + "relay-tq2-12,Real,R1,EUR,1,9.00,1,1,90,3,2026-11-01,a letter\n"
        + "relay-tq2-12,Real,R1,EUR,10,x,1,1,90,3,2026-11-01,a letter\n"
    )
    (user.here / "who.csv").write_text(TERMS + "Real,EUR,3,,,,,2026-11-01,a letter\nReal,EUR,,,,,,2026-11-01,x\n")
    (user.here / "rates.csv").write_text("from,to,rate,as_of,source\nEUR,CAD,1.5,2026-11-20,my bank\n")
    words = ("order", "board.toml", "--prices", "own.csv", "--prices", "who.csv", "--rates", "rates.csv")
    done = user.run(*words, "--demo-prices", "--json")
    said = json.loads(done.stdout)
    assert done.returncode == 1
    assert [(p["file"], p["line"]) for p in said["shortfalls"]] == [("own.csv", 3), ("who.csv", 3)]
    (real,) = [s for s in said["suppliers"] if s["supplier"] == "Real"]
    assert [(x["part"], x["invented"]) for x in real["lines"]] == [("relay-tq2-12", False)]
    assert said["rates"] == [{"from": "EUR", "to": "CAD", "rate": "1.5", "as_of": "2026-11-20"}]
    alone = json.loads(user.run(*words, "--out", "alone", "--json").stdout)
    assert "relay-tq2-12" not in {x["part"] for x in alone["unbought"]}
    assert len(alone["unbought"]) > 10


@pytest.mark.slow
def test_an_edited_file_and_a_board_are_never_replaced(user):
    user.start("two-way")
    user.good("build", "board.toml", "--quiet")
    user.good("order", "board.toml", "--quiet")
    folder = user.here / "output" / "Order for Larkfield two-way"
    (folder / "order.json").write_text("mine")
    assert "order.json" in user.refused("order", "board.toml")
    folder.rename(user.here / "kept")
    (user.here / "output" / "Larkfield two-way").rename(folder)
    assert "this folder holds a board" in user.refused("order", "board.toml")


@pytest.mark.slow
def test_empty_places_are_told_and_bought_only_where_asked(user):
    spec = user.start("two-way")
    text = spec.read_text(encoding="utf-8").replace("[[antenna]]", "[[antenna]]\nfitted = false", 1)
    spec.write_text(text, encoding="utf-8")
    bought = []
    for number, words in enumerate(([], ["--unfitted"])):
        said = json.loads(user.good("order", "--boards", "2", spec.name, *words, "--out", str(number), "--json"))
        relays = [x for s in said["suppliers"] for x in s["lines"] if x["part"] == "relay-tq2-12"]
        bought.append((relays[0]["needed"], any(row["part"] == "relay-tq2-12" for row in said["not_fitted"])))
    assert bought == [("2", True), ("4", False)]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ((), "no specification and no built folder is named"),
        (("board.toml", "board.toml"), "two specifications are Larkfield two-way, revision A"),
        (("board.toml", "--boards", "1", "--boards", "2"), "--boards is given 2 times for 1 specifications"),
        (("board.toml", "--boards", "0"), "order.boards"),
        (("board.toml", "--by", "15.12.2026"), "--by '15.12.2026' is not a day"),
        (("board.toml", "--by", "2026-12-01", "--on", "2026-12-02"), "is before 2026-12-02"),
        (("board.toml", "--over", "1001"), "--over 1001"),
        (("board.toml", "--time-limit", "0"), "--time-limit 0"),
        (("board.toml", "--title", "../x"), "looks like a path"),
        (("board.toml", "--stock", "gone.csv"), "gone.csv"),
        (("board.toml", "--alternates", "gone.csv"), "gone.csv"),
        (("board.toml", "--rates", "gone.csv"), "gone.csv"),
        (("board.toml", "other.toml"), "Choose one with --currency"),
        (("gone.toml",), "gone.toml"),
    ],
)
def test_wrong_use_is_named_and_nothing_is_written(user, words, said, monkeypatch, capsys):
    spec = user.start("two-way")
    other = spec.read_text(encoding="utf-8").replace('"CAD"', '"EUR"').replace("two-way", "other")
    (user.here / "other.toml").write_text(other, encoding="utf-8")
    monkeypatch.chdir(user.here)
    monkeypatch.delenv("SOURCE_DATE_EPOCH", raising=False)
    before = tree(user.top)
    assert main(["order", *words]) == 2
    told = capsys.readouterr()
    assert (said in told.err, told.out, tree(user.top)) == (True, "", before), told.err
