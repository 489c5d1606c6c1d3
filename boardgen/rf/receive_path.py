"""The way from an antenna to the receiver: what each part of it costs in weak signals, and what would lessen that."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property
from typing import Literal

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from boardgen.handbook import bands, coax, noise
from boardgen.rf.response import Response
from boardgen.spec.keys import Spec

MATTERS_DB = 0.5
"""A rise of the noise floor by less than this is not heard: common practice, no source."""
SAME_IMPEDANCE = 0.1
"""Cables whose impedance differs by no more stand in for one another: 50 and 51.5 ohm, say."""
AMPLIFIER_NOISE_DB, AMPLIFIER_GAIN_DB = 4.0, 15.0
"""Of a common receive amplifier: assumed."""

LinkName = Literal["board", "main coax", "amplifier", "second coax", "receiver"]
COAXES: tuple[LinkName, ...] = ("main coax", "second coax")
Curve = tuple[tuple[float, complex], ...]


class Link(Struct, frozen=True):
    """A part of the path: its gain, negative for a loss, and its noise figure, both in dB."""

    name: LinkName
    gain_db: float
    noise_db: float

    @property
    def stage(self) -> noise.Stage:
        """As the handbook takes it."""
        return noise.Stage(self.gain_db, self.noise_db)

    @property
    def perfect(self) -> Link:
        """The same without its loss, or without its own noise."""
        return Link(self.name, max(self.gain_db, 0.0), 0.0)


class PathPoint(Struct, frozen=True, dict=True):
    """The path at one frequency: its links from the antenna on, and noise at the antenna above k T0 B, dB."""

    frequency_hz: float
    links: tuple[Link, ...]
    external_db: float

    @cached_property
    def whole_db(self) -> float:
        """By how much all links together raise the noise floor over the noise outside."""
        return noise.rise_db(self.external_db, [link.stage for link in self.links])

    @cached_property
    def own_db(self) -> float:
        """The same of receiver and amplifier alone, without any loss."""
        return replace(self, links=tuple(k.perfect if k.gain_db < 0 else k for k in self.links)).whole_db

    @property
    def rise_db(self) -> float:
        """What the losses add to that."""
        return self.whole_db - self.own_db

    @property
    def shares_db(self) -> Mapping[LinkName, float]:
        """By how much less the floor would rise with each link perfect, all others as they are."""
        return {
            link.name: self.whole_db - replace(self, links=_with(self.links, link.perfect)).whole_db
            for link in self.links
        }

    @property
    def coax_db(self) -> float:
        """The loss of both coaxes."""
        return self.loss_db("main coax") + self.loss_db("second coax")

    def loss_db(self, name: LinkName) -> float:
        """The loss of that link; 0 where there is none."""
        return sum(-link.gain_db for link in self.links if link.name == name)


def _with(links: tuple[Link, ...], other: Link) -> tuple[Link, ...]:
    return tuple(other if link.name == other.name else link for link in links)


class Improvement(Struct, frozen=True):
    """Something to change, and by how much the floor rises with it.

    Parameters
    ----------
    link : what is changed: a coax, or an amplifier that is added.
    cable : the other coax by its name; None for an amplifier at the box.
    whole_db : the rise of all that is left.
    gains_db : what weak signals win.

    """

    link: LinkName
    cable: str | None
    whole_db: float
    gains_db: float


class PathCost(Struct, frozen=True):
    """What the path costs where it costs most, and what would lessen it by something that is heard, the most first."""

    worst: PathPoint
    board_db: float
    cables: tuple[Improvement, ...]
    amplifier: Improvement | None

    @property
    def losses_matter(self) -> bool:
        """Whether the losses are heard."""
        return self.worst.rise_db >= MATTERS_DB


def fits_main_coax(spec: Spec, cable: coax.Cable) -> bool:
    """Whether the cable is of the output's impedance, as near as cables are that stand in for one another."""
    return abs(cable.impedance_ohm / (spec.output.impedance or spec.band.impedance) - 1) < SAME_IMPEDANCE


def path_points(spec: Spec, response: Response, measured: Curve | None = None) -> tuple[PathPoint, ...]:
    """The path at the band's edges and the middle of each amateur band in it; empty where no cable is named.

    Parameters
    ----------
    measured : the main coax's own attenuation, dB in 100 m at rising frequencies in Hz; it wins over the named cable

    Source: cable model of boardgen.handbook.coax, noise of ITU-R P.372 and Friis in boardgen.handbook.noise.

    """
    if spec.feeder.cable is None and measured is None:
        return ()
    points = []
    for frequency in frequencies_hz(spec):
        at = response.at(frequency)
        board = max(float(c.values[at]) for c in response.of("insertion loss"))
        points.append(path_point(spec, frequency, board, measured=measured))
    return tuple(points)


