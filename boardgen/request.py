"""What sizing and every stage start from: the specification with its strips resolved, and what can be bought."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property

from msgspec import Struct, field

from boardgen.catalogue import Catalogue
from boardgen.spec.keys import Spec
from boardgen.spec.strip import Strip, strips


class Request(Struct, frozen=True, dict=True):
    """The input of sizing and of every stage.

    `kept` are catalogue keys by role from an earlier build: each is taken again while it still meets the rules.
    `extra_turns` are wound on each transformer beyond what the rules ask, where prediction found that they help.
    `measured` are the user's own curves, by key of [measured]: the prediction takes them, sizing by rule does not.
    """

    spec: Spec
    catalogue: Catalogue
    kept: Mapping[str, str] = field(default_factory=dict)
    extra_turns: int = 0
    measured: Mapping[str, tuple[tuple[float, complex], ...]] = field(default_factory=dict)

    @cached_property
    def strips(self) -> tuple[Strip, ...]:
        """The antennas in order, then the output."""
        return strips(self.spec)

    @cached_property
    def antennas(self) -> tuple[Strip, ...]:
        """The strips with a relay."""
        return tuple(s for s in self.strips if not s.is_output)

    @cached_property
    def output(self) -> Strip:
        """The strip without a relay."""
        return self.strips[-1]

    @cached_property
    def has_earth(self) -> bool:
        """Whether the board has an earth net: where any line has surge protection."""
        return self.spec.protection.surge or any(s.surge for s in self.strips)

    @property
    def low_side(self) -> bool:
        """Whether the coils are switched on their return."""
        return self.spec.control.drive == "low side"

    @property
    def z0_ohm(self) -> float:
        """The impedance on the board's own side of every transformer."""
        return self.spec.band.impedance
