"""The reader of tables: a layout says all, and every fault is named with its line, what is allowed and what to do."""

from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Annotated

import pytest
from msgspec import Meta, Struct, field

from boardgen.inputs.table_files import read_tables
from boardgen.model.problem import InputError, Place
from boardgen.tables.column import column, columns_of
from boardgen.tables.csv_table import CsvKind, read_table
from boardgen.tables.fault import FieldError

KIND = CsvKind("thing")
STRICT = CsvKind("T001 things", strict=True, comments=True, key="things.of")


class Row(Struct, frozen=True, kw_only=True):
    name: Annotated[str, column("what it is called")]
    length: Annotated[float, Meta(gt=0, le=300, description="how long", extra={"unit": "mm"})] = 1.5
    share: Annotated[Decimal, column("how much", "%", least=0, most=100)] = Decimal(0)
    days: Annotated[int | None, column("until it comes", "days", least=0)] = None
    since: Annotated[date | None, column("the day")] = None
    origin: Annotated[str, column("where from", pattern="[A-Z]{2}", noun="a country", wanted="two capitals")] = field(
        name="from", default="DE"
    )


def said(text, kind=KIND, check=None):
    return [(p.place.line, p.found, p.wanted) for p in read_table(text, "t.csv", Row, kind, check).problems]


def test_the_layout_says_names_units_ranges_and_defaults():
    name, length, share, days, _, origin = columns_of(Row)
    assert (name.needed, name.sentence, length.default, length.unit) == (True, "what it is called", 1.5, "mm")
    assert (length.allowed, share.allowed, days.allowed) == (
        "more than 0 mm, at most 300 mm",
        "0 to 100 %",
        "a number from 0 days",
    )
    assert (origin.name, origin.field, days.type, days.default) == ("from", "origin", int, None)


def test_rows_with_their_lines_in_any_order_of_columns_and_blanks_as_defaults():
    table = read_table('days,name,length\n,a,2e1\n\n3,"b\nc",\n7,d,\n', "t.csv", Row, KIND)
    assert table.problems == ()
    assert table.rows == [(2, Row(name="a", length=20.0)), (4, Row(name="b\nc", days=3)), (6, Row(name="d", days=7))]


def test_all_faults_of_a_row_are_named_at_once_and_the_rest_holds():
    text = "name,length,share,days,since,from\na,301,101,1.5,2026-02-30,de\n,inf,-1,x,,FR\nb,3,5,2,2026-02-03,FR\n"
    table = read_table(text, "t.csv", Row, KIND)
    good = Row(name="b", length=3.0, share=Decimal(5), days=2, since=date(2026, 2, 3), origin="FR")
    assert table.rows == [(4, good)]
    assert said(text) == [
        (2, "length is 301", "more than 0 mm, at most 300 mm"),
        (2, "share is 101", "0 to 100 %"),
        (2, "days '1.5' is not a whole number", "days, such as 5"),
        (2, "since '2026-02-30' is not a day", "year-month-day, such as 2026-11-01"),
        (2, "from 'de' is not a country", "two capitals"),
        (3, "name is blank", "every row needs it"),
        (3, "length 'inf' is not a number", "a number such as 1.8e6"),
        (3, "share '-1' is negative", "a number from 0"),
        (3, "days 'x' is not a number", "digits with a decimal point, such as 2.95"),
    ]
    assert {(p.id, p.severity, p.hint, p.place.file) for p in table.problems} == {
        ("thing-row", "shortfall", "The row is left out", "t.csv")
    }


def test_a_row_that_can_be_read_may_still_be_refused():
    def no_b(row):
        if row.name == "b":
            raise FieldError(found="it is b", wanted="any other")

    assert said("name\na\nb\n", check=no_b) == [(3, "it is b", "any other")]


def test_a_strict_table_has_its_very_heading_and_only_errors():
    columns = "name,length,share,days,since,from"
    table = read_table(f"# unit: mm\n# mine\n{columns}\na,0,,,,\n", "t.csv", Row, STRICT)
    assert (table.notes, table.rows) == ({"unit": "mm", "mine": ""}, [])
    with pytest.raises(InputError) as caught:
        table.faults.raise_any()
    (only,) = caught.value.problems
    assert (only.id, only.severity, only.hint) == ("T001 things", "error", "")
    assert only.place == Place("t.csv", 4, "things.of")
    assert said(f"length,{columns}\n", STRICT)[0][1] == f"the heading is length,{columns}"


