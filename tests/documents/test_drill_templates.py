"""The drill template as DXF and PDF: read back by independent readers, at 1:1, every hole of the box at its size."""

import io
import os
import shutil
import subprocess
import sys
from collections import Counter
from itertools import pairwise

import ezdxf
import numpy as np
import pypdf
import pytest

from boardgen.documents.box import COAX, box_of
from boardgen.documents.pdf_files import pdf_files
from boardgen.documents.pictures.drill_template import (
    BAR_MM,
    BETWEEN_MM,
    CROSS_MM,
    EDGE_MM,
    HEAD_MM,
    drill_dxf,
    drill_template,
)
from boardgen.formats import dxf
from boardgen.model.problem import InputError
from tests.documents.book_boards import design

TITLE = "Larkfield é Ω, revision A"


@pytest.fixture(scope="module", params=["one way", "cascaded, low side"])
def made(request):
    """A board, in the back of its box and in the lid."""
    return design(request.param)


@pytest.fixture(scope="module")
def box(made):
    return box_of(made)


@pytest.fixture(scope="module")
def drawing(box):
    """The file as the library reads it from its bytes."""
    return ezdxf.read(io.StringIO(drill_dxf(box, TITLE).decode()))


def test_every_hole_of_the_box_stands_in_the_file_at_its_size(box, drawing):
    circles = Counter(round(c.dxf.radius * 2, 3) for c in drawing.modelspace().query('CIRCLE[layer=="holes"]'))
    assert circles == Counter(hole.size_mm for view in box.views for hole in view.holes)
    said = [t.dxf.text for t in drawing.modelspace().query("TEXT")]
    assert {hole.name for view in box.views for hole in view.holes} <= set(said)


def test_words_on_the_board_keep_clear_of_its_screws(box, drawing):
    """Their feet stand above the crosses of the screws at that edge."""
    mounted, wall = box.views
    (words,) = [t for t in drawing.modelspace().query("TEXT") if t.dxf.text == mounted.inside]
    up = words.dxf.insert.y - (wall.high_mm + HEAD_MM + BETWEEN_MM)
    middle = mounted.outline[1] + mounted.outline[3] / 2
    lower = [hole for hole in mounted.holes if hole.y_mm < middle]
    assert lower
    assert all(up > hole.y_mm + hole.size_mm / 2 + CROSS_MM for hole in lower)


def test_screws_and_outline_are_the_boards_and_lie_inside_the_box(made, box):
    board, (mounted, wall) = made.layout.board, box.views
    left, foot, wide, high = mounted.outline
    assert (wide, high) == (board.width_nm / 1e6, board.height_nm / 1e6)
    assert left > 0
    assert foot > 0
    assert left + wide < mounted.wide_mm
    assert foot + high < mounted.high_mm
    ours = sorted((at[0] / 1e6, at[1] / 1e6) for at in (hole.at for hole in board.mounting_holes))
    turned = sorted((wide - x, high - y) for x, y in ours)
    drawn = sorted((hole.x_mm - left, hole.y_mm - foot) for hole in mounted.holes)
    assert any(np.allclose(drawn, wanted, atol=1e-6) for wanted in (ours, turned))
    assert mounted.wide_mm == wall.wide_mm


def test_connectors_stand_at_their_pitch_in_the_order_of_the_ports(made, box):
    """Board in the back: as the ports lie once they are turned down to the wall; in the lid the other way round."""
    assert box.fits
    holes = [hole for hole in box.views[1].holes if hole.kind == COAX]
    assert all(b.x_mm - a.x_mm >= box.pitch_mm - 1e-9 for a, b in pairwise(holes) if a.y_mm == b.y_mm)
    ports = sorted((p for p in made.layout.board.parts if p.kind == "connector"), key=lambda p: p.body[0])
    labels = [made.netlist.component[port.ref].subject.strip for port in ports]
    ports_above = ports[0].body[1] > made.layout.board.height_nm / 2
    wanted = labels[::-1] if ports_above != (box.mounting == "lid") else labels
    assert [hole.name for hole in holes] == wanted
    everything = {hole.name for hole in box.views[1].holes}
    assert {"vent"} <= everything
    assert ("earth stud" in everything) == made.request.has_earth
    assert sum(name.startswith("control ") for name in everything) == made.spec.control.cables


def test_no_two_holes_of_a_wall_meet(box):
    for view in box.views:
        for n, one in enumerate(view.holes):
            for other in view.holes[:n]:
                apart = np.hypot(one.x_mm - other.x_mm, one.y_mm - other.y_mm)
                assert apart > (one.size_mm + other.size_mm) / 2 + 3


