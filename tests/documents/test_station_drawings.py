"""The drawings of random stations: no words on other words or on a line, and the wiring is that of the steering."""

import itertools
import re
import xml.etree.ElementTree as ET

import pytest

from boardgen.documents.letters import text_width_mm
from boardgen.documents.station.drawings import DIRECTIONS, OVERVIEW, drawings
from boardgen.documents.station.source import Source
from tests.station.made_stations import box_design, random_station, station

SVG = "{http://www.w3.org/2000/svg}"
LONG = "a very long label of sixty letters that somebody wrote, well"
ODD = ("<script>alert(1)</script>", "=1+1", "W" * 60, "Größe über Ödland", "東のアンテナ", LONG)


def boxes_of(root):
    """Left, top, right, bottom of every text, with its words."""
    found = []
    for text in root.iter(f"{SVG}text"):
        size = float(text.get("font-size"))
        face = "bold" if text.get("font-weight") == "bold" else "sans"
        wide, x, y = text_width_mm(text.text, size, face), float(text.get("x")), float(text.get("y"))
        shift = {"start": 0.0, "middle": wide / 2, "end": wide}[text.get("text-anchor", "start")]
        left, top, right, bottom = x - shift, y - 0.75 * size, x - shift + wide, y + 0.22 * size
        if text.get("transform"):
            left, top, right, bottom = x - 0.22 * size, y, x + 0.75 * size, y + wide
        found.append((left, top, right, bottom, text.text))
    return found


def lines_of(root):
    """Straight pieces of every path without a place of its own."""
    for path in root.iter(f"{SVG}path"):
        if path.get("transform") is None:
            points = [tuple(map(float, p.split())) for p in re.split("[ML]", path.get("d"))[1:]]
            yield from itertools.pairwise(points)


def meets(box, line):
    """Whether a straight piece enters a box, found by walking along it."""
    (x1, y1), (x2, y2) = line
    steps = max(2, int(max(abs(x2 - x1), abs(y2 - y1)) / 0.4))
    return any(
        box[0] < x1 + (x2 - x1) * n / steps < box[2] and box[1] < y1 + (y2 - y1) * n / steps < box[3]
        for n in range(steps + 1)
    )


def clashes(svg):
    """Words over words, words over lines, words outside the sheet."""
    root = ET.fromstring(svg)
    boxes = boxes_of(root)
    found = [
        (a[4], b[4])
        for a, b in itertools.combinations(boxes, 2)
        if a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]
    ]
    found += [(box[4], line) for line in lines_of(root) for box in boxes if meets(box, line)]
    wide, high = map(float, root.get("viewBox").split()[2:])
    return found + [box[4] for box in boxes if box[0] < 0 or box[1] < 0 or box[2] > wide or box[3] > high]


def wirings(made):
    """The sheets of the wiring, one a box."""
    return [svg for name, svg in made.items() if name not in (OVERVIEW, DIRECTIONS)]


def drawn(design):
    return drawings(Source(design, ""))


@pytest.mark.parametrize("seed", range(6))
def test_nothing_overlaps(seed):
    for name, svg in drawn(random_station(seed, longest_m=25)).items():
        assert clashes(svg) == [], name


def odd_station():
    """Labels that are long, wide, or look like markup, as directions."""
    directions = [(label, f"dune/way {n}", None) for n, label in enumerate(ODD, 1)]
    directions.append((f"{LONG}, again"[-60:], "heath/way 1", None))
    return station([("dune", box_design(8), {}), ("heath", box_design(2), {})], directions, rest="dune")


def test_nothing_overlaps_with_odd_labels():
    made = drawn(odd_station())
    for name, svg in made.items():
        assert clashes(svg) == [], name
    words = [text.text for text in ET.fromstring(made[DIRECTIONS]).iter(f"{SVG}text")]
    assert any("<script>alert(1)" in each for each in words)


def test_many_directions_of_one_bearing():
    """Sixteen labels beside one arm."""
    directions = [(f"direction {n}", f"dune/way {1 + n % 8}", None) for n in range(16)]
    made = drawn(station([("dune", box_design(8), {})], directions))
    assert clashes(made[DIRECTIONS]) == []


