"""Rows of the fault table: every reading counts, in the order of the tests, and no two rows read the same."""

import math
import re

from boardgen.documents.book.faults import AMPERES, HELD_OHMS, IDLE_OHMS, MOST_SHOWN, RADIO, VOLTS, Read, shown_readings
from boardgen.documents.book.meter_picture import meter_picture
from boardgen.documents.text import Value, in_row
from boardgen.documents.values import together
from tests.documents.book_boards import design, page


def read(test, what):
    """A reading that a fault changes."""
    return Read(test, what, "wrong", Value(what, "right"))


SAME = tuple(read(HELD_OHMS, f"held {n}") for n in range(6))


def test_current_and_volts_are_shown_before_what_is_read_with_the_relay_held_in():
    many = (*(read(IDLE_OHMS, f"idle {n}") for n in range(5)), read(AMPERES, "current"), read(VOLTS, "volts"), *SAME)
    assert [one.what for one in shown_readings([many])[many]] == ["idle 0", "idle 1", "current", "volts"]


def test_faults_that_begin_alike_show_what_tells_them_apart():
    one, other = (*SAME, read(RADIO, "loss 3 dB")), (*SAME, read(RADIO, "loss 9 dB"))
    shown = shown_readings([one, other, SAME[:2]])
    assert shown[one][-1].what == "loss 3 dB"
    assert shown[other][-1].what == "loss 9 dB"
    assert len(shown[one]) > MOST_SHOWN
    assert shown[SAME[:2]] == SAME[:2]


def test_a_diode_turned_round_and_one_open_are_not_one_row():
    """The supply at its limit tells the one, no current the other: both begin with the same resistances."""
    text = page("one way", "appendix.html")
    table = text[text.index('id="faults"') :]
    rows = [re.sub(r"<[^>]+>", " ", row) for row in re.findall(r"<tr>.*?</tr>", table, re.S)]
    turned = [row for row in rows if re.search(r"D\d+: turned round", row)]
    assert turned
    for row in turned:
        if "supply at its limit" in row:
            assert not re.search(r"D\d+: open", row)
    assert any("no current" in row and re.search(r"D\d+: open", row) for row in rows)
    assert "−0.0 V" not in table


def test_meter_points_lie_where_the_pins_are_with_the_board_turned_over():
    made = design("one way")
    board = made.layout.board
    relay = next(c for c in made.netlist.of_kind("relay") if c.fitted)
    svg = meter_picture(board, [relay], "points")
    drawn = {(float(x), float(y)) for x, y in re.findall(r'<circle cx="([-\d.]+)" cy="([-\d.]+)"', svg)}
    pads = [pad.at for pad in board.pads if pad.ref == relay.ref and pad.number in relay.part.pins.values()]
    wide, high = board.width_nm / 1e6, board.height_nm / 1e6
    assert len(drawn) == len(pads) == len(relay.part.pins)
    for x, y in pads:
        assert min(math.dist(at, (wide - x / 1e6, high - y / 1e6)) for at in drawn) < 0.002
    assert "seen from the solder side" in page("one way")


def test_labels_with_commas_are_told_apart():
    """In lists of the book and the summary: a comma within a label is none between two."""
    assert in_row(["moor", "hill"]) == "moor, hill"
    assert in_row(["moor, 260 m", "hill"]) == "moor, 260 m; hill"
    assert together(["moor, 260 m", "hill"], ()) == "moor, 260 m; hill"
