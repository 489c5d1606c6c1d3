"""What `response` prints, and every curve."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from math import inf
from typing import Annotated

from msgspec import field
from msgspec.structs import astuple

from boardgen.documents import attenuation, clamp_on, strong_signals
from boardgen.documents.json import document
from boardgen.documents.json.document import Problem, Record, says
from boardgen.documents.json.values import Influence, RestsOn, Target
from boardgen.documents.receive_path import sentences
from boardgen.documents.response import assumed_rows, notes
from boardgen.documents.verdicts import settle
from boardgen.model import problem
from boardgen.rf import outside_filter, receive_path
from boardgen.rf import strong_signals as strong
from boardgen.rf.clamp_on import Choke
from boardgen.rf.prediction import Prediction
from boardgen.rf.response import CREDIBLE_DB, credited
from boardgen.rf.sensitivity import Limit
from boardgen.rf.target_report import change
from boardgen.rf.tolerance import Tolerance
from boardgen.rf.verdict import RestsOn as Rest
from boardgen.rf.verdict import Verdict

Numbers = tuple[float, ...]


class Feed(Record, frozen=True):
    """The way of the feed of an antenna across the board."""

    strip: str
    ohm: float
    drop_v: Annotated[float, says("At the current that is asked for.")]
    parts: tuple[str, ...]


class PathPoint(Record, frozen=True):
    """The way to the receiver at a frequency."""

    frequency_hz: float
    board_db: float
    coax_db: float
    external_noise_db: Annotated[float, says("Noise at the antenna over kTB.")]
    floor_rise_db: Annotated[float, says("By how much all to the receiver raises the floor.")]
    losses_rise_db: Annotated[float, says("How much of that the losses make.")]
    shares_db: Annotated[Mapping[str, float], says("By how much less it would rise without that loss or noise.")]


class ClampOn(Record, frozen=True):
    """Cores on the coax of an antenna, by the ends that permeability and capacitance may have."""

    part: str
    turns: int
    mass_kg: float
    least_ohm: Annotated[Numbers, says("Where it is least in the band: stated, least and most.")]
    equal: Annotated[Numbers | None, says("So many equal the breaker: stated, least and most.")]
    hinders_hz: Annotated[Numbers | None, says("Where one beside the breaker makes less of it: first and last.")]
    helps_hz: Annotated[Numbers | None, says("Where it makes a tenth more of it or better: first and last.")]


class StrongSignal(Record, frozen=True):
    """A transmitter near by as the board meets it; every figure is a bound from above."""

    label: str
    frequency_hz: float
    field_v_per_m: float
    received_w: Annotated[float, says("What an antenna gives to the board.")]
    contact_peak_v: float
    spark_v: Annotated[float | None, says("From which a gas tube of a port may fire.")]
    flux_t: Annotated[float | None, says("Peak in the core that has most for its limit.")]
    flux_limit_t: float | None
    amplifier_dbm: Annotated[float | None, says("At the amplifier's input.")]
    amplifier_most_dbm: Annotated[float | None, says("Beyond which it is overdriven; null without an intercept.")]


class ThirdOrder(Record, frozen=True):
    """A third-order product of two transmitters in the amplifier, at its input."""

    twice: str
    once: str
    frequency_hz: float
    dbm: Annotated[float | None, says("Null where the amplifier is overdriven.")]
    over_noise_db: Annotated[float | None, says("Over the noise in 500 Hz.")]


class HeldTransmitter(Record, frozen=True):
    """A transmitter that a filter holds down."""

    label: str
    frequency_hz: float
    least_db: Annotated[float, says("By so much at least.")]
    wanted_db: float


class OutsideFilter(Record, frozen=True):
    """A filter behind the board that would hold transmitters outside of its band; no part of the board."""

    side: Annotated[str, says('"high-pass" or "low-pass".')]
    edge_hz: float
    ohm: float
    farads: Annotated[Numbers, says("In series in a high-pass, across the pair in a low-pass.")]
    henries: Annotated[Numbers, says("Between them: across the pair in a high-pass, in series in a low-pass.")]
    lost_hz: Annotated[float, says("The edge of the board's band on its side.")]
    lost_db: Annotated[float, says("What it loses there at most.")]
    blocks_feed: bool
    held: tuple[HeldTransmitter, ...]


class Attenuation(Record, frozen=True):
    """Steps of the attenuator at once, with any antenna selected, anywhere in the band."""

    lines: Annotated[tuple[str, ...], says("Lines that are live beside an antenna's.")]
    wanted_db: float
    added_db: Annotated[float, says("By how much the insertion loss rises, where that is furthest from wanted.")]
    added_low_db: float
    added_high_db: float
    return_loss_db: Annotated[float, says("The least at either end with them in.")]
    return_loss_low_db: float


class Island(Record, frozen=True):
    """A net without a path for direct current."""

    net: str
    found: str


class Curve(Record, frozen=True):
    """A quantity over frequency, in one state at one port."""

    quantity: str
    selected: str
    port: str
    values: Numbers
    low: Annotated[Numbers, says("Over the unknown split of the capacitance between windings.")]
    high: Numbers
    depends_on_split: bool
    credible_to_db: Annotated[float | None, says("A better figure is told as this.")]


class Yield(Record, frozen=True):
    """How many of the drawn boards meet a target."""

    target: str
    share: float | None
    worst_5_50_95: Annotated[Numbers, says("The worst of a board: 5th, 50th and 95th percentile.")]


class Spread(Record, frozen=True):
    """Where a quantity lies in the middle nine tenths of the drawn boards, over frequency."""

    quantity: str
    low: Numbers
    middle: Numbers
    high: Numbers


class DrawnBoards(Record, frozen=True):
    """Boards with parts drawn within their tolerances."""

    boards: int
    assumed_strays_drawn: bool
    together: Annotated[float, says("Share of the boards that meet every target.")]
    yields: tuple[Yield, ...]
    frequency_hz: Numbers
    bands: tuple[Spread, ...]


class Assumed(Record, frozen=True):
    """An assumed figure that the prediction rests on."""

    figure: str
    class_: Annotated[str, says("Letters of the designators that it is assumed for.")] = field(name="class")
    value_si: str
    range_si: str
    because: str


class Response(Record, frozen=True, tag_field="schema", tag="boardgen response 1"):
    """A predicted response."""

    title: str
    revision: str
    shortfalls: tuple[Problem, ...]
    warnings: tuple[Problem, ...]
    targets: tuple[Target, ...]
    feeds: tuple[Feed, ...]
    attenuation: tuple[Attenuation, ...]
    attenuation_sentences: tuple[str, ...]
    path: tuple[PathPoint, ...]
    path_sentences: tuple[str, ...]
    clamp_on: tuple[ClampOn, ...]
    clamp_on_sentences: tuple[str, ...]
    strong_signals: tuple[StrongSignal, ...]
    third_order: tuple[ThirdOrder, ...]
    outside_filters: tuple[OutsideFilter, ...]
    strong_signal_sentences: tuple[str, ...]
    islands: tuple[Island, ...]
    frequency_hz: Annotated[Numbers, says("The frequencies of every curve.")]
    loss_bound: Annotated[Numbers, says("How far a loss may be off, as a share of it.")]
    curves: tuple[Curve, ...]
    tolerance: tuple[DrawnBoards, ...]
    assumed: tuple[Assumed, ...]
    notes: tuple[str, ...]
    written: Annotated[tuple[str, ...], says("Files that were written.")]


def _path_point(point: receive_path.PathPoint) -> PathPoint:
    return PathPoint(
        point.frequency_hz, point.loss_db("board"), point.coax_db, point.external_db, point.whole_db, point.rise_db,
        {str(name): share for name, share in point.shares_db.items()},
    )  # fmt: skip


def _clamp_on(choke: Choke) -> ClampOn:
    least, equal = choke.least_ohm, choke.equal
    return ClampOn(
        choke.part.key, choke.turns, choke.mass_kg, (least.value, least.low, least.high),
        (equal.value, equal.low, equal.high) if equal else None, choke.hinders_hz, choke.helps_hz,
    )  # fmt: skip


def _strong_signal(one: strong.StrongSignal) -> StrongSignal:
    return StrongSignal(
        one.transmitter.label, one.transmitter.frequency, one.field_v_per_m, one.received_w, one.contact_v,
        one.spark_v, one.flux_t, one.flux_limit_t, one.amplifier_dbm, one.amplifier_most_dbm,
    )  # fmt: skip


def _outside_filter(one: outside_filter.OutsideFilter) -> OutsideFilter:
    held = tuple(HeldTransmitter(h.label, h.frequency_hz, h.least_db, h.wanted_db) for h in one.held)
    return OutsideFilter(
        one.side, one.edge_hz, one.ohm, one.farads, one.henries, one.lost_hz, one.lost_db, one.blocks_feed, held
    )


def response_document(
    prediction: Prediction, found: Iterable[problem.Problem], drawn: Sequence[Tolerance], written: Sequence[str]
) -> Response:
    """`drawn` are boards without and with assumed strays drawn."""
    found = tuple(found)
    response, spec = prediction.response, prediction.request.spec
    return Response(
        title=spec.title,
        revision=spec.revision,
        shortfalls=document.shortfalls(found),
        warnings=document.warnings(found),
        targets=targets_document(prediction),
        feeds=tuple(Feed(p.strip, p.ohm, p.drop_v, tuple(p.parts)) for p in prediction.feeds),
        attenuation=tuple(Attenuation(*astuple(one)) for one in prediction.attenuations),
        attenuation_sentences=attenuation.sentences(prediction),
        path=tuple(_path_point(point) for point in prediction.path),
        path_sentences=sentences(prediction),
        clamp_on=tuple(map(_clamp_on, prediction.clamp_on)),
        clamp_on_sentences=clamp_on.sentences(prediction),
        strong_signals=tuple(map(_strong_signal, prediction.strong_signals)),
        third_order=tuple(
            ThirdOrder(p.twice, p.once, p.frequency_hz, p.dbm, p.over_noise_db) for p in prediction.third_order
        ),
        outside_filters=tuple(map(_outside_filter, prediction.outside_filters)),
        strong_signal_sentences=strong_signals.sentences(prediction),
        islands=tuple(Island(net, text) for net, text in prediction.islands),
        frequency_hz=tuple(response.frequency_hz.tolist()),
        loss_bound=tuple(response.loss_bound(at) for at in range(response.frequency_hz.size)),
        curves=tuple(
            Curve(
                quantity=c.quantity,
                selected=c.selected,
                port=c.port,
                values=tuple(credited(c.quantity, c.values).tolist()),
                low=tuple(credited(c.quantity, c.low).tolist()),
                high=tuple(credited(c.quantity, c.high).tolist()),
                depends_on_split=c.split_matters,
                credible_to_db=CREDIBLE_DB.get(c.quantity),
            )
            for c in response.curves
        ),
        tolerance=tuple(_drawn(one, strays) for one, strays in zip(drawn, (False, True), strict=False)),
        assumed=tuple(Assumed(*row) for row in assumed_rows(prediction)),
        notes=tuple(notes(prediction)),
        written=tuple(written),
    )


def _drawn(one: Tolerance, strays: bool) -> DrawnBoards:
    return DrawnBoards(
        boards=one.boards,
        assumed_strays_drawn=strays,
        together=one.together,
        yields=tuple(Yield(y.target.replace("_", " "), y.share, tuple(y.worst)) for y in one.yields),
        frequency_hz=tuple(one.frequency_hz.tolist()),
        bands=tuple(
            Spread(b.quantity, tuple(b.low.tolist()), tuple(b.middle.tolist()), tuple(b.high.tolist()))
            for b in one.bands
        ),
    )


def targets_document(prediction: Prediction) -> tuple[Target, ...]:
    """The targets as a prediction judges them."""
    limits = {one.judged.target: one for one in prediction.limits}
    return tuple(_target(prediction, verdict, limits.get(verdict.judged.target)) for verdict in prediction.verdicts)


def _target(prediction: Prediction, verdict: Verdict, limit: Limit | None) -> Target:
    judged, bound = verdict.judged, verdict.bound
    most = CREDIBLE_DB.get(judged.quantity, inf)
    influences, remedies = (limit.influences, limit.remedies) if limit else ((), ())
    return Target(
        target=judged.target.replace("_", " "),
        wanted=judged.wanted,
        unit=judged.unit,
        to_hz=judged.to_hz,
        state=verdict.state,
        achieved=None if judged.achieved is None else min(judged.achieved, most),
        better_than=(judged.achieved or 0.0) > most,
        lowest=min(bound.lowest, most) if bound else None,
        highest=min(bound.highest, most) if bound else None,
        at_hz=judged.at_hz,
        selected=judged.selected,
        port=judged.port,
        margin=judged.margin,
        holds_to_hz=judged.holds_to_hz,
        rests_on=tuple(_rests_on(prediction, one) for one in verdict.rests_on),
        # a small difference: its last digits are those of the arithmetic
        limited_by=tuple(Influence(i.ref, i.name, i.value, float(f"{i.change:.5e}")) for i in influences),
        would_do=tuple(change(remedy) for remedy in remedies),
    )


def _rests_on(prediction: Prediction, one: Rest) -> RestsOn:
    unknown = one.unknown
    return RestsOn(
        figure=unknown.name,
        part=unknown.part,
        refs=unknown.refs,
        stated=unknown.value,
        lowest=unknown.low,
        highest=unknown.high,
        unit=unknown.unit,
        keeps=one.keeps,
        at_most=one.at_most,
        settle=settle(prediction, unknown),
    )
