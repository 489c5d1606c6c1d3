"""One sweep of a network analyser: between which ports and in which state, referred to the board's own impedances."""

from __future__ import annotations

import re
from collections.abc import Sequence
from pathlib import Path
from typing import Final

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from boardgen.formats.read_touchstone import SParameters, read_touchstone
from boardgen.model.problem import InputError, Place, Problem
from boardgen.rf.network import Network
from boardgen.rf_network.device_models import Array

_NAME: Final = re.compile(r"(?P<one>.+?)(?: to (?P<other>.+?))?(?: with (?P<selected>.+))?")
PORTS: Final = {".s1p": 1, ".s2p": 2}
"""How many ports a file of that ending has."""
NOTHING: Final = "nothing"
LIGHT_M_PER_S: Final = 299_792_458.0
"""Exact by definition of the metre."""
VELOCITY: Final = 0.70
"""Of a line that is taken off: PTFE and polythene pigtails have 0.66 to 0.70 (common practice, no source)."""


class Sweep(Struct, frozen=True):
    """A sweep: its file, its ports in the order of the file, and the antenna that is selected, "" for none.

    `s` is (points, ports, ports), `reference_ohm` has what each port is referred to.
    """

    file: str
    ports: tuple[str, ...]
    selected: str
    frequency_hz: Array
    s: Array
    reference_ohm: tuple[float, ...]

    @property
    def title(self) -> str:
        """The same in words."""
        return f"{' to '.join(self.ports)} with {self.selected or NOTHING}"

    def at(self, points: Array) -> Array:
        """The S parameters at other frequencies within its range, by straight lines between its own."""
        flat = self.s.reshape(len(self.s), -1)
        between = [np.interp(points, self.frequency_hz, part) for part in (*flat.real.T, *flat.imag.T)]
        half = len(between) // 2
        joined = np.array(between[:half]).T + 1j * np.array(between[half:]).T
        return joined.reshape(points.size, *self.s.shape[1:])


def connected(words: str, network: Network, file: str) -> tuple[tuple[str, ...], str]:
    """The ports and the selected antenna that words such as "north to output with north" name.

    Without "with" the antenna among the ports is the one that is selected.

    Raises
    ------
    InputError
        Where a port or an antenna is not on the board.

    """
    said = _NAME.fullmatch(words.strip())
    there = {port.strip.casefold(): port.strip for port in network.ports}
    names = [said["one"], said["other"]] if said else [words, None]
    ports = tuple(there.get(name.strip().casefold(), "") for name in names if name)
    antennas = [port for port in ports if port in network.antennas]
    given = (said["selected"] or "").strip() if said else ""
    selected = there.get(given.casefold(), given) if given else (antennas or [""])[0]
    if given.casefold() == NOTHING:
        selected = ""
    if not ports or "" in ports or len(set(ports)) != len(ports) or (selected and selected not in network.antennas):
        found = f'"{words}" names no sweep of this board'
        wanted = f'wanted is "PORT to PORT with ANTENNA" or "PORT with ANTENNA", of {", ".join(there.values())}'
        hint = "Name the file so, or say it with --as, once for each file"
        raise InputError([Problem("S042 sweep name", "error", Place(file), found, wanted, hint)])
    return ports, selected


def read_sweep(network: Network, text: str, file: Path, words: str) -> Sweep:
    """The sweep in the text of a file that `words` name. Raises InputError where it is none of this board."""
    count = PORTS.get(file.suffix.lower())
    if count is None:
        found = "its name ends in neither .s1p nor .s2p"
        raise InputError([Problem("S041 sweep", "error", Place(str(file)), found, "wanted are one or two ports")])
    ports, selected = connected(words, network, str(file))
    return sweep(read_touchstone(text, str(file), count), str(file), ports, selected)


def sweep(read: SParameters, file: str, ports: Sequence[str], selected: str) -> Sweep:
    """What was read, at its ports. Raises InputError where the file has another number of ports."""
    count = read.s.shape[1]
    if count != len(ports):
        found = f"the file has {count} {'port' if count == 1 else 'ports'}, and {' to '.join(ports)} is named"
        raise InputError([Problem("S042 sweep name", "error", Place(file), found)])
    return Sweep(file, tuple(ports), selected, read.frequency_hz, read.s, read.reference_ohm)


def shortened(of: Sweep, metres: float, velocity: float = VELOCITY) -> Sweep:
    """With so much line of the reference impedance taken off at each port: the reference plane is moved to the board.

    Source: an ideal line turns a wave by 2 pi f length / (velocity c), and a reflection twice (any text on S
    parameters).
    """
    turn = np.exp(2j * np.pi * of.frequency_hz * metres / (velocity * LIGHT_M_PER_S))
    return replace(of, s=of.s * (turn**2)[:, None, None])


def referred(of: Sweep, ohm: Sequence[float]) -> Sweep:
    """The same sweep referred to these impedances, one a port.

    Source: K. Kurokawa, "Power Waves and the Scattering Matrix", IEEE Trans. MTT-13 (1965), for real references.
    """
    old, new = (np.array(each) for each in (of.reference_ohm, ohm))
    if np.array_equal(old, new):
        return of
    rho = np.diag((new - old) / (new + old))
    scale = 2 * np.sqrt(new * old) / (new + old)
    s = (of.s - rho) @ np.linalg.inv(np.eye(old.size) - rho @ of.s) * scale / scale[:, None]
    return replace(of, s=s, reference_ohm=tuple(map(float, new)))
