"""The prediction as rows and sentences, and the files of one state."""

from __future__ import annotations

from msgspec import Struct
from msgspec.structs import replace

from boardgen.catalogue.permeability import MOST_PER_K
from boardgen.documents.values import text
from boardgen.documents.verdicts import bound, figure_and_bound, not_judged, number, rests_on, shortest
from boardgen.formats.touchstone import touchstone
from boardgen.handbook.dipole import apart_for_m
from boardgen.rf.bounds import Point
from boardgen.rf.prediction import FIRST, Prediction
from boardgen.rf.quantities import QUANTITIES
from boardgen.rf.response import CREDIBLE_DB
from boardgen.rf.target_report import limiting
from boardgen.rf.tolerance import Tolerance
from boardgen.spec import quantity

NOTES = (
    "0V, the stake and every line held by its source count as one reference; each coax is ended in its impedance, "
    "centre to braid, and each braid in the band's impedance to 0V.",
    "Strays that no sheet gives are assumed. In brackets stand the ends between which built boards lie, all that is "
    "assumed or has a tolerance drawn.",
    "Residual current: common-mode current left by the breaker in a loop of 100 ohm, in dB below that without it.",
)
LEFT_OUT_HEADING = ("left out", "insertion loss", "return loss", "common mode")
LEFT_OUT = (
    ("resistance of tracks in feeds and in what a meter reads: up to 0.2 ohm", "none", "none", "none"),
    ("loss of the board, tan d 0.02", "up to 0.01 dB more", "under 0.1 dB", "none"),
    ("inductance of a blocking capacitor's leads beyond the assumed 6 nH", "under 0.01 dB", "up to 0.5 dB", "none"),
    ("open drum chokes coupled by 3 %, beside what the bound of isolation has", "none", "none", "6 %"),
    ("inductance inside the winding's wire", "none", "2 to 4 % of the leakage, met by the capacitors", "none"),
    ("inductance of the windings' leads, 13 nH a transformer", "under 0.01 dB", "up to 0.3 dB", "none"),
)
"""What the models leave out and what it comes to, on four-way boards of 1.8 to 10 MHz and of 472 kHz to 7 MHz, each
estimated by a network of its own beside the program's. docs/sourcing.md has the same rows, which a test holds.
"""
BEFORE_LAYOUT = "targets, before layout: copper is assumed, build judges them with its own"
AS_LAID_OUT = "targets, with the copper of the board as laid out, which decides one of them"
COPPER_LAID = (
    "Copper: its capacitances (good to 25 %), and inductance (0.8 to 1.25 times) and resistance (0.75 to 1.5 times) of "
    "the tracks from port to output, which rises with frequency, are those of this board's layout; the capacitance "
    "between wound parts of neighbouring strips is estimated from their bodies (0.3 to 2 times). Open chokes "
    "widen the bound of isolation by what the field of a dipole couples at most. Left out: coupling of other bodies, "
    "common-mode inductance of the copper."
)
COPPER_ASSUMED = (
    "Copper: this prediction has no layout. All that it adds is assumed, and neighbours do not couple; "
    "build lays the board out and predicts again with its copper."
)


def judged_with(prediction: Prediction) -> str:
    """Heads the targets: with which copper they are judged."""
    return BEFORE_LAYOUT if prediction.parasitics is None else AS_LAID_OUT


def notes(prediction: Prediction) -> tuple[str, ...]:
    """What the figures rest on."""
    return (*NOTES, copper_basis(prediction), *choke_notes(prediction))


LESS_COUPLED_DB = 10.0
"""By how much less the spacing that is told couples two chokes."""


def choke_notes(prediction: Prediction) -> tuple[str, ...]:
    """How much the chokes of two ports are coupled at most that stand nearest, and the spacing that lowers it."""
    network, lowest_hz = prediction.network, prediction.request.spec.band.lowest
    if not network.chokes:
        return ()
    pair = max(network.chokes, key=lambda one: one.coupling)
    leaves_db = pair.leaves_db(lowest_hz, prediction.request.spec.band.impedance)
    apart_m = apart_for_m(pair.volume_m3, pair.coupling / 10 ** (LESS_COUPLED_DB / 20))
    one, other = pair.refs
    return (
        f"Chokes: {one} and {other} stand {pair.apart_m * 1e3:.1f} mm apart and are coupled by {pair.coupling:.2g} at "
        f"most (field of a dipole), which by itself leaves {leaves_db:.0f} dB of isolation at "
        f"{quantity.format(lowest_hz, 'Hz')} and is in the bound of isolation; {apart_m * 1e3:.0f} mm would leave "
        f"{leaves_db + LESS_COUPLED_DB:.0f} dB, and one of them on its side more.",
    )


def copper_basis(prediction: Prediction) -> str:
    """Whether the copper is that of a layout or assumed."""
    return COPPER_ASSUMED if prediction.parasitics is None else COPPER_LAID


