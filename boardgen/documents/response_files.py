"""The files that a build writes of its prediction."""

from __future__ import annotations

from boardgen.documents.plots.response_plot import response_svg
from boardgen.documents.response import touchstone_bytes
from boardgen.documents.response_table import csv_bytes
from boardgen.rf.prediction import FIRST, Prediction


def response_files(prediction: Prediction) -> dict[str, bytes]:
    """Table, plot, Touchstone and simulator deck, by name."""
    return {
        "response.csv": csv_bytes(prediction),
        "response.svg": response_svg(prediction),
        **state_files(prediction),
    }


def state_files(prediction: Prediction, selected: str | None = FIRST) -> dict[str, bytes]:
    """Touchstone and simulator deck of one state, by name."""
    name, content = touchstone_bytes(prediction, selected)
    return {"response.cir": prediction.deck(selected).encode(), name: content}
