"""What the records of the stages promise one another and the circuit."""

from __future__ import annotations

import importlib

import pytest

from boardgen.model.choice import Subject
from boardgen.model.choices import Choices
from boardgen.model.wiring import Wiring
from boardgen.request import Request
from boardgen.sizing.size import size
from boardgen.spec.load import read_text
from boardgen.stages import STAGES, STRIP_STAGES
from boardgen.stages.line_nets import Line
from boardgen.stages.stage import BoardStage
from boardgen.stages.uses import two_pin
from tests.catalogue.shipped import CATALOGUE
from tests.circuit.options import SIGNAL, covering, specification

OPTIONS = covering(SIGNAL, 3)


def test_no_two_stages_bear_one_name() -> None:
    names = [stage.name for stage in STAGES]
    assert sorted(set(names)) == sorted(names)


@pytest.mark.parametrize("option", OPTIONS, ids=str)
def test_a_record_tells_of_its_wiring_what_the_layout_and_the_cable_rely_on(option: dict[str, object]) -> None:
    """Its parts stand in its own place; it has as many relays as its line has coils; only one in series breaks."""
    request = Request(read_text(specification(option)), CATALOGUE)
    choices = size(request)
    for strip in request.strips:
        for stage in (s for s in STRIP_STAGES if s.fitted(request, strip)):
            wiring = stage.wiring(request, strip, choices)
            assert {(use.subject.strip, use.subject.stage) for use in wiring.uses} <= {(strip.label, stage.name)}
            line = stage.control(request, strip)
            assert sum(use.part.kind == "relay" for use in wiring.uses) == (line.coils if line else 0)
            assert stage.in_series or wiring.inward == Wiring().inward


def test_a_stage_of_the_board_may_have_a_net_of_its_own(monkeypatch: pytest.MonkeyPatch) -> None:
    def wiring(request: Request, lines: tuple[Line, ...], choices: Choices) -> Wiring:
        bleeder = choices.part("bleeder", Subject("", "board", "bleeder"))
        ends = (("upper", "bus braid", "tap"), ("lower", "tap", "0V"))
        return Wiring(tuple(two_pin(Subject("", "tap", slot), bleeder, "", one, other) for slot, one, other in ends))

    # the module, whose function has its name
    module = importlib.import_module("boardgen.circuit.compose")
    own = BoardStage("tap", wiring, "bus", ())
    monkeypatch.setattr(module, "BOARD_STAGES", (*module.BOARD_STAGES, own))
    request = Request(read_text(specification({})), CATALOGUE)
    joined = [p.use.pin_nets for p in module.compose(request, size(request)) if p.use.subject.stage == "tap"]
    assert [sorted(pin_nets.values()) for pin_nets in joined] == [["bus braid", "tap"], ["0V", "tap"]]
