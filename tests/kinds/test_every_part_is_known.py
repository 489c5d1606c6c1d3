"""On every board each fitted part is drawn, laid, modelled, metered and billed, or its kind says why not.

Planted are parts of a kind that lacks one of these. That every pin of the netlist has a pad is planted in
tests/board/test_planted_faults.py.
"""

import pytest
from msgspec.structs import replace

from boardgen import kinds
from boardgen.circuit.rules import check
from boardgen.commissioning.bench import Bench, unmetered
from boardgen.kinds import KIND, KINDS, fault
from boardgen.kinds.kind import NOT_SAID, Kind, Without
from boardgen.purchasing.bill import billed_is_fitted
from tests.rf.rf_boards import BOARDS, design

ON_BOARD = [kind for kind in KINDS if kind.letter]


def found(made):
    """Which of the checks find something, and of which parts."""
    problems = (
        *check(made.request, made.netlist),
        *unmetered(Bench(made.request, made.choices, made.netlist)),
        *made.prediction.problems,
        *billed_is_fitted(made.netlist, made.bill),
    )
    wanted = ("C011", "C012", "C013", "R006")
    return {(p.id, p.place.key) for p in problems if p.id.startswith(wanted)}


@pytest.fixture
def board():
    """A board of its own, since what was worked out is kept with it."""
    made = design("plain feed")
    return replace(made, prediction=replace(made.prediction))


def planted(monkeypatch, kind: Kind):
    monkeypatch.setitem(kinds.KIND, kind.name, kind)


@pytest.mark.parametrize("name", list(BOARDS))
def test_nothing_is_found_of_sound_boards(name):
    assert found(design(name)) == set()


def nothing(part):
    yield from ()


LACKS = [
    ("C012 drawn", {"symbols": {}, "symbol_for": None}),
    ("C013 metered", {"direct_current": NOT_SAID}),
    ("C013 metered", {"direct_current": nothing, "faults": fault.none}),
    ("R006 modelled", {"radio": NOT_SAID}),
    ("R006 modelled", {"radio": nothing}),
]


@pytest.mark.parametrize(("check_id", "lacking"), LACKS, ids=[f"{n} {i}" for n, (i, _) in enumerate(LACKS)])
@pytest.mark.parametrize("kind", ["diode", "fuse", "choke"])
def test_a_part_of_a_kind_that_lacks_something_is_found(monkeypatch, board, kind, check_id, lacking):
    planted(monkeypatch, replace(KIND[kind], **lacking))
    refs = {c.ref for c in board.netlist.of_kind(kind) if c.fitted}
    assert refs
    assert {(check_id, ref) for ref in refs} <= found(board)


@pytest.mark.parametrize("law", ["direct_current", "radio"])
def test_a_kind_may_say_why_it_has_no_law(monkeypatch, board, law):
    planted(monkeypatch, replace(KIND["choke"], **{law: Without("invented for this test")}))
    assert found(board) == set()


def test_a_part_that_is_not_billed_is_found(board):
    lines = tuple(line for line in board.bill.lines if "K1" not in line.refs)
    problems = billed_is_fitted(board.netlist, replace(board.bill, lines=lines))
    assert {p.place.key for p in problems} == {
        ref for line in board.bill.lines if "K1" in line.refs for ref in line.refs
    }


@pytest.mark.parametrize("kind", ON_BOARD, ids=[k.name for k in ON_BOARD])
def test_what_stands_on_a_board_says_all_of_itself(kind):
    assert kind.symbols
    assert kind.pins
    assert kind.assembly.title
    for law in (kind.direct_current, kind.radio):
        assert law is not NOT_SAID
        assert not isinstance(law, Without) or law.reason


def test_names_of_kinds_and_symbols_are_used_once():
    assert len(KIND) == len(KINDS)
    names = [name for kind in KINDS for name in kind.symbols]
    assert sorted(names) == sorted(set(names))
