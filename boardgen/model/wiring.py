"""What a stage gives: the parts it uses and the local nets that join them."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct

from boardgen.model.choice import Subject
from boardgen.model.part import Part

OUTER = ("outer centre", "outer braid")
INNER = ("inner centre", "inner braid")
RESTING = ("resting centre", "resting braid")
"""The pair that a changeover relay leads through while it is at rest."""
CONTROL = "control"
"""The control line that works the relays of a stage."""
BUS = ("bus centre", "bus braid")
"""What every strip leads to, and the output comes from."""
SHARED = ("0V", "earth", "coil supply", *BUS)
"""Nets that have one name on the whole board, in whichever stage they are met."""


class Use(Struct, frozen=True):
    """A part in a place. `pin_nets` maps each pin role to a local net; a role left out stays free on purpose.

    `in_series` says that the received signal passes it on its way to the next stage.
    """

    subject: Subject
    part: Part
    value: str
    pin_nets: Mapping[str, str]
    fitted: bool = True
    in_series: bool = False


class Wiring(Struct, frozen=True):
    """The uses of one stage, and which local pair the next stage inward is joined to.

    A stage that lies across the pair leaves `inward` at the outer pair; one in series with it names the inner pair.
    """

    uses: tuple[Use, ...] = ()
    inward: tuple[str, str] = OUTER
