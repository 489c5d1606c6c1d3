"""Simulated measurements of many boards, each with one fault or none: `python tests/bench/measured_bench.py [BOARDS]`.

A four-way is drawn with its parts from their ranges, one fault is planted in the deck of nets and parts, and a circuit
simulator solves it as an instrument of 50 ohm would see it, through 15 to 45 mm of a line that nobody told of, off by
0.05 dB and a degree. Of so many boards (300) with a fault that the eight sweeps show, and of as many sound ones, it
prints how often the right fault came first and among the first three, how many sound ones were accused, and the same
for three sweeps. Exit 1 where a goal is missed. Wants ngspice; a board takes some ten seconds.

A fault shows where the board as stated, with the fault and without noise, has a quarter of a curve outside its band.
What keeps a relay from pulling in is planted as an open coil: other causes look the same to radio. Faults are one where
the waves of the sweeps that were made differ by less than the instrument is off by: then no ranking of these sweeps can
tell them apart.
"""

from __future__ import annotations

import sys
import tempfile
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Final

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[2]))

from boardgen.commissioning.bench import Bench
from boardgen.design import make_design
from boardgen.kinds.direct_current import JOINT_OHM
from boardgen.measuring.overlay import FLOOR, RELATIVE, overlay
from boardgen.measuring.plan import plan
from boardgen.measuring.suspects import every_fault, planted, suspects
from boardgen.measuring.sweep import Sweep
from boardgen.request import Request
from boardgen.rf.network import network
from boardgen.spec.load import read_text
from tests.rf.parts_deck import Made, simulated, written
from tests.rf.rf_boards import catalogue, text

SPECIFICATION: Final = text(["", "", "", ""])
POINTS: Final = 8
NOISE_DB, NOISE_DEG, INSTRUMENT_OHM = 0.05, 1.0, 50.0
LINE_M, VELOCITY = (0.015, 0.045), (0.66, 0.70)
FEW: Final = 3
SHOWN: Final = 0.25
"""Share of the points of a curve: of sound boards single points lie outside."""
GOALS: Final = {"all": (0.90, 0.98), "few": (0.70, 0.90)}
"""Shares of the boards with a fault: the right one first, and among the first three."""
ACCUSED: Final = 0.03
"""Most of the sound boards."""
EXCHANGED: Final = {
    "reversed": {"primary start": "primary end", "primary end": "primary start"},
    "exchanged": {"primary end": "secondary end", "secondary end": "primary end"},
}


@dataclass
class Drawn(Made):
    """A board with its parts somewhere in their ranges, and one fault; without `lot` as stated.

    What is assumed or computed lies alike for all equal parts, what a maker guarantees is each part's own.
    """

    staked = False
    lot: np.random.Generator | None = None
    refs: tuple[str, ...] = ()
    name: str = ""
    solder: tuple[tuple[str, str], ...] = ()
    known: dict[tuple[str, ...], float] = field(default_factory=dict)

    def has(self, component, words):
        """Whether that is wrong with it."""
        return component.ref in self.refs and words in self.name

    def value(self, component, name, known):
        """Somewhere in its range."""
        if self.lot is None:
            return known.value
        shared = known.standing in ("assumed", "computed")
        share = self._share(component.part.key, name, "" if shared else component.ref)
        return known.least + share * (known.most - known.least)

    def permeability(self, component, stated):
        """Of a lot of cores, by the range of its material."""
        scale = component.part.figures.get("permeability scale")
        return stated * (self.value(component, "permeability scale", scale) if scale else self._of_lot(component))

    def _of_lot(self, component):
        return 1.0 if self.lot is None else 0.75 + 0.5 * self._share(component.part.attributes["material"], "lot", "")

    def _share(self, *key):
        if key not in self.known:
            self.known[key] = float(self.lot.random())
        return self.known[key]

    def turns(self, component, turns, port_turns):
        """One may be missing."""
        return turns, port_turns - self.has(component, "one turn too few")

    def nets(self, component, nets):
        """A winding may have its ends exchanged, or one that hangs in the air."""
        ways = next((table for words, table in EXCHANGED.items() if self.has(component, words)), {})
        found = {role: nets[ways.get(role, role)] for role in nets}
        for words, role in (("port winding open", "primary start"), ("board winding open", "secondary start")):
            if self.has(component, words):
                found[role] = f"{component.ref} enamel"
        return found

    def is_there(self, component):
        """A part may be missing."""
        gone = component.part.kind != "relay" and self.has(component, "open, or a dry joint")
        return component.fitted and not gone and not self.has(component, "missing")

    def pulled_in(self, component, pole, operated):
        """A contact may stick, or never make."""
        if self.has(component, f"{pole} stuck"):
            return True
        if self.has(component, "coil open"):
            return False
        return None if operated and self.has(component, f"{pole} does not make") else operated

    def shorts(self):
        """Bridges of solder, and parts that are shorted."""
        return self.solder


