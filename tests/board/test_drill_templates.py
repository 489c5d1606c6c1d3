"""The drill template as DXF and PDF: read back by independent readers, at 1:1, with the board's own holes."""

import io
import os
import shutil
import subprocess
import sys
from collections import Counter

import ezdxf
import numpy as np
import pypdf
import pytest

from boardgen.documents.pdf_files import pdf_files
from boardgen.documents.pictures.drill_template import BAR_MM, EDGE_MM, drill_dxf, drill_template
from boardgen.formats import dxf
from boardgen.model.problem import InputError
from tests.board.boards import made


@pytest.fixture(scope="module")
def board():
    return made({}, 2)[0].board


@pytest.fixture(scope="module")
def names(board):
    return {s.ref: f"port {s.ref} é Ω" for s in board.parts if s.kind == "connector"}


@pytest.fixture(scope="module")
def drawing(board, names):
    """The file as the library reads it from its bytes."""
    return ezdxf.read(io.StringIO(drill_dxf(board, names).decode()))


def test_holes_are_the_boards(board, drawing):
    circles = [
        (round(c.dxf.center.x * 1e6), round(c.dxf.center.y * 1e6), round(c.dxf.radius * 2e6))
        for c in drawing.modelspace().query('CIRCLE[layer=="screw holes"]')
    ]
    assert Counter(circles) == Counter((*o.at, o.hole_nm) for o in board.mounting_holes)
    assert len(circles) == 4


def test_outline_is_the_boards(board, drawing):
    (outline,) = drawing.modelspace().query('LWPOLYLINE[layer=="outline"]')
    corners = {(round(x * 1e6), round(y * 1e6)) for x, y, *_ in outline.get_points()}
    assert outline.closed
    assert corners == {(x, y) for x in (0, board.width_nm) for y in (0, board.height_nm)}


def test_each_port_has_a_cross_and_its_name(board, names, drawing):
    crosses = drawing.modelspace().query('LWPOLYLINE[layer=="ports"]')
    middles = Counter(
        (round((a[0] + b[0]) * 5e5), round((a[1] + b[1]) * 5e5)) for a, b in (c.get_points() for c in crosses)
    )
    ports = [s for s in board.parts if s.kind == "connector"]
    assert middles == Counter({((p.body[0] + p.body[2]) // 2, (p.body[1] + p.body[3]) // 2): 2 for p in ports})
    said = [t.dxf.text for t in drawing.modelspace().query("TEXT")]
    assert set(names.values()) <= set(said)


def test_millimetres_and_a_clean_file(drawing):
    """The unit is in the header, the bar is 50 mm, and the library's own audit finds nothing."""
    assert drawing.units == ezdxf.units.MM
    bars = [c.get_points() for c in drawing.modelspace().query('LWPOLYLINE[layer=="words"]')]
    assert BAR_MM in {round(abs(a[0] - b[0]), 6) for a, b in bars}
    audit = drawing.audit()
    assert not audit.errors
    assert not audit.fixes


def test_same_bytes_and_no_date(board, names):
    first = drill_dxf(board, names)
    ezdxf.new("R2018")
    assert drill_dxf(board, names) == first
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
def sheet(board, names):
    return pdf_files({"drill-template.svg": drill_template(board, names).encode()})["drill-template.pdf"]


def test_pdf_page_is_as_large_as_the_drawing(board, sheet):
    """One page, as wide as the SVG says in millimetres."""
    (page,) = pypdf.PdfReader(io.BytesIO(sheet)).pages
    wide, high = (float(x) * 25.4 / 72 for x in page.mediabox[2:])
    assert wide >= board.width_nm / 1e6 + 2 * EDGE_MM - 0.01
    assert high == pytest.approx(board.height_nm / 1e6 + 2 * EDGE_MM + 27, abs=0.05)


@pytest.mark.peer
def test_pdf_bar_measures_50_mm(board, sheet, tmp_path):
    """pdftoppm at 20 pixels a millimetre: the bar and the board's outline are as long as they say, to 0.1 mm."""
    (tmp_path / "sheet.pdf").write_bytes(sheet)
    if not shutil.which("pdftoppm"):
        assert not os.environ.get("CI"), "pdftoppm must be there in CI"
        pytest.skip("pdftoppm IS ABSENT: the bar was NOT measured")
    command = ["pdftoppm", "-r", "508", "-gray", "-singlefile", "sheet.pdf", "sheet"]
    subprocess.run(command, cwd=tmp_path, check=True)
    _, size, _, pixels = (tmp_path / "sheet.pgm").read_bytes().split(b"\n", 3)
    wide, high = map(int, size.split())
    dark = np.frombuffer(pixels, np.uint8).reshape(high, wide) < 140
    y = round((board.height_nm / 1e6 + 2 * EDGE_MM) * 20)
    bar = [_longest(row) for row in dark[y - 10 : y + 10]]
    assert max(bar) / 20 == pytest.approx(BAR_MM, abs=0.3)
    top = [_longest(row) for row in dark[round(EDGE_MM * 20) - 10 : round(EDGE_MM * 20) + 10]]
    assert max(top) / 20 == pytest.approx(board.width_nm / 1e6, abs=0.3)


def _longest(row):
    """The longest run of dark pixels."""
    edges = np.flatnonzero(np.diff(np.concatenate(([0], row.astype(int), [0]))))
    return int((edges[1::2] - edges[::2]).max(initial=0))
