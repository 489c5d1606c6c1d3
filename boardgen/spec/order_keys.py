"""The keys of [order]: what is bought."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated

from pydantic import PlainValidator

from boardgen.spec import values
from boardgen.spec.label import read_currency
from boardgen.spec.table import Table, absent_table

Share = Annotated[float, PlainValidator(values.measure("%", 0.0, 1.0))] | None


class SparesOf(Table):
    """[order.spares_of]: share of the parts of a kind bought over the need, in the place of order.spares."""

    relay: Share = None
    """Relays; 0 to 100 %; default order.spares."""
    core: Share = None
    """Cores; 0 to 100 %; default order.spares."""
    winding_wire: Share = None
    """Metres of winding wire; 0 to 100 %; default order.spares."""
    choke: Share = None
    """Chokes of one winding; 0 to 100 %; default order.spares."""
    bifilar_choke: Share = None
    """Chokes of two windings; 0 to 100 %; default order.spares."""
    capacitor: Share = None
    """Capacitors; 0 to 100 %; default order.spares."""
    resistor: Share = None
    """Resistors; 0 to 100 %; default order.spares."""
    diode: Share = None
    """Diodes; 0 to 100 %; default order.spares."""
    suppressor: Share = None
    """Suppressors; 0 to 100 %; default order.spares."""
    gas_tube: Share = None
    """Gas tubes; 0 to 100 %; default order.spares."""
    fuse: Share = None
    """Resettable fuses; 0 to 100 %; default order.spares."""
    cable_fuse: Share = None
    """Fuses of the control cable; 0 to 100 %; default order.spares."""
    indicator: Share = None
    """Lamps; 0 to 100 %; default order.spares."""
    terminal: Share = None
    """Terminal blocks; 0 to 100 %; default order.spares."""
    stud: Share = None
    """Studs; 0 to 100 %; default order.spares."""
    jack: Share = None
    """Jacks; 0 to 100 %; default order.spares."""
    connector: Share = None
    """Connectors; 0 to 100 %; default order.spares."""
    cable: Share = None
    """Metres of coax; 0 to 100 %; default order.spares."""
    link: Share = None
    """Wire links; 0 to 100 %; default order.spares."""
    hardware: Share = None
    """Screws, standoffs, glands and other hardware; 0 to 100 %; default order.spares."""

    @property
    def by_kind(self) -> Mapping[str, float]:
        """The shares that are given, by kind of part."""
        given = {name.replace("_", " "): getattr(self, name) for name in type(self).model_fields}
        return {kind: share for kind, share in given.items() if share is not None}


class Order(Table):
    """[order]: what is bought."""

    boards: Annotated[int, PlainValidator(values.whole(1, 10000))] = 1
    """How many boards are built; 1 to 10000; default 1."""
    spares: Annotated[float, PlainValidator(values.measure("%", 0.0, 1.0))] = 0.10
    """How much more of each part is bought than is needed; 0 to 100 %; default 10 %."""
    spares_of: SparesOf = absent_table()
    """The same for single kinds of parts, such as relay = "20 %"; default none."""
    currency: Annotated[str, PlainValidator(read_currency)] = "CAD"
    """The currency of all prices, three capitals as in ISO 4217; default CAD."""
