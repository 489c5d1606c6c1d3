"""The steps of the attenuator: what they add to the loss, and the match with them in, as rows and words."""

from __future__ import annotations

from boardgen.rf.attenuation import DRAWN
from boardgen.rf.prediction import Prediction

HEADINGS = ("live", "wanted", "adds", "in built boards", "return loss", "in built boards at least")


def rows(prediction: Prediction) -> list[tuple[str, ...]]:
    """A set of live lines a row; empty without an attenuator."""
    return [
        (
            " and ".join(one.lines),
            f"{one.wanted_db:g} dB",
            f"{one.added_db:.2f} dB",
            f"{one.added_low_db:.2f} to {one.added_high_db:.2f} dB",
            f"{one.return_loss_db:.1f} dB",
            f"{one.return_loss_low_db:.1f} dB",
        )
        for one in prediction.attenuations
    ]


def sentences(prediction: Prediction) -> tuple[str, ...]:
    """What the rows say; none without an attenuator."""
    if not prediction.attenuations:
        return ()
    return (
        "added to the insertion loss with any antenna selected, anywhere in the band; a step whose line is not live "
        "adds nothing, and every target is judged with none live",
        f"built boards: {DRAWN} with resistors and all else that is assumed or has a tolerance drawn from its range",
    )


def in_short(prediction: Prediction) -> str:
    """Each step by itself in one line; "" without an attenuator."""
    return ", ".join(
        f"{one.lines[0]} adds {one.added_db:.2f} dB ({one.added_low_db:.2f} to {one.added_high_db:.2f} dB)"
        for one in prediction.attenuations
        if len(one.lines) == 1
    )
