"""What `import boardgen` gives."""

import subprocess
import sys
from xml.etree import ElementTree

import pytest

import boardgen
from boardgen.spec.template import station_files, with_ways


def test_every_name_is_there_and_nothing_else_is_shown():
    assert {getattr(boardgen, name).__name__ for name in boardgen.__all__} == set(boardgen.__all__)
    assert dir(boardgen) == sorted([*boardgen.__all__, "__version__"])
    with pytest.raises(AttributeError, match="has no attribute 'boards'"):
        boardgen.boards  # noqa: B018


def test_the_import_alone_loads_nothing_else():
    code = "import sys; import boardgen; print([name for name in sys.modules if name.startswith('boardgen.')])"
    assert subprocess.run([sys.executable, "-c", code], capture_output=True, text=True).stdout == "[]\n"


@pytest.fixture(scope="module")
def board(tmp_path_factory):
    """The two-way template without a layout."""
    path = tmp_path_factory.mktemp("board") / "two-way.toml"
    path.write_text(with_ways("two-way", None), encoding="utf-8")
    return boardgen.design_board(path, layout=False)


def test_what_is_printed_of_it_is_a_line(board):
    """Not pages of fields; a notebook shows the last value of a cell."""
    shown = [
        board,
        board.specification,
        board.netlist,
        board.response,
        board.response.s_parameters(),
        board.book,
        *board.drawings.values(),
    ]
    assert [text for text in map(repr, shown) if len(text) > 100 or "\n" in text] == []
    assert repr(board) == "<DesignedBoard Larkfield two-way, revision A: 2 antennas, not laid out>"


def test_drawings_show_themselves(board):
    assert ElementTree.fromstring(board.drawings["schematic"]._repr_svg_()).tag.endswith("}svg")
    assert board.book._repr_html_().startswith("<!doctype html>")
    assert "board-top" not in board.drawings


def test_curves_and_s_parameters_are_one_prediction(board):
    """The loss of the selected path is that of its entry in S, where the port has the band's impedance."""
    response = board.response
    (selected, port), curve = next(iter(response.insertion_loss_db.items()))
    found = response.to_skrf(selected)
    ports = response.s_parameters(selected).ports
    into, out = ports.index(f"{port} differential"), ports.index("output differential")
    at = abs(response.frequency_hz - found.f[0]).argmin()
    assert response.frequency_hz[at] == pytest.approx(found.f[0])
    assert -found.s_db[0, out, into] == pytest.approx(curve[at], abs=1e-6)


def test_a_label_that_is_not_there_is_refused(board):
    with pytest.raises(boardgen.InputError) as caught:
        board.response.s_parameters("nowhere")
    assert "nowhere" in caught.value.problems[0].found


def test_the_bill_adds_up_and_values_are_held_against_their_needs(board):
    bill, values = board.bill, board.values
    assert bill.line_cost.sum() == pytest.approx((bill.unit_price * bill.ordered).round(2).sum(), abs=0.05)
    assert values[values.bound == "at least"].eval("achieved >= required * (1 - 1e-9)").all()


@pytest.mark.slow
def test_what_a_script_writes_is_what_the_command_writes(tmp_path):
    """Byte for byte, the manifest too."""
    (tmp_path / "two-way.toml").write_text(with_ways("two-way", None), encoding="utf-8")
    written = boardgen.design_board(tmp_path / "two-way.toml").write(tmp_path / "script")
    command = [sys.executable, "-m", "boardgen", "build", "two-way.toml", "--out", "command", "--quiet"]
    subprocess.run(command, cwd=tmp_path, check=True)
    folders = (written, tmp_path / "command" / written.name)
    files = [{p.relative_to(top): p.read_bytes() for p in top.rglob("*") if p.is_file()} for top in folders]
    assert files[0] == files[1]


@pytest.mark.slow
def test_a_station_has_its_boards_and_tables(tmp_path):
    for name, text in station_files("two-boxes").items():
        (tmp_path / name).write_text(text, encoding="utf-8")
    station = boardgen.design_station(tmp_path / "station.toml")
    assert list(station.boxes) == ["dune", "heath"]
    assert len(station.proof) > len(station.plan.direction)
    assert list(station.selection.direction) == ["at rest", *(d.label for d in station.plan.direction)]
    assert (station.write(tmp_path / "output") / "station.html").is_file()
    assert repr(station).startswith("<DesignedStation Curlew Flats")
