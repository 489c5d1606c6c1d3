"""The plot of the response can be read: against its own marks the curves give what was predicted."""

import re
import xml.etree.ElementTree as ET

import numpy as np
import pytest

from boardgen.catalogue import load
from boardgen.design import Design
from boardgen.documents.plots.panel_scale import scale_of
from boardgen.documents.plots.response_plot import PANELS, WORST, response_svg, worst_and_best
from boardgen.spec.load import read_text
from boardgen.spec.template import with_ways

SVG, LINK = "{http://www.w3.org/2000/svg}", "{http://www.w3.org/1999/xlink}href"
TOLERANCE = 0.003
"""Share of a panel's span: the thickness of a line."""


@pytest.fixture(scope="module")
def prediction():
    return Design(read_text(with_ways("two-way", None)), load(), predicted=True).prediction


@pytest.fixture(scope="module")
def picture(prediction):
    return ET.fromstring(response_svg(prediction))


def curves(picture):
    """The points of the worst curve of each panel, from the top."""
    return [
        np.array(re.findall(r"[ML] ([0-9.]+) ([0-9.]+)", path.get("d")), dtype=float)
        for path in picture.iter(f"{SVG}path")
        if f"stroke: {WORST.lower()}" in path.get("style", "") and "clip-path" in path.attrib
    ]


def marks(picture):
    """Height and figure of every labelled mark at the left."""
    left = min(float(use.get("x")) for use in picture.iter(f"{SVG}use"))
    heights: dict[str, list[float]] = {}
    for use in picture.iter(f"{SVG}use"):
        if float(use.get("x")) == left:
            heights.setdefault(use.get(LINK), []).append(float(use.get("y")))
    figures = [
        float(text.text)
        for text in picture.iter(f"{SVG}text")
        if "text-anchor: end" in text.get("style") and re.fullmatch(r"[0-9.]+", text.text or "")
    ]
    # the first kind of tick is the labelled one
    return list(zip(next(iter(heights.values())), figures, strict=True))


@pytest.mark.parametrize("number", range(len(PANELS)))
def test_curves_are_read_against_the_marks(prediction, picture, number):
    """The first and the last point, the largest and the least."""
    points, worst = curves(picture)[number], worst_and_best(prediction, PANELS[number]).worst
    panel = [float(y) for y in re.findall(r"L [0-9.]+ ([0-9.]+)", " ".join(edges(picture)))][2 * number :][:1]
    own = [(y, figure) for y, figure in marks(picture) if panel[0] - 145 < y <= panel[0] + 0.01]
    assert len(own) >= 2
    heights, figures = np.array(own).T
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
        assert seen == pytest.approx(wanted, abs=TOLERANCE * 145 * abs(slope))


def edges(picture):
    """The lines about the left and the foot of the panels."""
    return [path.get("d") for path in picture.iter(f"{SVG}path") if "stroke: #5a6872" in path.get("style", "")]


def test_scales_of_odd_figures():
    """A level curve stands in the middle, and less than two decades have marks between."""
    level = scale_of([np.array([3.0, 3.0])], 2.0, 0.05, logarithmic=False)
    assert level(3.0) == 2.5
    assert len(level.marks()) >= 2
    narrow = scale_of([np.array([1500.0, 7000.0])], 0.0, 0.05, logarithmic=True)
    assert [figure for _, figure in narrow.marks()] == ["2000", "5000"]
    assert all(0 <= height <= 1 for height in narrow.between())