def test_a_layout_that_is_not_there_is_told_with_the_columns_it_has():
    wanted = "columns: name, length, share, days, since, from"
    assert said("") == [(1, "the file holds no table", wanted)]
    assert said("lenght\n1\n") == [(1, "unknown column 'lenght'", "it is ignored"), (1, "no column name", wanted)]
    assert said("name,name\na,a\n") == [(1, "the column 'name' stands there twice", wanted)]


def test_files_are_read_at_one_place_which_refuses_what_is_no_plain_file(tmp_path):
    (tmp_path / "a.csv").write_bytes(b"\xef\xbb\xbfname\na\n")
    (tmp_path / "latin.csv").write_bytes(b"caf\xe9")
    assert read_tables([tmp_path / "a.csv"]) == ((str(tmp_path / "a.csv"), "name\na\n"),)
    with pytest.raises(InputError) as caught:
        read_tables([tmp_path / "latin.csv", tmp_path / "gone.csv"])
    assert [problem.place.file.rsplit("/", 1)[1] for problem in caught.value.problems] == ["latin.csv", "gone.csv"]
    with pytest.raises(InputError, match="not a regular file"):
        read_tables([Path("/dev/zero")])


def numbers(*cells, separator=";"):
    """The numbers of a table with these in its column `share`, or what is wrong with it."""
    text = "\n".join([separator.join(("name", "share")), *(separator.join(("a", cell)) for cell in cells)])
    table = read_table(text, "t.csv", Row, KIND)
    wrong = [p.found for p in table.problems if p.severity != "note"]
    return wrong or [str(row.share) for _, row in table.rows]


@pytest.mark.parametrize(
    ("separator", "cells", "found"),
    [
        (";", ("2,95", "3"), ["2.95", "3"]),
        (";", ("2.95", "3"), ["2.95", "3"]),
        (";", ("0,125", "1,234"), ["0.125", "1.234"]),
        (";", ("2,5", "1,234"), ["2.5", "1.234"]),
        ("\t", ("2,5", "1.234"), ["share '1.234' has a point"]),
        (";", ("1,234", "5"), ["1,234 may be 1.234 or 1234"]),
        (";", ("1.234", "5"), ["1.234 may be 1.234 or 1234"]),
        (",", ("1.234", "5"), ["1.234", "5"]),
        (",", ('"1,234"', "5"), ["1,234 may be 1.234 or 1234"]),
        (",", ('"2,5"', "5"), ["2.5", "5"]),
        (",", ('"2,5"', "5.5"), ["share '2,5' is not a number"]),
        (";", ("2,5", "5.5"), ["numbers with a decimal comma and with a point: 2,5 and 5.5"]),
        (";", ("1.234,50",), ["share '1.234,50' is not a number"]),
        (";", ("2,5", "1.234,50"), ["share '1.234,50' has a point"]),
    ],
)
def test_a_decimal_comma_is_read_where_it_is_clear_and_refused_where_not(separator, cells, found):
    assert numbers(*cells, separator=separator) == found


def test_what_spreadsheets_add_does_no_harm():
    text = "sep=;\r\nname;share;;\r\na;2,5;;\r\nb;3;;\r\n;;;\r\n"
    table = read_table(text, "t.csv", Row, KIND)
    assert [(line, row.name, row.share) for line, row in table.rows] == [(3, "a", Decimal("2.5")), (4, "b", Decimal(3))]
    (note,) = table.problems
    assert (note.severity, note.place.line) == ("note", 2)


def test_days_with_points_are_read_and_those_with_strokes_refused():
    text = "name,since\na,1.11.2026\nb,01.02.2026\nc,31.2.2026\nd,11/1/2026\n"
    assert [row.since for _, row in read_table(text, "t.csv", Row, KIND).rows] == [date(2026, 11, 1), date(2026, 2, 1)]
    assert [line for line, *_ in said(text)] == [4, 5]


def test_no_control_character_comes_through():
    assert said('name\na\x1b[31m\n"b\nc"\nd\u202e\n') == [
        (2, 'name "a\\u001b[31m" holds control characters', "letters that can be printed"),
        (5, 'name "d\\u202e" holds control characters', "letters that can be printed"),
    ]
