"""What of the set-up, not of the board, would explain sweeps that lie outside: a line left in, a wrong reference."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from msgspec import Struct
from msgspec.structs import replace

from boardgen.measuring.overlay import Curve, Yardstick
from boardgen.measuring.suspects import SOUND
from boardgen.measuring.sweep import Sweep, referred, shortened
from boardgen.rf.network import Network

LINES_M: Final = tuple(0.05 * n for n in range(1, 41))
"""Lengths of line at each port that are tried, up to 2 m."""
REFERENCES_OHM: Final = (50.0, 75.0)
"""Of the instruments that people have."""


class Excuse(Struct, frozen=True):
    """What would explain it, and the option of the command that takes it off."""

    words: str
    option: str
    distance: float


def excuses(network: Network, curves: Sequence[Curve]) -> tuple[Excuse, ...]:
    """Each kind of what would make the board as sound as others, the nearest of its kind."""
    tried = {"line": _lines(network, curves), "reference": _references(network, curves)}
    found = [min(each, key=lambda excuse: excuse.distance) for each in map(list, tried.values()) if each]
    return tuple(excuse for excuse in found if excuse.distance <= SOUND)


def _lines(network: Network, curves: Sequence[Curve]) -> Iterator[Excuse]:
    for metres in LINES_M:
        away = _distance(network, curves, [shortened(curve.sweep, metres) for curve in curves])
        yield Excuse(f"{metres * 100:.0f} cm of line left in at each port", f'--line "{metres * 100:.0f} cm"', away)


def _references(network: Network, curves: Sequence[Curve]) -> Iterator[Excuse]:
    for ohm in REFERENCES_OHM:
        if any(set(curve.sweep.reference_ohm) != {ohm} for curve in curves):
            others = [replace(c.sweep, reference_ohm=(ohm,) * len(c.sweep.ports)) for c in curves]
            words = f"an instrument of {ohm:.0f} ohm, other than its files say,"
            yield Excuse(words, f'--reference "{ohm:.0f} ohm"', _distance(network, curves, others))


def _distance(network: Network, curves: Sequence[Curve], sweeps: Sequence[Sweep]) -> float:
    """How far the curves lie from a sound board where the sweeps are these."""
    waves = []
    for curve, sweep in zip(curves, sweeps, strict=True):
        own = referred(sweep, [network.port_ohm[port] for port in sweep.ports]).at(curve.frequency_hz)
        waves.append(own[:, sweep.ports.index(curve.to), sweep.ports.index(curve.source)])
    seen = [replace(curve, wave=wave) for curve, wave in zip(curves, waves, strict=True)]
    stated = [curve.stated for curve in curves]
    return float(Yardstick(seen, [curve.built for curve in curves], stated).distances(stated))
