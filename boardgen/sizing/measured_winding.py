"""What was measured of a wound core, held against what is possible, and against the field of its wires."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from boardgen.catalogue.own_figures import measured_figure
from boardgen.handbook import two_hole_winding
from boardgen.model.problem import InputError, Place, Problem
from boardgen.model.transformer import STYLE_WORDS
from boardgen.request import Request
from boardgen.sizing.winding import Winding
from boardgen.spec import quantity

ASTONISHING: Final = 1.5
"""A measured figure this many times beyond the range that wires laid at random span is told: our judgement."""
LEAKAGE_KEY, CAPACITANCE_KEY = "measured.transformer.leakage", "measured.transformer.interwinding_capacitance"


def measured_problems(request: Request, windings: Sequence[Winding]) -> tuple[Problem, ...]:
    """Warnings of what nothing here takes, or of what is far from what was computed.

    Raises InputError where leakage and capacitance of one winding are less than light allows.
    """
    if not request.spec.measured.transformer.model_fields_set:
        return ()
    own = [winding for winding in windings if winding.core.part.key == request.spec.parts.core]
    _possible(request, own)
    found = [*_unused(request, own), *(problem for one in own[:1] for problem in _astonishing(one))]
    return tuple(found)


def _possible(request: Request, windings: Sequence[Winding]) -> None:
    measured = request.spec.measured.transformer
    if measured.turns is None or measured.leakage is None or measured.interwinding_capacitance is None:
        return
    henry = measured_figure(measured.leakage, "H").most
    farad = measured_figure(measured.interwinding_capacitance, "F").most
    for winding in windings:
        least = two_hole_winding.least_product_s2(winding.laid.hole, measured.turns.board)
        if henry * farad < least:
            found = (
                f"{quantity.format(measured.leakage.high, 'H', 3)} with "
                f"{quantity.format(measured.interwinding_capacitance.high, 'F', 3)} between the windings: a wave would "
                "run along them faster than light"
            )
            wanted = (
                f"{measured.turns.port}:{measured.turns.board} turns on {winding.core.part.number} allow no less than "
                f"{quantity.format(least / farad, 'H', 3)} with that capacitance"
            )
            hint = "Short the port winding close to the core, join both ends of each winding for the capacitance."
            raise InputError([Problem("V104 measured winding", "error", Place(key=LEAKAGE_KEY), found, wanted, hint)])


def _unused(request: Request, windings: Sequence[Winding]) -> Iterator[Problem]:
    """Where no winding of the board is of the style that was measured, or none is on that core."""
    measured = request.spec.measured.transformer
    strays = measured.leakage is not None or measured.interwinding_capacitance is not None
    if windings and (not strays or any(winding.own for winding in windings)):
        return
    found = f"no transformer of this board has {STYLE_WORDS[measured.style]} on the core that parts.core names"
    if windings:
        found += f": the rules take {STYLE_WORDS[windings[0].style]}"
    hint = "Measure a core that is wound as the winding sheet says, and give its turns and style."
    yield Problem("V105 measured winding", "warning", Place(key="measured.transformer"), found, "", hint)


def _astonishing(winding: Winding) -> Iterator[Problem]:
    if winding.own is None:
        return
    laid = winding.own.laid
    for key, figure, field in (
        (LEAKAGE_KEY, winding.own.leakage, two_hole_winding.leakage(laid).henry),
        (CAPACITANCE_KEY, winding.own.interwinding, two_hole_winding.capacitance(laid)),
    ):
        if figure and not field.low / ASTONISHING <= figure.value <= field.high * ASTONISHING:
            value, low, high = (quantity.format(x, figure.unit, 3) for x in (figure.value, field.low, field.high))
            found = f"{value} is far from the {low} to {high} that wires laid at random in this core have"
            hint = "It is taken as it was measured: see that turns, style and the meter's connection are as stated."
            yield Problem("V106 measured winding", "warning", Place(key=key), found, "", hint)
