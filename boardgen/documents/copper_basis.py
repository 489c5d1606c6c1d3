"""What a prediction knows of the copper, and what it leaves out, in sentences."""

from __future__ import annotations

from boardgen.rf.prediction import Prediction

LAID = (
    "Copper: its capacitances (good to 25 %) and the inductance of the way from port to output (half to 1.2 times) are "
    "those of this board's layout; the capacitance between wound parts of neighbouring strips is estimated from their "
    "bodies (0.3 to 2 times). Left out: magnetic coupling of open chokes, coupling of other bodies, common-mode "
    "inductance of the copper."
)
ASSUMED = (
    "Copper: this prediction has no layout. Its capacitances and inductance are assumed, and neighbours do not couple; "
    "build lays the board out and predicts again with its copper."
)


def basis(prediction: Prediction) -> str:
    """Whether the copper is that of a layout or assumed."""
    return ASSUMED if prediction.parasitics is None else LAID


def in_short(prediction: Prediction) -> str:
    """The same in a few words."""
    return (
        "assumed in the prediction: nothing is laid out" if prediction.parasitics is None else "predicted as laid out"
    )


def not_credible(prediction: Prediction, limit_db: float) -> str:
    """Why a figure better than the limit is not to be believed."""
    why = "nothing is laid out" if prediction.parasitics is None else "bodies of parts couple in ways not modelled"
    return f"beyond {limit_db:.0f} dB not credible: {why}"
