"""Figures better than a model can be believed are not printed."""

import csv
import io

import pytest

from boardgen.commissioning.radio import RadioChange
from boardgen.documents.book.faults import _heard
from boardgen.documents.book.source import Source
from boardgen.documents.json.response import response_document
from boardgen.documents.page.spelling import Spelling
from boardgen.documents.plots.panels import limit_of
from boardgen.documents.plots.response import worst_and_best
from boardgen.documents.response import edge_rows, target_rows
from boardgen.documents.response_table import response_csv
from boardgen.documents.text import plain
from boardgen.documents.verdicts import credible
from boardgen.rf.prediction import Prediction
from boardgen.rf.response import CREDIBLE_DB
from tests.commissioning.bench_boards import design


@pytest.mark.parametrize(("name", "limit"), CREDIBLE_DB.items())
def test_a_figure_beyond_its_limit_is_told_as_better_than_it(name, limit):
    assert credible(name, limit, "dB") == f"{limit:.1f} dB"
    assert credible(name, limit + 0.2, "dB") == f"better than {limit:.0f} dB"
    assert credible("return loss", 120.0, "dB") == "120.0 dB"


def test_two_relays_in_series_are_judged_without_a_figure_beyond_it():
    made = design("cascaded")
    prediction = Prediction(made.request, made.choices, made.netlist)
    judged = next(one for one in prediction.judged if one.quantity == "isolation")
    assert judged.achieved > CREDIBLE_DB["isolation"]
    assert next(row for row in target_rows(prediction) if row[0] == "isolation")[1] == "> 90 dB"


def test_a_fault_is_told_in_figures_that_can_be_measured():
    made = design("cascaded")
    first, second = (strip.label for strip in made.request.antennas)
    said = _heard(Source(made, Spelling(), {}, ""), RadioChange("isolation", 1.8e6, second, first, 116.2, 57.6))
    assert (plain(said.what), said.found, said.right.words) == ("isolation at 1.8 MHz", "58 dB", "better than 90 dB")


def test_no_document_plot_or_table_has_a_figure_beyond_it():
    """Two relays in series: the table at the edges, the csv, the JSON, and the panel of the plot."""
    made = design("cascaded")
    prediction = Prediction(made.request, made.choices, made.netlist)
    limit = CREDIBLE_DB["isolation"]
    row = next(row for row in edge_rows(prediction) if row[0] == "isolation")
    assert all(cell == f"better than {limit:.0f} dB (60.0 dB to > {limit:.0f} dB)" for cell in row[1:-2])
    heading, *rows = csv.reader(io.StringIO(response_csv(prediction).decode("utf-8-sig")))
    assert max(float(cells[heading.index("isolation_db")]) for cells in rows) == limit
    document = response_document(prediction, (), (), ())
    assert max(max(c.high) for c in document.curves if c.quantity == "isolation") == limit
    assert worst_and_best(prediction, "isolation").best.max() == limit
    assert limit_of(prediction, "isolation").decided[2] == "better than 90 dB"
    assert next(t for t in document.targets if t.target == "isolation").better_than
