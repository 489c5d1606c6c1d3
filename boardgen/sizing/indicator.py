"""The resistor of an indicator lamp."""

from __future__ import annotations

from boardgen.handbook import lamp, preferred
from boardgen.model.choice import Subject
from boardgen.model.outcome import Outcome, choice
from boardgen.model.part import Part
from boardgen.request import Request
from boardgen.sizing import rules


def indicator_resistor(request: Request, indicator: Part) -> Outcome:
    """At most the wished current at the highest supply."""
    if not request.spec.control.indicators:
        return Outcome()
    forward = indicator.figures["forward voltage"]
    required = lamp.series_resistor_ohm(request.spec.control.supply.high, forward.value, rules.INDICATOR_A)
    part = request.catalogue.resistor(preferred.at_least(required, "E24"))
    value = choice(
        "indicator",
        Subject("", "selector", "indicator resistor"),
        "at least",
        required,
        part.figures["resistance"].value,
        basis="highest supply",
        formula="R = (V - V_F)/2 mA",
        source="textbook (handbook/lamp.py); 2 mA assumed",
        standing=forward.standing,
        part=part.key,
    )
    return Outcome((value,), (part,))