@pytest.mark.parametrize("seed", range(6))
def test_every_diode_is_drawn(seed):
    design = random_station(seed, longest_m=25)
    assert sum(svg.count('class="diode"') for svg in wirings(drawn(design))) == len(design.station.steering.diodes)


def test_same_bytes():
    assert drawn(odd_station()) == drawn(odd_station())


DRIVES = {"high side": "high-side driver", "low side": "open drain"}


def test_a_source_that_sinks_turns_the_diodes():
    """The cathode stands at the row: turned by half a circle against a source of plus."""
    directions = [(f"{n} {k}", f"{n}/way {k}", None) for n in ("dune", "heath") for k in (1, 2)]
    turns = {}
    for drive, kind in DRIVES.items():
        boxes = [(n, box_design(2, drive=drive), {}) for n in ("dune", "heath")]
        made = drawn(station(boxes, directions, source={"kind": kind}, rest="dune"))
        [svg] = [svg for name, svg in made.items() if "heath" in name]
        assert clashes(svg) == []
        elements = ET.fromstring(svg).iter(f"{SVG}path")
        turns[kind] = {p.get("transform").rpartition(" ")[2] for p in elements if p.get("class") == "diode"}
    assert turns == {"high-side driver": {"rotate(45)"}, "open drain": {"rotate(225)"}}


def diode_names(svg):
    """Where each diode stands, and the name nearest to it."""
    root = ET.fromstring(svg)
    names = [(float(t.get("x")), float(t.get("y")), t.text) for t in root.iter(f"{SVG}text") if is_name(t.text)]
    for path in root.iter(f"{SVG}path"):
        if path.get("class") == "diode":
            x, y = map(float, re.match(r"translate\(([\d.]+) ([\d.]+)\)", path.get("transform")).groups())
            yield min(names, key=lambda name: (name[0] - x) ** 2 + (name[1] - y) ** 2)[2]


def is_name(words):
    return re.fullmatch("D[0-9]+", words or "") is not None


@pytest.mark.parametrize("where", ["source end", "boxes"])
def test_every_diode_bears_the_name_that_the_tables_give_it(where):
    made = random_station(7)
    made = type(made)(
        made.plan.model_copy(update={"source": made.plan.source.model_copy(update={"diodes": where})}),
        made.boxes,
        made.catalogue,
    )
    source = Source(made, "")
    assert source.diodes
    names = [name for svg in wirings(drawings(source)) for name in diode_names(svg)]
    assert sorted(names) == sorted(source.diodes.values())


@pytest.mark.parametrize("bearings", [(0, 10, 12, 15, 32, 45, 54, 76, 90, 135), (180, 190, 200, 201, 225, 270, 300)])
def test_leaders_of_directions_never_cross(bearings):
    """Pieces of two leaders have no point in common, however close the bearings lie."""
    box = box_design(2)
    directions = [(f"{bearing} deg", f"dune/way {1 + n % 2}", None) for n, bearing in enumerate(bearings)]
    made = station([("dune", box, {})], directions)
    moved = [d.model_copy(update={"bearing": float(b)}) for d, b in zip(made.plan.direction, bearings, strict=True)]
    made = type(made)(made.plan.model_copy(update={"direction": tuple(moved)}), made.boxes, made.catalogue)
    root = ET.fromstring(drawings(Source(made, ""))[DIRECTIONS])
    leaders = [
        [tuple(map(float, p.split())) for p in re.split("[ML]", path.get("d"))[1:]]
        for path in root.iter(f"{SVG}path")
        if path.get("stroke-width") == "0.2"
    ]
    assert len(leaders) == len(bearings)
    for one, other in itertools.combinations(leaders, 2):
        for a, b in itertools.product(itertools.pairwise(one), itertools.pairwise(other)):
            assert not cross(*a, *b)


def cross(a, b, c, d):
    """Whether the pieces a to b and c to d meet between their ends."""

    def side(p, q, r):
        return (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])

    return side(a, b, c) * side(a, b, d) < 0 and side(c, d, a) * side(c, d, b) < 0
