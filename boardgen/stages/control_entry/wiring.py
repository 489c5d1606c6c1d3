"""The control entry: where the cable ends, and the guards of each line."""

from __future__ import annotations

from boardgen.model.choices import Choices
from boardgen.model.wiring import Wiring
from boardgen.request import Request
from boardgen.stages.control_entry import guards, jacks, studs, terminals

ENTRIES = {"terminals": terminals.uses, "studs": studs.uses, "jack": jacks.uses}


def wiring(request: Request, choices: Choices) -> Wiring:
    """The chosen kind of entry, then suppressors, fuses and capacitors. All nets are the board's own."""
    return Wiring((*ENTRIES[request.spec.control.entry](request, choices), *guards.uses(request, choices)))
