"""The stages of the signal path, in order. Add one by adding its folder and its line here.

An antenna's strip has all of them as far as they are fitted; the output is a strip of the same ones without a selector.
"""

from __future__ import annotations

from typing import Protocol

from boardgen.model.choices import Choices
from boardgen.model.wiring import Wiring
from boardgen.request import Request
from boardgen.spec.strip import Strip
from boardgen.stages.braid_breaker import wiring as braid_breaker
from boardgen.stages.bus import wiring as bus
from boardgen.stages.changeover import wiring as changeover
from boardgen.stages.control_entry import wiring as control_entry
from boardgen.stages.earth import wiring as earth
from boardgen.stages.feed import wiring as feed
from boardgen.stages.port import wiring as port
from boardgen.stages.selector import wiring as selector
from boardgen.stages.surge import wiring as surge


class StripStage(Protocol):
    """A stage that each strip has a copy of, between its port and the bus."""

    def fitted(self, request: Request, strip: Strip) -> bool:
        """Whether this strip has the stage at all."""

    def wiring(self, request: Request, strip: Strip, choices: Choices) -> Wiring:
        """Its parts and local nets."""


class BoardStage(Protocol):
    """A stage that the board has once."""

    def wiring(self, request: Request, choices: Choices) -> Wiring:
        """Its parts, on the board's own nets."""


STAGES: tuple[tuple[str, StripStage], ...] = (
    ("port", port),
    ("surge", surge),
    ("feed", feed),
    ("braid breaker", braid_breaker),
    ("selector", selector),
    ("changeover", changeover),
)
"""From the port inward; a board has either selectors or changeovers."""

BOARD_STAGES: tuple[tuple[str, BoardStage], ...] = (
    ("bus", bus),
    ("earth", earth),
    ("control entry", control_entry),
)