def path_point(
    spec: Spec,
    frequency_hz: float,
    board_db: float,
    antenna_gain_db: float | None = None,
    measured: Curve | None = None,
) -> PathPoint:
    """The path at one frequency behind a board of that loss.

    Parameters
    ----------
    antenna_gain_db : of one antenna, in the place of [feeder] antenna_gain
    measured : as for `path_points`

    """
    feeder = spec.feeder
    main = feeder.length * _db_per_m(spec, measured, frequency_hz)
    second = feeder.second_length * _named_db_per_m(feeder.second_cable, frequency_hz)
    gain = feeder.antenna_gain if antenna_gain_db is None else antenna_gain_db
    external = noise.external_db(noise.ENVIRONMENTS[feeder.environment], frequency_hz) + gain
    return PathPoint(frequency_hz, _links(spec, board_db, main, second), external)


def _links(spec: Spec, board_db: float, main_db: float, second_db: float) -> tuple[Link, ...]:
    """The links in their order; a second coax and an amplifier only where they are named."""
    amplifier = spec.amplifier
    links = [Link("board", -board_db, board_db), Link("main coax", -main_db, main_db)]
    if amplifier.gain is not None and amplifier.noise_figure is not None:
        at = 1 if amplifier.place == "box" else 2
        links.insert(at, Link("amplifier", amplifier.gain, amplifier.noise_figure))
    if spec.feeder.second_cable is not None:
        links.append(Link("second coax", -second_db, second_db))
    return (*links, Link("receiver", 0.0, spec.feeder.noise_figure))


def _db_per_m(spec: Spec, measured: Curve | None, frequency_hz: float) -> float:
    """Measured attenuation is a straight line between its points where both axes are logarithmic."""
    if measured is None:
        return _named_db_per_m(spec.feeder.cable, frequency_hz)
    frequencies, values = zip(*measured, strict=True)
    decibels = np.log(np.real(values))
    return float(np.exp(np.interp(np.log(frequency_hz), np.log(frequencies), decibels))) / 100


def _named_db_per_m(cable: str | None, frequency_hz: float) -> float:
    return coax.attenuation_db_per_m(coax.CABLES[cable], frequency_hz) if cable else 0.0


def path_cost(spec: Spec, points: tuple[PathPoint, ...]) -> PathCost | None:
    """What the path costs and what would help; None where no cable is named.

    Source: Friis as in `path_points`; noise figure and gain of an amplifier that is advised are assumed.
    """
    if not points:
        return None
    worst = max(points, key=lambda point: point.whole_db)
    without_coax = replace(worst, links=tuple(k.perfect if k.name in COAXES else k for k in worst.links))
    coaxes: tuple[tuple[LinkName, float], ...] = (
        ("main coax", spec.feeder.length),
        ("second coax", spec.feeder.second_length),
    )
    cables = [
        _improved(worst, _with(worst.links, Link(link, -loss, loss)), link, name)
        for link, length in coaxes
        if worst.loss_db(link)
        for name, cable in coax.CABLES.items()
        if fits_main_coax(spec, cable)
        for loss in [length * coax.attenuation_db_per_m(cable, worst.frequency_hz)]
    ]
    return PathCost(
        worst,
        without_coax.rise_db,
        tuple(sorted(filter(_is_heard, cables), key=lambda one: one.whole_db)),
        next(filter(_is_heard, _amplified(worst)), None),
    )


def with_main_coax(spec: Spec, point: PathPoint, cable: str) -> Improvement:
    """The point with another main coax; it gains less than nothing where that is worse."""
    loss_db = spec.feeder.length * coax.attenuation_db_per_m(coax.CABLES[cable], point.frequency_hz)
    return _improved(point, _with(point.links, Link("main coax", -loss_db, loss_db)), "main coax", cable)


def _amplified(point: PathPoint) -> list[Improvement]:
    """A common amplifier at the box, where there is none yet."""
    if any(link.name == "amplifier" for link in point.links):
        return []
    amplifier = Link("amplifier", AMPLIFIER_GAIN_DB, AMPLIFIER_NOISE_DB)
    return [_improved(point, (point.links[0], amplifier, *point.links[1:]), "amplifier", None)]


def _improved(point: PathPoint, links: tuple[Link, ...], link: LinkName, cable: str | None) -> Improvement:
    whole = replace(point, links=links).whole_db
    return Improvement(link, cable, whole, point.whole_db - whole)


def _is_heard(improvement: Improvement) -> bool:
    """Of what is hardly less, nobody buys another cable."""
    return improvement.gains_db >= MATTERS_DB


def frequencies_hz(spec: Spec) -> list[float]:
    """The band's edges and the middle of each amateur band between them."""
    low, high = spec.band.lowest, spec.band.highest
    middles = [sum(bands.edges(name, spec.band.region)) / 2 for name in bands.NAMES]
    return sorted({low, high, *(f for f in middles if low < f < high)})