def drawn(fault, nets: set[str], lot) -> Drawn:
    """A board with a fault of the table."""
    if fault is None:
        return Drawn(lot)
    solder = [change.ends for change in fault.change if getattr(change, "ohm", None) == JOINT_OHM]
    # a contact that sticks is told by its pole, not by what joins its pins
    plain = () if fault.apart else tuple(ends for ends in solder if set(ends) <= nets)
    return Drawn(lot, fault.refs, fault.name, plain)


def can_be_planted(fault, kinds, nets) -> bool:
    """Whether the deck has a place for it: a change of joints at the ports and of the coil's current has none."""
    if fault.parted and kinds[fault.refs[0]] == "relay":
        return False
    if kinds[fault.refs[0]] in ("terminal", "stud", "suppressor", "diode", "connector"):
        return False
    return bool(fault.apart or fault.mistake or fault.parted or fault.change)


class Instrument:
    """Sweeps of a board as the simulator has it."""

    def __init__(self, board, net, folder: Path) -> None:
        self.board, self.net, self.folder = board, net, folder
        band = board.spec.band
        self.hertz = np.geomspace(band.lowest, band.highest, POINTS)
        # what lies beyond an end is none of a sweep
        self.hertz[0], self.hertz[-1] = band.lowest, band.highest

    def sweeps(self, made: Made, random=None) -> list[Sweep]:
        """Those of the plan; with noise and a line where there is something random."""
        ports = [port.strip for port in self.net.ports]
        states = {
            selected: self._state(made, selected) for selected in dict.fromkeys(s.selected for s in plan(self.net))
        }
        found = []
        for sweep in plan(self.net):
            ends = (sweep.antenna, "output")
            at = [ports.index(end) for end in ends]
            s = referred_to(states[sweep.selected][:, at][:, :, at], [self.net.port_ohm[end] for end in ends])
            if random is not None:
                s = self._off(s, random)
            found.append(Sweep("a.s2p", ends, sweep.selected, self.hertz, s, (INSTRUMENT_OHM,) * 2))
        return found

    def _state(self, made: Made, selected: str):
        """S of all ports with their own loads, and the braids on their common-mode ones."""
        operated = self.net.operated(selected)
        own = [((p.centre, p.braid), self.net.port_ohm[p.strip]) for p in self.net.ports]
        braids = [((p.braid, "0V"), self.net.common_mode_ohm) for p in self.net.ports]
        count = len(own)
        return np.array([
            simulated(written(self.board, operated, hertz, made), [*own, *braids], self.folder)[:count, :count]
            for hertz in self.hertz.tolist()
        ])  # fmt: skip

    def _off(self, s, random):
        """Through a line at both ports, with the noise of the instrument."""
        metres, velocity = (random.uniform(*ends) for ends in (LINE_M, VELOCITY))
        turned = np.exp(-2j * np.pi * self.hertz * metres / (velocity * 299_792_458.0))
        size = 10 ** (random.normal(0, NOISE_DB, s.shape) / 20)
        return s * (turned**2)[:, None, None] * size * np.exp(1j * np.radians(random.normal(0, NOISE_DEG, s.shape)))


def referred_to(s, ohm: Sequence[float]):
    """By way of impedances, which have no reference."""
    own = np.diag(np.sqrt(ohm))
    one = np.eye(len(ohm))
    impedance = own @ (one + s) @ np.linalg.inv(one - s) @ own
    return (impedance - INSTRUMENT_OHM * one) @ np.linalg.inv(impedance + INSTRUMENT_OHM * one)


def outside(curve) -> float:
    """The share of its points that lie outside the band by more than the instrument may be off."""
    size = np.abs(curve.wave)
    low, high = (10 ** (-db / 20) for db in (curve.high_db, curve.low_db))
    return float(np.mean((size > high + curve.instrument) | (size < low - curve.instrument)))


@dataclass
class Score:
    """How often the right fault came first, and among the first three."""

    boards: int = 0
    first: int = 0
    of_three: int = 0
    unseen: int = 0

    def __str__(self) -> str:
        shares = [f"{100 * n / max(self.boards, 1):.1f} %" for n in (self.first, self.of_three)]
        return f"{self.boards} boards: first {shares[0]}, among three {shares[1]}, called sound {self.unseen}"


