"""The plot of the response can be read: against its own marks the curves give what was predicted."""

import os
import re
import subprocess
import sys
import xml.etree.ElementTree as ET

import numpy as np
import pytest

from boardgen.catalogue import load
from boardgen.design import make_design
from boardgen.documents.plots.figure import figure_svg
from boardgen.documents.plots.panels import PANELS, Curve, Limit, Panel, draw_panels
from boardgen.documents.plots.response import WORST, response_svg, worst_and_best
from boardgen.request import Request
from boardgen.sizing.size import size
from boardgen.spec.load import read_text
from boardgen.spec.template import with_ways

SVG = "{http://www.w3.org/2000/svg}"
HEIGHT = 143
"""Of a panel, in points."""
TOLERANCE = 0.003
"""Share of a panel's span: the thickness of a line."""


@pytest.fixture(scope="module")
def prediction():
    return make_design(Request(read_text(with_ways("two-way", None)), load()), predicted=True).prediction


@pytest.fixture(scope="module")
def drawn(prediction):
    """The picture, drawn once."""
    return response_svg(prediction)


@pytest.fixture(scope="module")
def panels(drawn):
    """The axes from the top."""
    picture = ET.fromstring(drawn)
    return [group for group in picture.iter(f"{SVG}g") if (group.get("id") or "").startswith("axes_")]


def curve(panel):
    """The points of the worst curve."""
    (path,) = (
        path.get("d")
        for path in panel.iter(f"{SVG}path")
        if f"stroke: {WORST.lower()}" in path.get("style", "") and "clip-path" in path.attrib
    )
    return np.array(re.findall(r"[ML] ([0-9.]+) ([0-9.]+)", path), dtype=float)


def marks(panel):
    """Height and figure of every labelled mark at the left."""
    ticks = [group for group in panel.iter(f"{SVG}g") if (group.get("id") or "").startswith("ytick_")]
    labelled = [
        (float(use.get("y")), float(text.text))
        for tick in ticks
        for use, text in zip(list(tick.iter(f"{SVG}use"))[-1:], tick.iter(f"{SVG}text"), strict=False)
    ]
    return np.array(labelled).T


@pytest.mark.parametrize("number", range(len(PANELS)))
def test_curves_are_read_against_the_marks(prediction, panels, number):
    """The first and the last point, the largest and the least."""
    assert len(panels) == len(PANELS)
    points, worst = curve(panels[number]), worst_and_best(prediction, PANELS[number]).worst
    heights, figures = marks(panels[number])
    assert len(heights) >= 2
    if PANELS[number] == "common-mode impedance":
        figures, worst = np.log10(figures), np.log10(worst)
    slope, shift = np.polyfit(heights, figures, 1)
    assert np.abs(slope * heights + shift - figures).max() < 1e-4 * np.ptp(figures)
    read = slope * points[:, 1] + shift
    for seen, wanted in (
        (read[0], worst[0]),
        (read[-1], worst[-1]),
        (read.max(), worst.max()),
        (read.min(), worst.min()),
    ):
        assert seen == pytest.approx(wanted, abs=TOLERANCE * HEIGHT * abs(slope))


def test_names_of_curves_that_end_together_are_told_apart():
    """Two names, a line of letters apart; figures of less than a decade have marks."""
    megahertz = np.array([1.0, 10.0])
    curves = tuple(
        Curve(megahertz, np.array([1500.0, end]), name, WORST) for name, end in (("one", 7000.0), ("two", 7001.0))
    )
    panel = Panel("common-mode impedance", curves, None, "words")
    picture = ET.fromstring(figure_svg(3.0, lambda figure: draw_panels(figure, [panel], 0.5, 1)))
    placed = {text.text: text for text in picture.iter(f"{SVG}text")}
    heights = [float(placed[name].get("y")) for name in ("one", "two")]
    assert abs(heights[0] - heights[1]) >= 10
    assert {"2000", "5000"} <= set(placed)


