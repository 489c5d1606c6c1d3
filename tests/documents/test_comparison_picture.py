"""The picture of a comparison shows both predictions and the parts that differ; its file is never written over."""

import re
import subprocess
import sys
import xml.etree.ElementTree as ET

import numpy as np
import pytest

from boardgen.design import Design, make_design
from boardgen.documents.comparison import part_changes
from boardgen.documents.plots.comparison import AFTER, BEFORE, comparison_svg
from boardgen.documents.plots.response import response_svg, worst_and_best
from boardgen.request import Request
from boardgen.spec.load import read_text
from boardgen.spec.template import with_ways
from tests.catalogue.shipped import CATALOGUE

SVG = "{http://www.w3.org/2000/svg}"
TITLE = "Price $5^2$ & <b>"


def design(lowest: str) -> Design:
    text = with_ways("two-way", None)
    text = text.replace('title    = "Larkfield two-way"', f'title    = "{TITLE}"')
    return make_design(
        Request(read_text(text.replace('lowest    = "1.8 MHz"', f'lowest    = "{lowest}"')), CATALOGUE), predicted=True
    )


@pytest.fixture(scope="module")
def pair() -> tuple[Design, Design]:
    return design("1.8 MHz"), design("472 kHz")


@pytest.fixture(scope="module")
def picture(pair) -> str:
    return comparison_svg(*pair)


def curve(picture: str, colour: str) -> np.ndarray:
    """The points of the first curve of that colour, in points of the page."""
    for path in ET.fromstring(picture).iter(f"{SVG}path"):
        if f"stroke: {colour.lower()}" in path.get("style", "") and "clip-path" in path.attrib:
            numbers = re.findall(r"[ML] ([0-9.]+) ([0-9.]+)", path.get("d"))
            return np.array(numbers, dtype=float)
    raise AssertionError(colour)


def misfit(picture: str, colour: str, prediction) -> float:
    """How far the drawn insertion loss lies from the predicted one, as a share of its span; the scales are fitted."""
    points = curve(picture, colour)
    frequency = np.log(prediction.response.frequency_hz)
    x = np.interp(points[:, 0], points[[0, -1], 0], frequency[[0, -1]])
    wanted = np.interp(x, frequency, worst_and_best(prediction, "insertion loss").worst)
    slope, shift = np.polyfit(points[:, 1], wanted, 1)
    return float(np.abs(slope * points[:, 1] + shift - wanted).max() / np.ptp(wanted))


def test_both_curves_are_those_predicted(picture, pair):
    before, after = (d.prediction for d in pair)
    assert misfit(picture, BEFORE, before) < 0.01
    assert misfit(picture, AFTER, after) < 0.01
    assert misfit(picture, AFTER, before) > 0.1


def words(picture: str) -> list[str]:
    return ["".join(t.itertext()).strip() for t in ET.fromstring(picture).iter(f"{SVG}text")]


def test_it_names_the_curves_and_the_parts_that_differ(picture, pair):
    shown = words(picture)
    assert shown.count("before") >= 4
    assert shown.count("before") == shown.count("after")
    changes = part_changes(pair[0].bill, pair[1].bill)
    assert len(changes) > 3
    for change in changes:
        assert any(change.number[:30] in line for line in shown), change
    assert f"{TITLE}: before and after, with copper assumed" in shown


def test_the_same_bytes_twice_and_other_ones_the_other_way_round(picture, pair):
    assert comparison_svg(*pair) == picture
    assert comparison_svg(pair[1], pair[0]) != picture


def test_a_title_with_dollar_signs_stays_as_it_is(pair):
    assert f"{TITLE}: predicted response" in words(response_svg(pair[0].prediction))


def test_two_like_boards(pair):
    shown = words(comparison_svg(pair[0], pair[0]))
    assert "no part differs" in shown
    assert "before" not in shown
    assert "both" in shown


def run(folder, *more: str) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-m", "boardgen", "compare", "board.toml", "--boards", "2", "--quiet", *more]
    return subprocess.run(command, cwd=folder, capture_output=True, encoding="utf-8", check=False)


@pytest.mark.slow
def test_the_file_is_new(tmp_path):
    (tmp_path / "board.toml").write_text(with_ways("two-way", None), encoding="utf-8")
    assert run(tmp_path, "--picture", "c.svg").returncode in (0, 1)
    first = (tmp_path / "c.svg").read_bytes()
    assert first.startswith(b"<?xml")
    done = run(tmp_path, "--picture", "c.svg")
    assert (done.returncode, done.stdout) == (2, "")
    assert "exists already" in done.stderr
    assert (tmp_path / "c.svg").read_bytes() == first
