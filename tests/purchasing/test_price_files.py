from pathlib import Path

import pytest

from boardgen.inputs.table_files import read_tables
from boardgen.model.problem import InputError
from boardgen.purchasing.price_tables import read_offers, read_price_book

HEADING = "part,supplier,order_code,currency,quantity,unit_price,as_of,source\n"


def row(part: str) -> str:
    return f"{part},S,1,CAD,1,2,2026-11-01,a list\n"


def test_files_and_folders_in_order(tmp_path: Path) -> None:
    (tmp_path / "list").mkdir()
    (tmp_path / "list" / "b.csv").write_text(HEADING + row("b"))
    (tmp_path / "list" / "a.csv").write_text("\ufeff" + HEADING + row("a"), encoding="utf-8")
    (tmp_path / "list" / "read me.txt").write_text("not prices")
    (tmp_path / "own.csv").write_text(HEADING + row("own") + "x\n")
    offers, problems = read_offers(read_tables([tmp_path / "own.csv", tmp_path / "list"]))
    assert [offer.part for offer in offers] == ["own", "a", "b"]
    assert [(problem.place.file, problem.place.line) for problem in problems] == [(str(tmp_path / "own.csv"), 3)]


def test_every_unreadable_file_is_named(tmp_path: Path) -> None:
    (tmp_path / "empty").mkdir()
    (tmp_path / "latin.csv").write_bytes(b"caf\xe9")
    with pytest.raises(InputError) as caught:
        read_offers(read_tables([tmp_path / "gone.csv", tmp_path / "empty", tmp_path / "latin.csv"]))
    told = [problem.found for problem in caught.value.problems]
    assert told == [
        "the table cannot be read: No such file or directory",
        "the table cannot be read: no *.csv, *.tsv, *.xlsx, *.ods in the folder",
        "the table is not UTF-8 text (byte 3)",
    ]


TERMS = "supplier,currency,shipping,as_of,source\nS,CAD,5,2026-11-01,a letter\n"
RATES = "from,to,rate,as_of,source\nEUR,CAD,1.5,2026-11-01,a bank\n"


def test_a_folder_of_prices_terms_and_rates(tmp_path: Path) -> None:
    for name, text in (("a", RATES), ("b", TERMS), ("c", HEADING + row("relay"))):
        (tmp_path / f"{name}.csv").write_text(text)
    book, problems = read_price_book(read_tables([tmp_path]))
    assert problems == ()
    assert [offer.part for offer in book.offers] == ["relay"]
    assert [terms.supplier for terms in book.terms] == ["S"]
    assert [rate.rate.currency for rate in book.rates] == ["EUR"]
    offers, problems = read_offers(read_tables([tmp_path]))
    assert (offers, problems) == (book.offers, ())


def test_of_terms_in_two_files_the_first_hold(tmp_path: Path) -> None:
    (tmp_path / "own.csv").write_text(TERMS.replace(",5,", ",7,"))
    (tmp_path / "other.csv").write_text(TERMS)
    book, _ = read_price_book(read_tables([tmp_path / "own.csv", tmp_path / "other.csv"]))
    assert [terms.shipping for terms in book.terms] == [7]


def test_a_contradiction_between_files_is_named_with_its_line(tmp_path: Path) -> None:
    (tmp_path / "own.csv").write_text(HEADING + row("relay"))
    (tmp_path / "other.csv").write_text(HEADING + row("other") + row("relay").replace(",2,", ",3,"))
    book, problems = read_price_book(read_tables([tmp_path / "own.csv", tmp_path / "other.csv"]))
    assert [str(offer.breaks[0].unit_price) for offer in book.offers] == ["2", "2"]
    (problem,) = [problem for problem in problems if problem.severity == "shortfall"]
    assert (problem.place.file, problem.place.line) == (str(tmp_path / "other.csv"), 3)