def copper_in_short(prediction: Prediction) -> str:
    """The same in a few words."""
    return (
        "assumed in the prediction: nothing is laid out" if prediction.parasitics is None else "predicted as laid out"
    )


def not_credible(prediction: Prediction, limit_db: float) -> str:
    """Why a figure better than the limit is not to be believed."""
    why = "nothing is laid out" if prediction.parasitics is None else "bodies of parts couple in ways not modelled"
    return f"beyond {limit_db:.0f} dB not credible: {why}"


def state_files(prediction: Prediction, selected: str | None = FIRST) -> dict[str, bytes]:
    """Touchstone and SPICE netlist of one state, by name."""
    points, matrix, names = prediction.s_matrix(selected)
    ohm = prediction.request.spec.band.impedance
    comments = (
        f"{prediction.request.spec.title}, predicted from its netlist; "
        f"selected: {prediction.antenna(selected) or 'none'}; "
        f"copper {'assumed, not laid out' if prediction.parasitics is None else 'as laid out'}",
        f"differential: centre against braid; common: braid against 0V; all referred to {ohm:g} ohm",
    )
    return {
        "response.cir": prediction.spice_netlist(selected).encode(),
        f"response.s{len(names)}p": touchstone(points.tolist(), matrix, names, ohm, comments),
    }


class EdgeRow(Struct, frozen=True):
    """A quantity at its worst: figure and bound in words at each of some frequencies, None where there is nothing.

    `where` is the state and the port of the last, `note` what is to be known of it.
    """

    quantity: str
    cells: tuple[tuple[str, str] | None, ...]
    where: str
    note: str


def edge_points_hz(prediction: Prediction) -> tuple[float, ...]:
    """The band's edges and each target's limit between them."""
    band = prediction.request.spec.band
    limits = {t.to_hz for _, t in prediction.request.spec.targets if t.to_hz and band.lowest < t.to_hz < band.highest}
    return (band.lowest, *sorted(limits), band.highest)


def edge_rows(prediction: Prediction) -> list[tuple[str, ...]]:
    """The same in words, under their headings."""
    heading = ("quantity", *(quantity.format(f, "Hz") for f in edge_points_hz(prediction)), "worst where", "note")
    return [heading, *((row.quantity, *map(_cell, row.cells), row.where, row.note) for row in edges(prediction))]


def _cell(found: tuple[str, str] | None) -> str:
    if found is None:
        return ""
    figure, bound = found
    return f"{figure} ({bound})" if bound else figure


def edges(prediction: Prediction) -> list[EdgeRow]:
    """Each quantity at its worst, at the band's edges and at each target's limit."""
    points = edge_points_hz(prediction)
    rest = prediction.request.spec.switching.rest
    rows = []
    figures = {
        (name, f): Point(name, found[1], found[2], prediction.response.nearest_hz(f), found[0])
        for name in QUANTITIES
        for f in points
        if (found := prediction.worst(name, f))
    }
    bounds = dict(zip(figures, prediction.bounds.of(tuple(figures.values())), strict=True))
    for name, asked in QUANTITIES.items():
        cells = tuple(
            figure_and_bound(name, bounds[name, f], asked.unit) if (name, f) in bounds else None for f in points
        )
        last = figures.get((name, points[-1]))
        where = f"{last.selected} {'at rest' if last.selected == rest else 'selected'}, {last.port}" if last else ""
        rows.append(EdgeRow(name, cells, where, _note(prediction, name, last.nominal if last else 0.0)))
    return rows


LEAST_SHOWN = 0.005
"""A smaller bound would be written as none."""


def loss_bound(prediction: Prediction, frequency_hz: float) -> str:
    """How far a predicted loss may be off, to stand behind it."""
    share = prediction.response.loss_bound(prediction.response.at(frequency_hz))
    if share < LEAST_SHOWN:
        return ""
    return f" +-{share:.0%}" if share < 1 else f" or {1 + share:.0f} times that"


def _note(prediction: Prediction, name: str, value: float) -> str:
    if value > CREDIBLE_DB.get(name, float("inf")):
        return not_credible(prediction, CREDIBLE_DB[name])
    return ""


TARGET_HEADINGS = ("target", "predicted", "bound", "wanted", "verdict")


def target_rows(prediction: Prediction) -> list[tuple[str, ...]]:
    """Each target with its worst figure, the bound of it, what is wanted and the state: a row of 80 columns at most."""
    rows: list[tuple[str, ...]] = []
    for verdict in prediction.verdicts:
        judged, name = verdict.judged, verdict.judged.target.replace("_", " ")
        wanted = number(judged.wanted, judged.unit)
        if judged.achieved is None:
            rows.append((name, "", "", wanted, verdict.state))
            continue
        achieved = shortest(judged.quantity, judged.achieved, judged.unit)
        rows.append((name, achieved, bound(verdict), wanted, verdict.state))
    return rows


