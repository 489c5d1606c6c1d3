"""The keys of [measured]: the user's own figures of a core, a choke, a coax, a relay, a transformer."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import PlainValidator

from boardgen.spec import values
from boardgen.spec.label import read_plain
from boardgen.spec.table import Table, absent_table
from boardgen.spec.values import Range, Turns

Stray = Annotated[float, PlainValidator(values.measure("F", 1e-15, 100e-12))]
File = Annotated[str, PlainValidator(read_plain)]


class MeasuredRelay(Table):
    """[measured.relay]: your own figures of one contact of the relay that parts.relay names.

    A curve of isolation is a table of "frequency_hz,isolation_db", a maker's or your own; the through capacitance is
    fitted to it, and the inductance where the curve shows it.
    """

    contact_resistance: Annotated[float, PlainValidator(values.measure("ohm", 1e-4, 10.0))] | None = None
    """Resistance of a closed contact in ohm; 0.1 mohm to 10 ohm; default none."""
    contact_inductance: Annotated[float, PlainValidator(values.measure("H", 1e-10, 1e-6))] | None = None
    """Inductance of a closed contact with its leads in H; 0.1 nH to 1 uH; default none."""
    through_capacitance: Stray | None = None
    """Capacitance through an open contact in F, fitted to a curve of isolation; 0.001 to 100 pF; default none."""
    open_contact_capacitance: Stray | None = None
    """Capacitance across an open contact in F as a meter shows it; 0.001 to 100 pF; default none.

    It is more than goes through, and taken where no through_capacitance is given.
    """
    pole_to_pole_capacitance: Stray | None = None
    """Capacitance between the moving contacts of both poles in F; 0.001 to 100 pF; default none."""
    coil_to_contact_capacitance: Stray | None = None
    """Capacitance from the whole coil to one moving contact in F; 0.001 to 100 pF; default none."""
    coil_to_fixed_contact_capacitance: Stray | None = None
    """Capacitance from the whole coil to one fixed contact in F; 0.001 to 100 pF; default none."""
    isolation: File | None = None
    """The file with the isolation of an open contact, in the place of through_capacitance; default none."""
    coil_isolation: File | None = None
    """The file with the isolation from a moving contact to the coil, in the place of coil_to_contact_capacitance;
    default none."""
    isolation_source: File | None = None
    """Whose curve it is, of which relay, and on what board it was measured; printable characters; no default beside
    isolation and coil_isolation, else none."""
    isolation_impedance: Annotated[float, PlainValidator(values.measure("ohm", 25.0, 300.0))] = 50.0
    """The impedance that isolation and coil_isolation were measured in, in ohm; 25 to 300 ohm; default 50 ohm."""


class MeasuredTransformer(Table):
    """[measured.transformer]: your own figures of the core that parts.core names, wound as its winding sheet says.

    Each is a value, or the range of several cores; a value counts with 10 % to either side. They are carried over to
    other turns on that core with the same style.
    """

    turns: Annotated[Turns, PlainValidator(values.turns(1, 30))] | None = None
    """Turns of the core that was measured, port winding first: "4:4"; 1 to 30 each; no default beside other keys of
    this table, else none."""
    style: Literal["apart", "pair"] = "apart"
    """How its windings lie: "apart", or as a "pair"; default "apart"."""
    leakage: Annotated[Range, PlainValidator(values.span("H", 1e-9, 1e-4))] | None = None
    """Inductance of the board winding with the port winding shorted, in H; 1 nH to 100 uH; default none."""
    interwinding_capacitance: Annotated[Range, PlainValidator(values.span("F", 1e-14, 1e-9))] | None = None
    """Capacitance between the windings in F; 0.01 pF to 1 nF; default none."""
    port_winding_inductance: Annotated[Range, PlainValidator(values.span("H", 1e-7, 0.1))] | None = None
    """Inductance of the port winding at low frequency, such as 10 kHz, in H; 100 nH to 100 mH; default none."""


class Measured(Table):
    """[measured]: paths of your own measurements, beside the specification; they replace figures of parts named here.

    For a core a table of "frequency_hz,mu_real,mu_imag"; for a choke one of "frequency_hz,ohm_real,ohm_imag", or a
    one-port Touchstone file; for the main coax one of "frequency_hz,db_per_100m".
    """

    core: File | None = None
    """The file with the permeability of the core that parts.core names; default none."""
    choke: File | None = None
    """The file with the impedance of the choke that parts.choke names; default none."""
    cable: File | None = None
    """The file with the attenuation of the main coax, in the place of feeder.cable; default none."""
    relay: MeasuredRelay = absent_table()
    transformer: MeasuredTransformer = absent_table()

    @property
    def files(self) -> dict[str, str]:
        """The paths by key under [measured]."""
        named = {
            "core": self.core,
            "choke": self.choke,
            "cable": self.cable,
            "relay.isolation": self.relay.isolation,
            "relay.coil_isolation": self.relay.coil_isolation,
        }
        return {key: path for key, path in named.items() if path is not None}
