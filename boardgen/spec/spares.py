"""[order.spares_of]: spares of single kinds of parts, in the place of order.spares."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated

from pydantic import BaseModel, ConfigDict

from boardgen.spec import values
from boardgen.spec.read import Read

Share = Annotated[float, Read(values.measure("%", 0.0, 1.0))] | None


class SparesOf(BaseModel):
    """Share of the parts of a kind bought over the need, "20 %"; 0 to 100 %; default order.spares."""

    model_config = ConfigDict(frozen=True, extra="forbid", strict=True, defer_build=True)

    relay: Share = None
    core: Share = None
    winding_wire: Share = None
    choke: Share = None
    bifilar_choke: Share = None
    capacitor: Share = None
    resistor: Share = None
    diode: Share = None
    suppressor: Share = None
    gas_tube: Share = None
    fuse: Share = None
    cable_fuse: Share = None
    indicator: Share = None
    terminal: Share = None
    stud: Share = None
    jack: Share = None
    connector: Share = None
    cable: Share = None
    link: Share = None
    hardware: Share = None

    @property
    def by_kind(self) -> Mapping[str, float]:
        """The shares that are given, by kind of part."""
        given = {name.replace("_", " "): getattr(self, name) for name in type(self).model_fields}
        return {kind: share for kind, share in given.items() if share is not None}
