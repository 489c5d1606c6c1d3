"""Filters against transmitters outside of the band: their figures anew, and which one is told."""

from __future__ import annotations

import math
import subprocess
from pathlib import Path

import pytest
from msgspec.structs import replace

from boardgen.handbook import preferred
from boardgen.request import Request
from boardgen.rf.outside_filter import OutsideFilter, outside_filters
from boardgen.rf.strong_signals import StrongSignal
from boardgen.spec.keys import Transmitter
from boardgen.spec.load import read_text
from tests.catalogue.shipped import CATALOGUE
from tests.rf.rf_boards import FED, text
from tests.rf.rf_peers import program

OHM, QUALITY = 75.0, 100.0


def met(label: str, frequency: str, over_db: float | None = None) -> StrongSignal:
    """A transmitter that overdrives the amplifier by so much."""
    one = Transmitter.model_validate(
        {"label": label, "frequency": frequency, "power": "1 kW", "distance": "10 km"}, strict=False
    )
    signal = StrongSignal(one, 0.1, 1e-3, 1.0, None, None, None, None, None, 10.0)
    return signal if over_db is None else replace(signal, amplifier_dbm=over_db, amplifier_most_dbm=0.0)


def filters(*signals: StrongSignal, output: str = "") -> tuple[OutsideFilter, ...]:
    """Beside a board for 1.8 to 10.15 MHz."""
    return outside_filters(Request(read_text(text([""], output=output)), CATALOGUE), signals)


def by_impedances_db(one: OutsideFilter, frequency_hz: float) -> float:
    """Loss by the impedance seen into the rest of the ladder, part by part, and the share of the source's voltage."""
    omega = 2 * math.pi * frequency_hz
    capacitors = [1 / (1j * omega * farad) for farad in one.farads]
    coils = [1j * omega * henry * (1 - 1j / QUALITY) for henry in one.henries]
    ladder = [z for pair in zip(capacitors, [*coils, 0j], strict=True) for z in pair][:-1]
    seen, share = complex(OHM), 1 + 0j
    for number, z in reversed(list(enumerate(ladder))):
        if (number % 2 == 0) == (one.side == "high-pass"):
            share *= seen / (seen + z)
            seen += z
        else:
            seen = seen * z / (seen + z)
    return -20 * math.log10(abs(2 * share * seen / (seen + OHM)))


BOTH = (met("medium wave", "1 MHz"), met("short wave", "17.5 MHz"))


@pytest.mark.parametrize(("number", "shift"), [(0, 0.95), (1, 1 / 0.95)])
def test_loss_and_hold_with_all_parts_five_percent_off(number: int, shift: float) -> None:
    one = filters(*BOTH)[number]
    held = one.held[0]
    assert held.least_db == pytest.approx(by_impedances_db(one, held.frequency_hz / shift), abs=1e-9)
    assert one.lost_db == pytest.approx(by_impedances_db(one, one.lost_hz * shift), abs=1e-9)
    assert one.edge_hz == pytest.approx(one.lost_hz * shift)
    assert 0.2 < one.lost_db < 0.8


def test_parts_are_those_of_the_prototype_to_the_nearest_preferred_number() -> None:
    high, low = filters(*BOTH)
    # order 7 with 0.01 dB of ripple: 0.7969, 1.3924, 1.7481, 1.6331 (published tables, recalled)
    assert high.order == low.order == 7
    omega = 2 * math.pi * 1.71e6
    assert high.farads[:2] == tuple(preferred.nearest(1 / (g * omega * OHM), "E24") for g in (0.7969, 1.7481))
    assert high.henries[:2] == pytest.approx([OHM / (g * omega) for g in (1.3924, 1.6331)], rel=2e-4)
    omega = 2 * math.pi * 10.15e6 / 0.95
    assert low.farads[:2] == tuple(preferred.nearest(g / (omega * OHM), "E24") for g in (0.7969, 1.7481))
    assert low.henries[:2] == pytest.approx([g * OHM / omega for g in (1.3924, 1.6331)], rel=2e-4)


def test_the_smallest_that_holds_whom_any_holds_is_told() -> None:
    far, near = met("far", "600 kHz"), met("near", "1.3 MHz")
    assert [filters(one)[0].order for one in (far, near)] == [5, 9]
    assert filters(far, near)[0].order == 9
    top = met("top", "1.66 MHz")
    (one,) = filters(far, top)
    assert [held.is_enough for held in one.held] == [True, False]
    assert one.order == 5
    (hopeless,) = filters(top)
    assert (hopeless.order, hopeless.is_worth_it) == (9, False)
    assert hopeless.held[0].least_db < 1


def test_an_overdriven_amplifier_wants_more() -> None:
    (one,) = filters(met("far", "600 kHz", over_db=45.0))
    assert (one.order, one.held[0].wanted_db) == (7, 45.0)
    assert one.held[0].least_db >= 45
    assert filters(met("far", "600 kHz", over_db=5.0))[0].held[0].wanted_db == 20


def test_none_within_the_band_and_the_feed_is_blocked_by_a_high_pass_alone() -> None:
    assert filters(met("own", "3.6 MHz")) == ()
    assert [one.blocks_feed for one in filters(*BOTH, output=FED)] == [True, False]
    assert not any(one.blocks_feed for one in filters(*BOTH))


@pytest.mark.peer
@pytest.mark.parametrize("number", [0, 1])
def test_against_a_circuit_simulator(number: int, tmp_path: Path) -> None:
    one = filters(*BOTH)[number]
    held = one.held[0]
    away = one.edge_hz / one.lost_hz
    for frequency_hz, told_db in ((held.frequency_hz / away, held.least_db), (one.lost_hz * away, one.lost_db)):
        lines = ["* ladder", "V1 source 0 ac 2", f"R1 source n0 {OHM}", f"R2 n{one.order} 0 {OHM}"]
        for n, farad in enumerate(one.farads):
            ends = f"n{2 * n} n{2 * n + 1}" if one.side == "high-pass" else f"n{2 * n} 0"
            lines.append(f"C{n} {ends} {farad!r}")
            if one.side == "low-pass":
                lines.append(f"R1{n} n{2 * n} n{2 * n + 1} 1e-6")
        for n, henry in enumerate(one.henries):
            ends = f"n{2 * n + 1} 0" if one.side == "high-pass" else f"n{2 * n + 1} n{2 * n + 2}"
            first, last = ends.split()
            lines += [
                f"L{n} {first} c{n} {henry!r}",
                f"R2{n} c{n} {last} {2 * math.pi * frequency_hz * henry / QUALITY!r}",
            ]
            if one.side == "high-pass":
                lines.append(f"R3{n} n{2 * n + 1} n{2 * n + 2} 1e-6")
        far = f"v(n{one.order})"
        lines += [".control", f"ac lin 1 {frequency_hz!r} {frequency_hz!r}", f"print real({far}) imag({far})", ".endc"]
        deck = tmp_path / "ladder.cir"
        deck.write_text("\n".join([*lines, ".end", ""]), encoding="ascii")
        run = subprocess.run(
            [program("ngspice"), "-b", deck.name], cwd=tmp_path, capture_output=True, text=True, check=False
        )
        parts = [float(line.split("=")[1]) for line in run.stdout.splitlines() if line.startswith(("real(", "imag("))]
        assert len(parts) == 2, run.stdout + run.stderr
        assert -20 * math.log10(abs(complex(*parts))) == pytest.approx(told_db, abs=0.01)
