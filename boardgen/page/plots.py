"""The response as plots that answer to a pointer: the worst of all states and ports, and the saved curve behind."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from html import escape
from math import ceil, floor, log10

import numpy as np
from msgspec import Struct

from boardgen.documents.canvas import Canvas, number
from boardgen.documents.plots.panels import MARKS_HZ, PANELS, limit_of
from boardgen.documents.plots.response import worst_and_best
from boardgen.handbook import bands
from boardgen.page.traces import Trace
from boardgen.rf.prediction import Prediction
from boardgen.rf.quantities import QUANTITIES

WIDE, HIGH, LEFT, RIGHT, FOOT, TOP = 320.0, 120.0, 34.0, 8.0, 14.0, 10.0
ROOM = 0.12
"""Room above and below the curves, as a share of what they span."""


class Curve(Struct, frozen=True):
    """The worst figure of a quantity over frequency."""

    megahertz: tuple[float, ...]
    figures: tuple[float, ...]


class Plot(Struct, frozen=True):
    """A quantity: its drawing, and what the script reads out of it."""

    name: str
    unit: str
    judged: bool
    svg: str
    data: str


def curves(prediction: Prediction) -> dict[str, Curve]:
    """The worst of every quantity that the board has."""
    megahertz = tuple(float(f"{hz / 1e6:.6g}") for hz in prediction.response.frequency_hz)
    return {
        name: Curve(megahertz, tuple(float(f"{x:.4g}") for x in worst_and_best(prediction, name).worst))
        for name in PANELS
        if prediction.response.of(name)
    }


def plots(
    prediction: Prediction, now: Mapping[str, Curve], saved: Mapping[str, Curve], traces: Sequence[Trace] = ()
) -> list[Plot]:
    """A plot for each quantity, the saved curve behind where it differs, and what was measured over it."""
    over = {name: [trace for trace in traces if trace.quantity == name] for name in now}
    return [_plot(prediction, name, now[name], saved.get(name), over[name]) for name in now]


def _plot(prediction: Prediction, name: str, now: Curve, saved: Curve | None, traces: Sequence[Trace]) -> Plot:
    behind = saved if saved is not None and saved != now else None
    limit, unit = limit_of(prediction, name), QUANTITIES[name].unit
    figures = [*now.figures, *(behind.figures if behind else ()), *([limit.figure] if limit else ())]
    measured = [(trace.title, Curve(trace.megahertz, trace.figures)) for trace in traces]
    figures += (figure for _, curve in measured for figure in curve.figures)
    logarithmic = unit == "ohm"
    low, high = min(figures), max(figures)
    if logarithmic:
        low, high = log10(max(low, 1e-3)), log10(max(high, 1e-3))
    room = ROOM * (high - low) or 1.0
    low, high = low - room, high + room
    first, last = log10(now.megahertz[0]), log10(now.megahertz[-1])

    def x(megahertz: float) -> float:
        return LEFT + (WIDE - LEFT - RIGHT) * (log10(megahertz) - first) / (last - first)

    def y(figure: float) -> float:
        at = log10(max(figure, 1e-3)) if logarithmic else figure
        return float(TOP + (HIGH - TOP - FOOT) * (high - at) / (high - low))

    canvas = Canvas()
    spec = prediction.request.spec
    _bands(canvas, x, spec.band.region, (now.megahertz[0], now.megahertz[-1]))
    for mark in (hz / 1e6 for hz in MARKS_HZ):
        if now.megahertz[0] <= mark <= now.megahertz[-1]:
            canvas.text(x(mark), HIGH - 2, f"{mark:g}", 9, "middle", class_="mark")
    for figure in _marks(low, high, logarithmic=logarithmic):
        canvas.line((LEFT, y(figure)), (WIDE - RIGHT, y(figure)), class_="grid")
        canvas.text(LEFT - 3, y(figure) + 3, f"{figure:g}", 9, "end", class_="mark")
    if behind:
        canvas.line(*_points(behind, x, y), class_="curve saved")
    canvas.line(*_points(now, x, y), class_="curve now")
    for _, curve in measured:
        canvas.line(*_points(curve, x, y), class_="curve measured")
    if limit:
        canvas.line((x(limit.ends_mhz[0]), y(limit.figure)), (x(limit.ends_mhz[1]), y(limit.figure)), class_="limit")
    canvas.line((LEFT, TOP), (LEFT, HIGH - FOOT), class_="pointer")
    drawn = f"{name} over frequency in MHz" + (f", wanted {limit.words}" if limit else "")
    svg = f'<svg viewBox="0 0 {number(WIDE)} {number(HIGH)}" role="img" aria-label="{escape(drawn)}">{canvas}</svg>'
    data = {
        "x": [round(x(f), 1) for f in now.megahertz],
        "mhz": now.megahertz,
        "now": now.figures,
        "saved": _at(behind, now.megahertz) if behind else [],
        "measured": [[title, _at(curve, now.megahertz)] for title, curve in measured],
        "unit": unit,
    }
    return Plot(name, unit, bool(QUANTITIES[name].target), svg, json.dumps(data))


def _points(curve: Curve, x, y) -> list[tuple[float, float]]:  # type: ignore[no-untyped-def]  # noqa: ANN001
    return [(x(f), y(v)) for f, v in zip(curve.megahertz, curve.figures, strict=True)]


def _at(curve: Curve, megahertz: Sequence[float]) -> list[float | None]:
    """Its figures at these frequencies, straight between its own on their logarithm; none beyond its ends."""
    figures = np.interp(np.log(megahertz), np.log(curve.megahertz), curve.figures, np.nan, np.nan)
    return [None if np.isnan(figure) else float(f"{figure:.4g}") for figure in figures]


def _bands(canvas: Canvas, x, region: int, ends: tuple[float, float]) -> None:  # type: ignore[no-untyped-def]  # noqa: ANN001
    for band in bands.NAMES:
        low, high = (edge / 1e6 for edge in bands.edges(band, region))
        if ends[0] <= low and high <= ends[1]:
            canvas.rect(x(low), TOP, x(high) - x(low), HIGH - TOP - FOOT, class_="band")
            if x(high) - x(low) > 5 or band in ("160 m", "80 m", "40 m", "20 m"):
                canvas.text((x(low) + x(high)) / 2, 7, band.removesuffix(" m"), 8, "middle", class_="mark")


def _marks(low: float, high: float, *, logarithmic: bool) -> Sequence[float]:
    """Three to five round figures between two ends, which are powers of ten where logarithmic."""
    if logarithmic:
        whole = range(ceil(low), floor(high) + 1)
        return (
            [10.0**power for power in whole]
            if len(whole) > 1
            else [
                figure * 10.0**power
                for power in range(floor(low), ceil(high) + 1)
                for figure in (1, 2, 5)
                if low <= log10(figure * 10.0**power) <= high
            ]
        )
    step = 10.0 ** floor(log10((high - low) / 2))
    step *= next(times for times in (1, 2, 5, 10) if (high - low) / (step * times) <= 5)
    return [float(figure) for figure in np.arange(ceil(low / step) * step, high, step).round(6)]
