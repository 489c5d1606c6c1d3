"""Noise: external by ITU-R P.372, and what a lossy path in front of a receiver costs."""

import math
from collections.abc import Iterable, Mapping
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


class Stage(NamedTuple):
    """A stage of a receive path: gain, negative for a loss, and noise figure, for a loss at 290 K the loss; in dB."""

    gain_db: float
    noise_db: float


def noise_factor(stages: Iterable[Stage]) -> float:
    """The noise factor of stages in cascade, the first one first.

    Source: Friis' formula (recalled): F1 + (F2 - 1)/G1 + (F3 - 1)/(G1 G2) and so on.
    """
    factor, gain = 1.0, 1.0
    for stage in stages:
        factor += (10 ** (stage.noise_db / 10) - 1) / gain
        gain *= 10 ** (stage.gain_db / 10)
    return factor


def rise_db(external: float, stages: Iterable[Stage]) -> float:
    """How much stages in cascade raise the noise floor over the external noise alone, dB.

    Source: f of ITU-R P.372 (recalled): fa + F - 1 over fa.
    """
    return 10 * math.log10(1 + (noise_factor(stages) - 1) / 10 ** (external / 10))
