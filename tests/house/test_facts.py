"""Facts travel as values: no code learns one from the words of a sentence or from a part of a name."""

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

import boardgen

PACKAGE = Path(boardgen.__file__).parent
FREE = ("formats", "tables", "inputs", "proof", "cli", "workbooks", "public", "spec", "catalogue")
"""Rooms whose work it is to read and write text."""
WORDS = frozenset(
    {
        "basis", "formula", "source", "next_limit", "found", "wanted", "hint", "sentence", "label", "name", "net",
        "slot", "stage", "strip", "subject", "place", "role", "words", "value", "description", "key", "where", "kind",
    }
)  # fmt: skip
"""What attributes and variables are called that hold names and sentences of our own values."""
MATCHING = frozenset(
    {
        "startswith", "endswith", "removeprefix", "removesuffix", "partition", "rpartition", "split", "rsplit", "find",
        "isdigit",
    }
)  # fmt: skip
ALLOWED = {
    "circuit/quiet_skidl.py": "loggers of another library are known by their names alone",
    "documents/book/verify.py": "ends a sentence with a full stop",
    "documents/letters.py": "breaks words into lines",
    "documents/pdf_files.py": "a file has another ending",
    "documents/response.py": "leaves out the word that the head of the column says",
    "documents/station/source.py": "leaves out the word that stands for no maker",
    "purchasing/offer.py": "a price may be for a family of keys, as the user wrote it",
    "purchasing/sourcing.py": "a price may be for a family of keys, as the user wrote it",
}


def matched(tree: ast.Module) -> Iterator[int]:
    """Lines where a part of a text is looked for in a name or a sentence of a value."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute):
            if node.func.attr in MATCHING and _holds_words(node.func.value):
                yield node.lineno
        elif isinstance(node, ast.Compare):
            sides = zip(node.ops, node.comparators, strict=True)
            if any(
                isinstance(op, ast.In | ast.NotIn) and isinstance(s, ast.Attribute) and _holds_words(s)
                for op, s in sides
            ):
                yield node.lineno


def _holds_words(node: ast.expr) -> bool:
    return (isinstance(node, ast.Attribute) and node.attr in WORDS) or (isinstance(node, ast.Name) and node.id in WORDS)


def found() -> dict[str, list[int]]:
    modules = (path.relative_to(PACKAGE) for path in sorted(PACKAGE.rglob("*.py")))
    lines = {
        path.as_posix(): list(matched(ast.parse((PACKAGE / path).read_text(encoding="utf-8"))))
        for path in modules
        if path.parts[0] not in FREE
    }
    return {path: numbers for path, numbers in lines.items() if numbers}


def test_no_fact_is_read_from_words():
    assert {path: lines for path, lines in found().items() if path not in ALLOWED} == {}


def test_what_is_allowed_is_still_there():
    assert sorted(ALLOWED.keys() - found().keys()) == []


@pytest.mark.parametrize(
    "line",
    [
        'farad = PAIR if "pair" in leak.basis else APART',
        'mine = reading.subject.startswith(f"{box.name} ")',
        'number = relay.subject.slot.removeprefix("relay ")',
        "own = net.endswith(strip)",
        'bleeder = part.subject.slot.endswith("bleeder")',
    ],
)
def test_such_a_line_is_found(line):
    assert list(matched(ast.parse(line))) == [1]


@pytest.mark.parametrize(
    "line", ["if net.called.strip == strip: pass", 'if part.subject.slot in ("rail", "bond"): pass']
)
def test_values_may_be_compared(line):
    assert list(matched(ast.parse(line))) == []