class Trial:
    """One board design with all that is asked of it."""

    def __init__(self, folder: Path) -> None:
        self.board = make_design(Request(read_text(SPECIFICATION), catalogue()))
        self.net = network(self.board.request, self.board.choices, self.board.netlist)
        self.bench = Bench(self.board.request, self.board.choices, self.board.netlist)
        self.instrument = Instrument(self.board, self.net, folder)
        self.nets = {net.name for net in self.board.netlist.nets}
        kinds = {c.ref: c.part.kind for c in self.board.netlist.components}
        self.faults = [f for f in every_fault(self.bench) if can_be_planted(f, kinds, self.nets)]

    def curves(self, sweeps):
        """Laid over the prediction."""
        band = self.board.spec.band
        return overlay(self.net, sweeps, band.lowest, band.highest)

    def shown_by(self, fault) -> frozenset[str]:
        """The sweeps of the board as stated, with the fault, of which a curve lies outside."""
        exact = self.instrument.sweeps(drawn(fault, self.nets, None))
        return frozenset(curve.sweep.title for curve in self.curves(exact) if outside(curve) >= SHOWN)

    def ranked(self, sweeps):
        """What is found."""
        curves = self.curves(sweeps)
        return curves, suspects(self.bench, self.net, curves)

    def alike(self, one, other, curves) -> bool:
        """Whether no sweep that was made tells two faults apart."""
        if one == other:
            return True
        for c in curves:
            waves = planted(self.bench, self.net, [one, other], c.sweep.selected, c.to, c.source, c.frequency_hz[::5])
            if (np.abs(waves[0] - waves[1]) > FLOOR + RELATIVE * np.abs(waves[0])).any():
                return False
        return True

    def place(self, fault, found, curves) -> int:
        """At which place the fault is told, from 0; 99 for none."""
        for at, suspect in enumerate(found.suspects):
            if fault in suspect.faults or any(self.alike(fault, other, curves) for other in suspect.faults[:3]):
                return at
        return 99


def main() -> int:
    """Prints the scores and each board whose fault was not the first."""
    boards = int(sys.argv[1]) if len(sys.argv) > 1 else 300
    failed = False
    with tempfile.TemporaryDirectory() as scratch:
        trial = Trial(Path(scratch))
        scores = {"all": Score(), "few": Score()}
        accused = {"all": 0, "few": 0}
        order = np.random.default_rng(7).permutation(len(trial.faults))
        shown: dict[int, frozenset[str]] = {}
        tried = 0
        while scores["all"].boards < boards and tried < 20 * boards:
            number = int(order[tried % len(order)])
            tried += 1
            fault = trial.faults[number]
            if number not in shown:
                shown[number] = trial.shown_by(fault)
            if not shown[number]:
                continue
            random = np.random.default_rng(1000 + tried)
            sweeps = trial.instrument.sweeps(drawn(fault, trial.nets, random), random)
            for kind, made in (("all", sweeps), ("few", few(sweeps, random))):
                # three sweeps elsewhere may not pass the fault
                if not shown[number] & {sweep.title for sweep in made}:
                    continue
                curves, found = trial.ranked(made)
                score, at = scores[kind], trial.place(fault, found, curves)
                score.boards += 1
                score.unseen += found.is_sound
                score.first += at == 0
                score.of_three += at < 3
                if at:
                    told = found.suspects[0].title if found.suspects else "sound"
                    say(f"  {kind}: {', '.join(fault.refs)}: {fault.name} at {at}; first is {told[:90]}")
        for number in range(boards):
            random = np.random.default_rng(50_000 + number)
            sweeps = trial.instrument.sweeps(drawn(None, trial.nets, random), random)
            for kind, made in (("all", sweeps), ("few", few(sweeps, random))):
                _, found = trial.ranked(made)
                accused[kind] += not found.is_sound
                if not found.is_sound:
                    say(f"  {kind}: a sound board lies {found.distance:.2f} away")
        say(f"{sum(map(bool, shown.values()))} of {len(shown)} faults tried show in eight sweeps")
    for kind, score in scores.items():
        say(f"{kind} sweeps, {score}; of {boards} sound ones {accused[kind]} accused")
        first, of_three = (n / max(score.boards, 1) for n in (score.first, score.of_three))
        failed |= first < GOALS[kind][0] or of_three < GOALS[kind][1] or accused[kind] > ACCUSED * boards
    return int(failed)


def few(sweeps: list[Sweep], random) -> list[Sweep]:
    """Three of them."""
    return [sweeps[n] for n in sorted(random.choice(len(sweeps), FEW, replace=False))]


def say(words: str) -> None:
    """A line, at once."""
    sys.stdout.write(f"{words}\n")
    sys.stdout.flush()


if __name__ == "__main__":
    raise SystemExit(main())
