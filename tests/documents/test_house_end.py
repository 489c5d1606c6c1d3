"""The entry panel at the house: its parts in the bill, its sheet, and no figure where local code decides."""

from __future__ import annotations

import math
import re
from decimal import Decimal
from types import SimpleNamespace
from typing import Any

import msgspec
import pytest

from boardgen.design import Design, make_design
from boardgen.documents.book.conductors import in_words
from boardgen.documents.book.house_end import section
from boardgen.documents.book.source import Source
from boardgen.documents.page.blocks import Picture
from boardgen.documents.page.spelling import Spelling
from boardgen.request import Request
from boardgen.sizing.house_end import SHARED, guarded, house_end, least_spark_v
from boardgen.spec.load import read_text
from boardgen.station.needs import beside, of_board
from tests.catalogue.shipped import CATALOGUE
from tests.rf.rf_boards import BOARDS, FED, text

PANEL = "[house]\nentry_panel = true\n"
OWN_OUTPUT = text(["", ""], output='feed = "24 V 100 mA"\nimpedance = "50 ohm"', control="indicators = false")


def request(board: str) -> Request:
    return Request(read_text(board + PANEL), CATALOGUE)


def quantities(asked: Request) -> dict[str, float]:
    return {extra.part.key: extra.quantity for extra in house_end(asked)}


@pytest.mark.parametrize("name", sorted(BOARDS))
def test_each_line_has_one_suppressor_and_a_terminal(name: str) -> None:
    asked = request(BOARDS[name])
    found, count = quantities(asked), len(guarded(asked))
    (suppressor,) = (key for key in found if CATALOGUE.part(key).kind == "suppressor")
    (tube,) = (key for key in found if CATALOGUE.part(key).kind == "gas tube")
    assert (found[suppressor], found[tube]) == (count, 1)
    assert found["hardware-plug-in-terminal"] == math.ceil((count + asked.spec.control.returns) / 4)
    stand_off = CATALOGUE.part(suppressor).figures["stand-off voltage"].value
    assert stand_off >= asked.spec.control.supply.high
    assert CATALOGUE.part(tube).attributes["electrodes"] == "2"


def test_a_fed_main_coax_of_50_ohm_has_a_protector_that_does_not_fire_from_it() -> None:
    asked = request(OWN_OUTPUT)
    assert "hardware-coax-protector-bnc" in quantities(asked)
    # 1.2 times 24 V
    assert least_spark_v(asked) == pytest.approx(28.8)
    assert least_spark_v(request(BOARDS["default"])) is None
    assert "hardware-coax-protector-f" in quantities(request(BOARDS["default"]))


@pytest.fixture(scope="module")
def design() -> Design:
    return make_design(request(text(["", FED, ""])))


def test_the_bill_has_the_panel_where_it_is_asked_for_alone(design: Design) -> None:
    lines = {line.part.key: line for line in design.bill.lines}
    assert all(lines[key].per_board == 1 for key in SHARED)
    # of each line one suppressor on the board and one at the panel
    suppressors = [line for line in lines.values() if line.part.kind == "suppressor"]
    assert sum((line.per_board for line in suppressors), Decimal()) == 2 * len(guarded(design.request))
    bare = Request(read_text(text(["", FED, ""])), CATALOGUE)
    without = make_design(bare).bill.lines
    assert not set(SHARED) & {line.part.key for line in without}


def test_a_house_has_one_panel_for_all_boxes_of_a_station(design: Design) -> None:
    assert not set(SHARED) & {need.part.key for need in of_board(design.needs)}
    assert any(need.part.key == "hardware-plug-in-terminal" for need in of_board(design.needs))
    boxes = dict.fromkeys(("dune", "marsh"), design.request)
    plan: Any = SimpleNamespace(box=[SimpleNamespace(name=name) for name in boxes], source=SimpleNamespace(kind=""))
    steering: Any = SimpleNamespace(diodes=())
    fuse = next(iter(CATALOGUE.of_kind("cable fuse")))
    found = beside(plan, boxes, None, steering, fuse, fuse).needs
    assert {need.part.key: need.per_board for need in found if need.part.key in SHARED} == dict.fromkeys(SHARED, 1)


def test_the_sheet_has_every_line_and_no_figure_that_local_code_decides(design: Design) -> None:
    made = section(Source(design, Spelling(), {}, ""))
    assert made is not None
    words = msgspec.json.encode([block for block in made.blocks if not isinstance(block, Picture)]).decode()
    for line in guarded(design.request):
        assert in_words(line) in words
    for word in ("Local code decides", "licensed", "drip loop", "as local code asks", "pull the main coax"):
        assert word in words, word
    assert not re.search(r"\d\s*(mm2|mm²|AWG|ohm|Ω|mm)\b", words)
    assert "fires at no less than" not in words


def test_a_fed_main_coax_says_what_its_tube_must_bear() -> None:
    made = section(Source(make_design(request(OWN_OUTPUT)), Spelling(), {}, ""))
    assert made is not None
    assert "28.8 V" in msgspec.json.encode(made.blocks).decode()


def test_a_board_without_a_panel_has_no_sheet() -> None:
    bare = make_design(Request(read_text(text(["", ""])), CATALOGUE))
    assert section(Source(bare, Spelling(), {}, "")) is None