def test_each_of_three_curves_is_named():
    """Two that end together and one of two lines below them; none is moved that has room."""
    megahertz, ends = np.array([1.0, 10.0]), {"far": 60.0, "one": 20.0, "two": 20.1, "of two\nlines": 19.0}
    curves = tuple(Curve(megahertz, np.array([15.0, end]), name, WORST) for name, end in ends.items())
    panel = Panel("return loss", curves, None, "words")
    picture = ET.fromstring(figure_svg(3.0, lambda figure: draw_panels(figure, [panel], 0.5, 1)))
    placed = {text.text: text for text in picture.iter(f"{SVG}text")}
    assert {"of two", "lines"} <= set(placed)
    heights = {name: float(placed[name].get("y")) for name in ("far", "one", "two")}
    assert heights["far"] < heights["two"] - 20
    assert 10 <= heights["one"] - heights["two"] < 12


@pytest.mark.parametrize(("before", "above"), [(0.2, True), (0.6, False)])
def test_the_figure_at_the_end_of_a_curve_stands_left_of_it(before, above):
    """At the right are the names of the curves; the curve comes from the other side."""
    curve = Curve(np.array([1.0, 10.0]), np.array([before, 0.4]), "worst", WORST)
    limit = Limit(0.8, (1.0, 10.0), "at most 0.8 dB", "target", (10.0, 0.4, "0.40 dB", "figure"))
    panel = Panel("insertion loss", (curve,), limit, "words")
    picture = ET.fromstring(figure_svg(3.0, lambda figure: draw_panels(figure, [panel], 0.5, 1)))
    placed = {text.text: text for text in picture.iter(f"{SVG}text")}
    figure, name = placed["0.40 dB"], placed["worst"]
    assert figure.get("text-anchor") == "end" or "end" in (figure.get("style") or "")
    assert (float(figure.get("y")) < float(name.get("y")) - 5) == above
    assert float(figure.get("x")) < float(name.get("x"))


def test_marks_of_many_decades_do_not_run_into_each_other():
    """A line of letters lies between any two."""
    curve = Curve(np.array([1.0, 10.0]), np.array([0.004, 900.0]), "one", WORST)
    panel = Panel("common-mode impedance", (curve,), None, "words")
    picture = ET.fromstring(figure_svg(3.0, lambda figure: draw_panels(figure, [panel], 0.5, 1)))
    ticks = [group for group in picture.iter(f"{SVG}g") if (group.get("id") or "").startswith("ytick_")]
    heights = sorted(float(text.get("y")) for tick in ticks for text in tick.iter(f"{SVG}text") if text.text)
    assert len(heights) >= 3
    assert min(np.diff(heights)) >= 10


@pytest.mark.parametrize("backend", ["", "inline", "module://nowhere.at_all", "svg"])
def test_what_a_notebook_draws_with_is_no_concern_of_ours(backend):
    script = (
        "import os; from boardgen.documents.plots.figure import figure_svg, load;"
        "print(len(figure_svg(2.0, lambda figure: None)) > 100, repr(os.environ['MPLBACKEND']),"
        " load().get_backend() == 'svg', 'MPLCONFIGDIR' in os.environ)"
    )
    environment = {name: text for name, text in os.environ.items() if name != "MPLCONFIGDIR"} | {"MPLBACKEND": backend}
    done = subprocess.run([sys.executable, "-c", script], env=environment, capture_output=True, text=True, check=False)
    assert (done.stdout.split(), done.stderr) == (["True", repr(backend), str(backend == "svg"), "False"], "")


@pytest.mark.filterwarnings("error")
def test_a_sign_that_the_fonts_lack_is_no_warning():
    assert "<svg" in figure_svg(2.0, lambda figure: figure.text(0.5, 0.5, "Box \N{HOUSE BUILDING}"))


def test_what_the_capacitors_at_the_transformers_did(prediction, drawn):
    """Return loss without them stands beside it, where there are any."""
    bare = prediction.without_compensation
    assert "without" in drawn
    worst = {
        name: min(float(c.low.min()) for c in response.of("return loss"))
        for name, response in (("with", prediction.response), ("without", bare))
    }
    assert worst["with"] > worst["without"] + 3
    none = prediction.request.spec.switching.model_copy(update={"compensation": "none"})
    spec = prediction.request.spec.model_copy(update={"switching": none})
    choices = size(Request(spec, load()))
    assert not [c for c in choices.values if c.role == "compensation capacitor"]
