"""Eight small boards against all that is preferred to what was taken: none of it meets the rules and the targets.

Nor is anything else taken where a stray lies a quarter of its range higher or lower than stated.
"""

import pytest
from msgspec.structs import replace

from boardgen.circuit.compose import compose
from boardgen.circuit.freeze import freeze
from boardgen.model.problem import InputError
from boardgen.request import Request
from boardgen.rf import prediction
from boardgen.rf.changes import MOST_EXTRA_TURNS
from boardgen.rf.judge import JUDGED, judge
from boardgen.rf.network import network
from boardgen.rf.prediction import Prediction
from boardgen.rf.refine import refine
from boardgen.rf.response import predict
from boardgen.rf.unknowns import unknowns
from boardgen.sizing.preference import rank, winding_rank
from boardgen.sizing.size import size
from boardgen.sizing.transformer import with_extra_turns
from boardgen.spec.load import read_text
from tests.catalogue.shipped import CATALOGUE

ASKED = """[band]\nlowest = "{}"\nhighest = "{}"\nimpedance = "{} ohm"\n[[antenna]]\nlabel = "north"\n[[antenna]]
label = "south"\n[prefer]\nparts = "{}"\n[targets]\n{}\n"""
SPECIFICATIONS = [
    ("1.8 MHz", "10.15 MHz", 75, "easy to build", ""),
    # the fields of many small windings
    pytest.param(("1.8 MHz", "10.15 MHz", 75, "small", ""), marks=pytest.mark.slow),
    pytest.param(("1.8 MHz", "10.15 MHz", 75, "cheap", ""), marks=pytest.mark.slow),
    ("472 kHz", "7.3 MHz", 75, "easy to build", 'common_mode = "2.5 kohm to 3.5 MHz"'),
    ("3.5 MHz", "14.35 MHz", 50, "easy to build", 'common_mode = "1 kohm to 3.5 MHz"'),
    ("3.5 MHz", "14.35 MHz", 50, "small", 'common_mode = "1 kohm to 3.5 MHz"'),
    ("1.8 MHz", "7.3 MHz", 50, "cheap", 'common_mode = "2 kohm to 3.5 MHz"'),
    ("1.8 MHz", "7.3 MHz", 75, "easy to build", 'insertion_loss = "0.3 dB"\ncommon_mode = "2 kohm to 3.5 MHz"'),
]


def wound(request, choices):
    """The rank of the winding."""
    of = {c.role: c for c in choices.values if c.role in ("turns", "port turns", "winding wire")}
    passes = of["turns"].chosen + of["port turns"].chosen
    core, wire = CATALOGUE.part(of["turns"].part), CATALOGUE.part(of["winding wire"].part)
    return winding_rank(request, core, wire, passes)


def relay_of(choices):
    """The relay."""
    return CATALOGUE.part(next(c for c in choices.values if c.role == "relay").part)


def with_part(request, role, key):
    """The same request, one part pinned."""
    parts = request.spec.parts.model_copy(update={role: key})
    return replace(request, spec=request.spec.model_copy(update={"parts": parts}))


def holds(request, choices):
    """Whether no rule falls short and every target is met."""
    if any(p.severity == "shortfall" for p in choices.problems):
        return False
    netlist = freeze(request, compose(request, choices))
    network = Prediction(request, choices, netlist).network
    return all(j.state != "falls short" for j in judge(request.spec, predict(request.spec, network, quantities=JUDGED)))


def sized(request):
    """The choices, None where there are none."""
    try:
        return size(request)
    except (InputError, ValueError):
        return None


@pytest.mark.parametrize("asked", SPECIFICATIONS, ids=lambda asked: " ".join(map(str, asked[:4])))
def test_nothing_that_is_preferred_meets_the_targets(asked):
    request = Request(read_text(ASKED.format(*asked)), CATALOGUE)
    found = refine(request)
    assert found.found.missed == 0
    taken, relay = found.found.choices, relay_of(found.found.choices)
    mine = wound(request, taken)
    for extra in range(MOST_EXTRA_TURNS + 1):
        for core in CATALOGUE.of_kind("core"):
            other = with_extra_turns(with_part(request, "core", core.key), extra)
            # what cannot come before what was taken is not sized: its field takes long
            if core.footprint and could_be_preferred(other, core, mine):
                choices = sized(other)
                if choices is not None and wound(other, choices) < mine:
                    assert not holds(other, choices), (core.key, extra)
    for part in CATALOGUE.of_kind("relay"):
        if part.footprint and rank(request, part) < rank(request, relay):
            other = with_part(found.found.request, "relay", part.key)
            choices = sized(other)
            assert choices is None or not holds(other, choices), part.key


@pytest.mark.parametrize(
    "asked",
    [*SPECIFICATIONS[3:6], ("472 kHz", "4 MHz", 50, "easy to build", 'common_mode = "1.5 kohm to 1 MHz"')],
    ids=lambda asked: " ".join(map(str, asked[:4])),
)
def test_no_capacitor_is_taken_that_the_targets_can_spare(asked):
    """With them, the board without misses a target within its bounds; without them, all hold within theirs."""
    request = Request(read_text(ASKED.format(*asked)), CATALOGUE)
    found = refine(request).found
    compensated = any(winding.compensated for winding in found.choices.windings.values())
    switching = request.spec.switching.model_copy(update={"compensation": "none"})
    other = replace(found.request, spec=found.request.spec.model_copy(update={"switching": switching}))
    choices = size(other)
    bare = Prediction(other, choices, freeze(other, compose(other, choices)))
    of_signal = [v.state for v in bare.verdicts if v.judged.quantity != "isolation"]
    assert compensated == (set(of_signal) != {"met"})
    assert compensated or {p.id for p in found.choices.problems if p.severity == "shortfall"} == set()


def could_be_preferred(request, core, mine):
    """Whether the thickest wire in the fewest passes would make this core preferred."""
    thickest = max(CATALOGUE.of_kind("winding wire"), key=lambda wire: wire.figures["diameter"].value)
    return winding_rank(request, core, thickest, 2) < mine


QUARTER = 0.25


def with_stray(name, end):
    """The network of a board, with all strays of that name a quarter of the way to an end of their range."""

    def moved(parameter):
        if parameter.name != name:
            return parameter
        return replace(parameter, value=parameter.value + QUARTER * (getattr(parameter, end) - parameter.value))

    def made(*told, **more):
        found = network(*told, **more)
        elements = (replace(e, parameters=tuple(map(moved, e.parameters))) for e in found.elements)
        return replace(found, elements=tuple(elements))

    return made


@pytest.mark.slow
@pytest.mark.parametrize("asked", SPECIFICATIONS, ids=lambda asked: " ".join(map(str, asked[:4])))
def test_a_stray_a_quarter_of_its_range_off_changes_no_part(asked, monkeypatch):
    request = Request(read_text(ASKED.format(*asked)), CATALOGUE)
    before = refine(request)
    strays = {name for one in unknowns(before.prediction.network) if one.is_stray for _, name in one.places}
    assert {"interwinding capacitance", "first leakage", "capacitance"} <= strays
    for name in sorted(strays):
        off = 0
        for end in ("low", "high"):
            monkeypatch.setattr(prediction, "network", with_stray(name, end))
            after = refine(request)
            # what is stated may be the end of its range
            off += after.prediction.network.elements != before.prediction.network.elements
            assert after.found.choices == before.found.choices, (name, end)
        assert off, name