def test_millimetres_and_a_clean_file(drawing):
    """The unit is in the header, the bar is 50 mm, and the library's own audit finds nothing."""
    assert drawing.units == ezdxf.units.MM
    bars = [c.get_points() for c in drawing.modelspace().query('LWPOLYLINE[layer=="words"]')]
    assert BAR_MM in {round(abs(a[0] - b[0]), 6) for a, b in bars}
    audit = drawing.audit()
    assert not audit.errors
    assert not audit.fixes


def test_same_bytes_and_no_date(box):
    first = drill_dxf(box, TITLE)
    ezdxf.new("R2018")
    assert drill_dxf(box, TITLE) == first
    assert not ezdxf.options.write_fixed_meta_data_for_testing


@pytest.mark.parametrize("seed", ["1", "2", "3", "4", "5"])
def test_same_bytes_in_every_process(seed):
    """The order of a set, which the library writes parts of the head in, hangs on the process."""
    assert _drawn_in_a_process(seed) == _drawn_in_a_process("0")


def _drawn_in_a_process(hash_seed):
    line = "from boardgen.formats.dxf import Line, dxf; print(dxf({'a': 7}, [Line('a', ((0, 0), (1, 1)))]))"
    env = {**os.environ, "PYTHONHASHSEED": hash_seed}
    return subprocess.run([sys.executable, "-c", line], env=env, capture_output=True, check=True).stdout


def test_a_missing_library_is_named(monkeypatch):
    class Refusing:
        def find_spec(self, name, path=None, target=None):
            if name == "ezdxf":
                raise ImportError(name)

    monkeypatch.delitem(sys.modules, "ezdxf")
    monkeypatch.setattr(sys, "meta_path", [Refusing(), *sys.meta_path])
    with pytest.raises(InputError) as caught:
        dxf.load()
    (problem,) = caught.value.problems
    assert "ezdxf" in problem.found
    assert '".[dxf]"' in problem.hint


@pytest.fixture(scope="module")
def sheet(box):
    return pdf_files({"drill-template.svg": drill_template(box, TITLE).encode()})["drill-template.pdf"]


def test_pdf_page_is_as_large_as_the_drawing(box, sheet):
    """One page, wide and high enough for both walls at 1:1."""
    (page,) = pypdf.PdfReader(io.BytesIO(sheet)).pages
    wide, high = (float(x) * 25.4 / 72 for x in page.mediabox[2:])
    assert wide >= box.views[0].wide_mm + 2 * EDGE_MM - 0.01
    assert high >= sum(view.high_mm for view in box.views) + 2 * HEAD_MM


@pytest.mark.peer
def test_pdf_bar_measures_50_mm(box, sheet, tmp_path):
    """pdftoppm at 20 pixels a millimetre: the bar and the wall are as long as they say, to 0.1 mm."""
    (tmp_path / "sheet.pdf").write_bytes(sheet)
    if not shutil.which("pdftoppm"):
        assert not os.environ.get("CI"), "pdftoppm must be there in CI"
        pytest.skip("pdftoppm IS ABSENT: the bar was NOT measured")
    command = ["pdftoppm", "-r", "508", "-gray", "-singlefile", "sheet.pdf", "sheet"]
    subprocess.run(command, cwd=tmp_path, check=True)
    _, size, _, pixels = (tmp_path / "sheet.pgm").read_bytes().split(b"\n", 3)
    wide, high = map(int, size.split())
    dark = np.frombuffer(pixels, np.uint8).reshape(high, wide) < 160
    y = EDGE_MM + sum(HEAD_MM + view.high_mm + BETWEEN_MM for view in box.views) + 2
    bar = [_longest(row) for row in dark[round(y * 20) - 10 : round(y * 20) + 10]]
    assert max(bar) / 20 == pytest.approx(BAR_MM, abs=0.3)
    top = [_longest(row) for row in dark[round((EDGE_MM + HEAD_MM) * 20) - 10 : round((EDGE_MM + HEAD_MM) * 20) + 10]]
    assert max(top) / 20 == pytest.approx(box.views[0].wide_mm, abs=0.4)


def _longest(row):
    """The longest run of dark pixels."""
    edges = np.flatnonzero(np.diff(np.concatenate(([0], row.astype(int), [0]))))
    return int((edges[1::2] - edges[::2]).max(initial=0))