def target_notes(prediction: Prediction) -> list[tuple[str, str]]:
    """Of each target where its worst figure is found, what it rests on, and what limits it."""
    limits = {one.judged.target: one for one in prediction.limits}
    lines = []
    for verdict in prediction.verdicts:
        judged, limit = verdict.judged, limits.get(verdict.judged.target)
        if judged.at_hz is None:
            said = [not_judged(judged)]
        else:
            at = quantity.format(judged.at_hz, "Hz", 4)
            where = f'worst at {at} with "{judged.selected}" {judged.way}, at "{judged.port}"'
            said = [where, rests_on(prediction, verdict)]
        if limit and limit.influences:
            said.append(f"limited most by {limiting(limit, prediction.netlist)}")
        lines.append((judged.target.replace("_", " "), "; ".join(filter(None, said))))
    return lines


def temperature_rows(prediction: Prediction) -> list[tuple[str, ...]]:
    """A heading, then the worst figure of each judged quantity in cold and heat; nothing on a board without a core."""
    found = prediction.over_temperature
    if found is None:
        return []
    rows = [("worst figure", *(f"{celsius:g} degC" for celsius in found.celsius), "wanted")]
    for judged in prediction.judged:
        if judged.quantity in found.figures:
            both = (shortest(judged.quantity, figure, judged.unit) for figure in found.figures[judged.quantity])
            rows.append((judged.quantity, *both, number(judged.wanted, judged.unit)))
    return rows


def temperature_notes(prediction: Prediction) -> list[str]:
    """By how much permeability, and with it the inductance of windings, moves there, and how that is known."""
    found = prediction.over_temperature
    if found is None:
        return []
    return [
        f"Permeability of mix {one.material}: {one.factors[0]:.2f} of that at 25 degC at {found.celsius[0]:g} degC, "
        f"{one.factors[1]:.2f} at {found.celsius[1]:g} degC; inductance at low frequency moves alike. "
        + (f"Source: {one.source}." if one.known else f"No table: a bound of {MOST_PER_K:.1%} a kelvin.")
        for one in found.materials
    ]


def feed_lines(prediction: Prediction) -> list[tuple[str, str]]:
    """Resistance and drop of each feed, and what floats."""
    lines = [
        (f"feed {p.strip}", f"{p.ohm:.3g} ohm on the board, {p.drop_v:.2f} V at its current ({', '.join(p.parts)})")
        for p in prediction.feeds
    ]
    floating = [(f"floats: {net}", text) for net, text in prediction.islands]
    return [*lines, *(floating or [("direct current", "nothing floats in any state")])]


class AssumedFigure(Struct, frozen=True):
    """A figure that the prediction rests on, its parts, its range to three digits, and why; of copper no part."""

    name: str
    refs: tuple[str, ...]
    value: float
    low: float
    high: float
    unit: str
    why: str

    @property
    def letters(self) -> str:
        """The class letters of the parts."""
        return "/".join(sorted({ref.rstrip("0123456789") for ref in self.refs}))


def assumed_figures(prediction: Prediction) -> list[AssumedFigure]:
    """Every assumed figure that the prediction rests on; equal ones together."""
    found: dict[AssumedFigure, dict[str, None]] = {}
    for element in prediction.network.elements:
        for p in element.parameters:
            if p.standing == "assumed" and p.name != "split":
                value, low, high = (float(f"{number:.3g}") for number in (p.value, p.low, p.high))
                why = p.source.removeprefix("assumed: ")
                figure = AssumedFigure(p.shown, (), value, low, high, p.unit, why)
                found.setdefault(figure, {})[element.ref] = None
    return [replace(figure, refs=tuple(refs)) for figure, refs in found.items()]


def assumed_words(prediction: Prediction) -> list[tuple[str, ...]]:
    """The same as people write them."""
    return [
        (a.name, a.letters, text(a.value, a.unit), f"{text(a.low, a.unit)} to {text(a.high, a.unit)}", a.why)
        for a in assumed_figures(prediction)
    ]


def assumed_rows(prediction: Prediction) -> list[tuple[str, ...]]:
    """The same in SI units, without their names."""
    return [
        (a.name, a.letters, f"{a.value:.3g}", f"{a.low:.3g}..{a.high:.3g}", a.why) for a in assumed_figures(prediction)
    ]


def tolerance_rows(drawn: Tolerance) -> list[tuple[str, ...]]:
    """Yield against each target, and where the middle nine tenths of the boards lie at their worst."""
    rows: list[tuple[str, ...]] = []
    for y in drawn.yields:
        unit = QUANTITIES[y.quantity].unit
        share = "not judged" if y.share is None else f"{y.share:.1%}"
        low, middle, high = (number(v, unit) for v in y.worst)
        rows.append((y.quantity, share, low, middle, high))
    return rows
