"""Noise: external by ITU-R P.372, and what a lossy path in front of a receiver costs."""

import math
from collections.abc import Mapping
from typing import Final, NamedTuple

from boardgen.handbook import require


class Environment(NamedTuple):
    """Median external noise c - d log f(MHz), dB above k T0 B."""

    c: float
    d: float


ENVIRONMENTS: Final[Mapping[str, Environment]] = {
    "city": Environment(76.8, 27.7),
    "residential": Environment(72.5, 27.7),
    "rural": Environment(67.2, 27.7),
    "quiet rural": Environment(53.6, 28.6),
}
"""Man-made noise. Source: reference software of ITU-R Study Group 3 for P.372 (read)."""
LOWEST_HZ: Final = 300e3
"""Below it the man-made figures are an extrapolation. Source: the same (read)."""


def external_db(environment: Environment, frequency_hz: float) -> float:
    """Median noise in dB above k T0 B that a short lossless vertical picks up.

    Raises ValueError unless the frequency is finite and above zero.

    Source: ITU-R P.372 (reference software read).
    """
    require.positive(frequency_hz=frequency_hz)
    return environment.c - environment.d * math.log10(frequency_hz / 1e6)


def floor_rise_db(external: float, loss_db: float, receiver_db: float) -> float:
    """How much a loss at 290 K in front of a receiver raises the noise floor against the signal, dB.

    `external` is the noise at the antenna's terminals above k T0 B in dB, `receiver_db` the receiver's noise figure.
    f = fa + F - 1 with F = loss times receiver.

    Raises ValueError when the loss is negative or not finite.

    Source: Friis, with f of ITU-R P.372 (recalled).
    """
    require.not_negative(loss_db=loss_db)
    outside = 10 ** (external / 10)
    receiver = 10 ** (receiver_db / 10)
    return 10 * math.log10((outside + 10 ** (loss_db / 10) * receiver - 1) / (outside + receiver - 1))


def receiver_db(external: float, noise_figure_db: float) -> float:
    """How much a receiver's own noise raises the floor over the external noise alone, dB.

    Source: Friis, with f of ITU-R P.372 (recalled): fa + F - 1 over fa.
    """
    return 10 * math.log10(1 + (10 ** (noise_figure_db / 10) - 1) / 10 ** (external / 10))


def amplified_db(
    external: float, before_db: float, noise_figure_db: float, gain_db: float, behind_db: float, receiver_db: float
) -> float:
    """The same of a loss, an amplifier behind it, a second loss and a receiver, dB.

    Raises ValueError when a loss is negative or not finite.

    Source: Friis' formula of noise factors in cascade (recalled): F1 + (F2 - 1)/G1 and so on, losses at 290 K.
    """
    require.not_negative(before_db=before_db, behind_db=behind_db)
    behind = 10 ** ((behind_db + receiver_db) / 10)
    whole = 10 ** (before_db / 10) * (10 ** (noise_figure_db / 10) + (behind - 1) / 10 ** (gain_db / 10))
    return 10 * math.log10(1 + (whole - 1) / 10 ** (external / 10))
