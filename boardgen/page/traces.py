"""Sweeps of the built board that lie in a folder, as traces over the plots of the quantities they show."""

from __future__ import annotations

from pathlib import Path

from msgspec import Struct

from boardgen.documents.measured import rows
from boardgen.measuring.overlay import Curve, overlay
from boardgen.measuring.sweep import PORTS, Sweep, read_sweep
from boardgen.model.problem import InputError, Place, Problem
from boardgen.rf.prediction import Prediction
from boardgen.tables.text_file import read_text_file

MOST_FILES = 32


class Trace(Struct, frozen=True):
    """One measured curve: the quantity whose plot it lies over, what it is, its figures in dB, and how it compares."""

    quantity: str
    title: str
    megahertz: tuple[float, ...]
    figures: tuple[float, ...]
    words: str


class Traces(Struct, frozen=True):
    """All that could be read, and what is wrong with the rest."""

    found: tuple[Trace, ...] = ()
    problems: tuple[Problem, ...] = ()


def read_traces(folder: Path, prediction: Prediction) -> Traces:
    """The sweeps in a folder, each named after its ports, such as "north to output with north.s2p"."""
    sweeps: list[Sweep] = []
    problems: list[Problem] = []
    files = sorted(file for file in folder.glob("*") if file.suffix.lower() in PORTS)
    for file in files[:MOST_FILES]:
        try:
            sweeps.append(read_sweep(prediction.network, read_text_file(file), file, file.stem))
        except InputError as error:
            problems += error.problems
        except (OSError, UnicodeDecodeError):
            problems.append(Problem("S041 sweep", "error", Place(str(file)), "it cannot be read as text"))
    if not sweeps:
        none = Problem("S041 sweep", "error", Place(str(folder)), "no sweep of this board lies there")
        return Traces(problems=(*problems, none))
    band = prediction.request.spec.band
    try:
        curves = overlay(prediction.network, sweeps, band.lowest, band.highest)
    except InputError as error:
        return Traces(problems=(*problems, *error.problems))
    told = zip(curves, rows(curves), strict=True)
    output = prediction.request.output.label
    found = (_trace(curve, _quantity(curve, output), title, words) for curve, (title, words) in told)
    return Traces(tuple(found), tuple(problems))


def _trace(curve: Curve, quantity: str, title: str, words: str) -> Trace:
    megahertz = tuple(float(f"{hz / 1e6:.6g}") for hz in curve.frequency_hz)
    return Trace(quantity, title, megahertz, tuple(float(f"{x:.4g}") for x in curve.measured_db), words)


def _quantity(curve: Curve, output: str) -> str:
    """What the curve is of: reflection, the way that is selected, or one that is not."""
    if curve.to == curve.source:
        return "return loss"
    selected = {curve.to, curve.source} == {output, curve.sweep.selected}
    return "insertion loss" if selected else "isolation"
