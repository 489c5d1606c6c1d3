"""[parts]: catalogue keys that take the place of the sized choice."""

from __future__ import annotations

from typing import Annotated

from pydantic import BaseModel, ConfigDict

from boardgen.spec import label
from boardgen.spec.read import Read

Key = Annotated[str, Read(label.read_plain)]


class Parts(BaseModel):
    """A catalogue key of 1 to 200 printable characters for each role; default none: the part is chosen by rule."""

    model_config = ConfigDict(frozen=True, extra="forbid", strict=True, defer_build=True)

    relay: Key | None = None
    core: Key | None = None
    """Core of the antennas' braid breakers."""
    output_core: Key | None = None
    """Core of the output's braid breaker."""
    wire: Key | None = None
    choke: Key | None = None
    supply_choke: Key | None = None
    bifilar_choke: Key | None = None
    blocking_capacitor: Key | None = None
    rail_capacitor: Key | None = None
    surge_tube: Key | None = None
    line_suppressor: Key | None = None
    earth_tube: Key | None = None
    flyback_diode: Key | None = None
    series_diode: Key | None = None
    terminal: Key | None = None
    fuse: Key | None = None
    indicator: Key | None = None
    connector: Key | None = None
    keep: Key | None = None
    """Path of a values.json whose choices are held when regenerating; default none."""

    @property
    def pinned(self) -> dict[str, str]:
        """The catalogue key by role, for the roles that are pinned."""
        return {role: key for role in ROLES if (key := getattr(self, role)) is not None}


ROLES = tuple(name for name in Parts.model_fields if name != "keep")
"""The roles that can be pinned."""
