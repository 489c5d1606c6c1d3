"""The files that a build writes of its prediction."""

from __future__ import annotations

from boardgen.documents.response import csv_bytes, touchstone_bytes
from boardgen.documents.response_plot import response_svg
from boardgen.rf.prediction import Prediction


def response_files(prediction: Prediction) -> dict[str, bytes]:
    """Table, plot, Touchstone and simulator deck, by name."""
    name, content = touchstone_bytes(prediction)
    return {
        "response.csv": csv_bytes(prediction),
        "response.svg": response_svg(prediction),
        "response.cir": prediction.deck().encode(),
        name: content,
    }
