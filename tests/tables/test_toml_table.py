"""Tables of TOML: what a layout says is held to, and every fault is named with its line and key, all at once."""

from typing import Annotated, Literal

import pytest
from msgspec import Meta, Struct, field

from boardgen.tables.column import column
from boardgen.tables.fault import Faults
from boardgen.tables.toml_table import TomlTable, read_blocks


class Thing(Struct, frozen=True, kw_only=True):
    key: Annotated[str, column("what it is called")]
    side: Annotated[Literal["top", "bottom"], column("where it is")]
    width: Annotated[float, Meta(gt=0, description="how wide", extra={"unit": "mm"})] = 1.0
    size: Annotated[tuple[float, ...], column("how large", "millimetres", least=0, counts=(2, 3))] = ()
    notes: Annotated[tuple[str, ...], column("sentences")] = ()
    facts: Annotated[dict[str, str], column("by name")] = field(default_factory=dict)
    rows: Annotated[tuple[object, ...], column("of any sort")] = ()


TEXT = """
[[thing]]
key = "one"
side = "top"

[[other]]
[[thing]]
key = "two"
side = "bottom"
width = 2
size = [1, 2.5]
notes = "a sentence"
facts = { a = "b", c = "" }
rows = [["x", 1]]
"""


def read(text, beside=()):
    faults = Faults()
    blocks = read_blocks(text, "t.toml", ("thing", "other"), faults)
    tables = [TomlTable(block, Thing, faults, beside=beside).values for block in blocks if block.sort == "thing"]
    return tables, [(p.place.line, p.place.key, p.id, p.found, p.wanted, p.hint) for p in faults.by_line]


def test_what_may_be_left_out_has_its_default_and_the_rest_its_value():
    (one, two), problems = read(TEXT)
    assert problems == []
    assert one == Thing(key="one", side="top")
    assert two == Thing(
        key="two",
        side="bottom",
        width=2.0,
        size=(1.0, 2.5),
        notes=("a sentence",),
        facts={"a": "b"},
        rows=(["x", 1],),
    )


@pytest.mark.parametrize(
    ("old", "new", "line", "key", "said"),
    [
        ('key = "two"', "", 7, "[[thing]]", ("K004 absent key", "key is absent", 'write key = "..."', "")),
        (
            '"two"',
            "2",
            8,
            "2.key",
            ("K003 wrong type", "key is 2", "wanted is a text of one line in quotes", ""),
        ),
        (
            '"bottom"',
            '"botom"',
            9,
            "two.side",
            ("K005 not a choice", 'the side "botom" is unknown', "allowed are top, bottom", 'Did you mean "bottom"?'),
        ),
        ("width = 2", "width = 0", 10, "two.width", ("K003 wrong type", "width is 0", "wanted is more than 0 mm", "")),
        (
            "[1, 2.5]",
            "[1]",
            11,
            "two.size",
            ("K003 wrong type", "size is a list", "wanted are 2 or 3 numbers in millimetres", ""),
        ),
        (
            "[1, 2.5]",
            "[1, -1]",
            11,
            "two.size",
            ("K003 wrong type", "size is a list", "wanted are 2 or 3 numbers in millimetres", ""),
        ),
        ('"a sentence"', "7", 12, "two.notes", ("K003 wrong type", "notes is 7", 'write notes = ["..."]', "")),
        (
            '{ a = "b", c = "" }',
            "{ a = 1 }",
            13,
            "two.facts",
            ("K003 wrong type", "facts is a table", 'write facts = { name = "..." }', ""),
        ),
    ],
)
def test_a_fault_names_line_and_key_what_is_allowed_and_what_to_do(old, new, line, key, said):
    tables, problems = read(TEXT.replace(old, new))
    assert problems == [(line, key, *said)]
    assert len(tables) == 2


def test_all_faults_at_once_and_an_unknown_key_has_the_nearest_that_is():
    text = TEXT.replace("width = 2", "widht = 2").replace('"top"', "1").replace('"a sentence"', "7")
    _, problems = read(text)
    assert [(line, identity) for line, _, identity, *_ in problems] == [
        (4, "K003 wrong type"),
        (10, "K002 unknown key"),
        (12, "K003 wrong type"),
    ]
    assert problems[1][-1] == 'Did you mean "width"?'
    assert [each[1] for each in read(text, beside=("widht",))[1]] == ["one.side", "two.notes"]


@pytest.mark.parametrize(
    ("text", "line", "said"),
    [
        ("[[thing]\n", 1, "this is not TOML"),
        ("\n[[thing]]\nkey = " + "[" * 20_000, 3, "nested too deeply"),
        ("\n[[thing]]\n" + "a." * 20_000 + "b = 1", 3, "too many dots"),
        ("[[thing]]\nwidth = 1" + "0" * 5000, None, "too many digits"),
        ("\n[[thang]]\n", 2, 'the table "thang" is unknown'),
        ("[thing]\n", 1, "thing is not a list of tables"),
    ],
)
def test_a_file_that_is_laid_out_otherwise(text, line, said):
    tables, ((at, _, _, found, *_),) = read(text)
    assert (tables, at) == ([], line)
    assert said in found
