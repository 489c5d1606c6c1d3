"""A port that is through at rest has no relay: what the commissioning sheet and fault finding say of it."""

import pytest

from boardgen.commissioning.bench import Bench
from boardgen.commissioning.strip_readings import StripReadings
from boardgen.design import make_design
from boardgen.documents.book import cable, commissioning, faults, values
from boardgen.documents.book.source import Source
from boardgen.documents.page.blocks import Group, Table
from boardgen.documents.page.spelling import Spelling
from boardgen.request import Request
from boardgen.spec.load import read_text
from tests.catalogue.shipped import CATALOGUE

PORTS = "\n".join(f'[[antenna]]\nlabel = "{label}"' for label in ("dune", "heath", "wood"))
SPEC = f'[band]\nlowest = "1.8 MHz"\nhighest = "10.15 MHz"\n{PORTS}\n[switching]\nrest = "dune"\n'


@pytest.fixture(scope="module")
def source():
    return Source(
        make_design(Request(read_text(SPEC + '[targets]\nisolation = "40 dB"\n', "selector.toml"), CATALOGUE)),
        Spelling(),
        {},
        "",
    )


def tables(blocks):
    """Every table by its title, those in groups too."""
    for block in blocks:
        if isinstance(block, Table):
            yield block
        elif isinstance(block, Group):
            yield from tables(block.blocks)


def test_it_is_read_with_nothing_selected_only(source):
    bench = Bench(source.design.request, source.design.choices, source.design.netlist)
    dune, heath = (StripReadings(bench, strip) for strip in source.design.request.antennas[:2])
    assert [state.antenna for state in dune.states] == [None]
    assert [state.antenna for state in heath.states] == [None, "heath"]
    assert dune.powered == ()


def test_the_sheet_asks_for_no_reading_that_cannot_be_made(source):
    found = {table.caption: table for table in tables(commissioning.section(source).blocks)}
    heads = {title: [column.heading for column in table.columns] for title, table in found.items()}
    assert heads["Expected resistance, dune"] == ["Between", "What", "Nothing selected"]
    assert heads["Expected resistance, heath"][-1] == "heath selected"
    assert heads["Expected resistance, output and common lines"][-1] == "heath selected"
    assert "dune selected" not in str(commissioning.section(source))
    assert "heath selected" in str(commissioning.section(source))


def test_fault_finding_sees_what_all_share_with_a_port_that_has_a_relay(source):
    section = faults.section(source)
    titles = [block.title for block in section.blocks if isinstance(block, Group)]
    assert "On what all antennas share, seen with heath" in titles
    assert "dune selected" not in str(section)


def test_its_state_is_not_one_that_a_relay_is_judged_in(source):
    book = str(cable.section(source))
    assert 'worst state "heath"' in str(values.section(source))
    assert "Position 1 is off: nothing energised, dune is through." in book
