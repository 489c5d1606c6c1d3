"""Checks between keys: each looks at one subject and names every key its verdict rests on."""

from __future__ import annotations

from collections.abc import Iterator

from boardgen.spec import quantity
from boardgen.spec.faults import Fault, KeyPath
from boardgen.spec.keys import Spec
from boardgen.spec.strip import Strip, strips
from boardgen.tables.shown import shown

_CLASS = 0.25
"""Voltages within this share of each other are of one class: 12 V and 13.8 V are, 12 V and 24 V are not."""

MOST_AT_REST = 8
"""More changeover contacts in series than seven would cost more loss than a bus."""


def inconsistencies(spec: Spec) -> list[Fault]:
    """The faults of a specification whose keys are each in order."""
    return [
        fault
        for check in (
            _band,
            _temperatures,
            _returns,
            _labels,
            _fitted,
            _impedances,
            _feeds,
            _rest,
            _targets,
            _measured,
            _amplifier,
            _transmitters,
        )
        for fault in check(spec)
    ]


def _band(spec: Spec) -> Iterator[Fault]:
    low, high = (quantity.format(edge, "Hz") for edge in (spec.band.lowest, spec.band.highest))
    if spec.band.lowest >= spec.band.highest:
        yield Fault(
            "S020 empty band",
            (("band", "lowest"), ("band", "highest"), ("band", "region")),
            f"lowest is {low} and highest is {high}",
            "lowest must be below highest",
        )


def _targets(spec: Spec) -> Iterator[Fault]:
    lowest = spec.band.lowest
    for name, target in spec.targets:
        if target.to_hz is not None and target.to_hz < lowest and name in spec.targets.model_fields_set:
            yield Fault(
                "S035 target below the band",
                (("targets", name), ("band", "lowest")),
                f"it is wanted up to {quantity.format(target.to_hz, 'Hz')}, the band begins at "
                f"{quantity.format(lowest, 'Hz')}",
                "name a frequency within the band, or none for the whole band",
            )


def _amplifier(spec: Spec) -> Iterator[Fault]:
    """An amplifier that has a place has both figures, and one with figures a place."""
    amplifier = spec.amplifier
    for name, figure in (("gain", amplifier.gain), ("noise_figure", amplifier.noise_figure)):
        if (figure is None) != (amplifier.place == "none"):
            found = f"{name} is {'absent' if figure is None else 'given'} and place is {shown(amplifier.place)}"
            wanted = 'write gain and noise_figure of its sheet beside place = "box" or "house", or none of the three'
            yield Fault("S044 amplifier", (("amplifier", name), ("amplifier", "place")), found, wanted)
    if amplifier.intercept is not None and amplifier.place == "none":
        found, wanted = "intercept is given and place is none", 'write place = "box" or "house" too, or leave it out'
        yield Fault("S044 amplifier", (("amplifier", "intercept"), ("amplifier", "place")), found, wanted)


def _transmitters(spec: Spec) -> Iterator[Fault]:
    """Each is told by its own label."""
    seen: dict[str, int] = {}
    for at, one in enumerate(spec.transmitter):
        first = seen.setdefault(one.label.casefold(), at)
        if first != at:
            keys: tuple[KeyPath, ...] = (("transmitter", at, "label"), ("transmitter", first, "label"))
            found = f"{shown(one.label)} is also the label of transmitter {first + 1}"
            yield Fault("S045 transmitter", keys, found, "give each its own label; capitals do not count")


def _measured(spec: Spec) -> Iterator[Fault]:
    """What was measured belongs to the part that [parts] names: any other would be predicted with it."""
    measured, parts = spec.measured, spec.parts
    relay, transformer = measured.relay.model_fields_set, measured.transformer.model_fields_set
    pinned: tuple[tuple[KeyPath, bool, str, str | None, str], ...] = (
        (("measured", "core"), measured.core is not None, "core", parts.core, "output_core"),
        (("measured", "choke"), measured.choke is not None, "choke", parts.choke, "supply_choke"),
        (("measured", "relay"), bool(relay), "relay", parts.relay, ""),
        (("measured", "transformer"), bool(transformer), "core", parts.core, ""),
    )
    for path, given, role, key, also in pinned:
        other = getattr(parts, also) if also else None
        if given and (key is None or other not in (None, key)):
            found = f"no {role} is pinned" if key is None else f"parts.{also} is another {role} than parts.{role}"
            wanted = f"a measurement belongs to one {role}: write its key under [parts] as {role}"
            yield Fault("S036 measured part", (path, ("parts", role)), found, wanted)
    if transformer and measured.transformer.turns is None:
        wanted = 'say which winding was measured, port winding first: turns = "4:4"'
        yield Fault("S037 measured turns", (("measured", "transformer", "turns"),), "the turns are absent", wanted)
    curves = [name for name in ("isolation", "coil_isolation") if name in relay]
    if curves and measured.relay.isolation_source is None:
        wanted = "say whose curve it is, of which relay, and on what board it was measured"
        yield Fault(
            "S038 source of a curve",
            (("measured", "relay", "isolation_source"), ("measured", "relay", curves[0])),
            "isolation_source is absent",
            wanted,
        )


def _temperatures(spec: Spec) -> Iterator[Fault]:
    cold, hot = (quantity.format(value, "degC") for value in (spec.control.coldest, spec.control.hottest))
    if spec.control.coldest >= spec.control.hottest:
        yield Fault(
            "S021 empty temperature range",
            (("control", "hottest"), ("control", "coldest")),
            f"hottest is {hot} and coldest is {cold}",
            "hottest must be above coldest",
        )


def _returns(spec: Spec) -> Iterator[Fault]:
    control = spec.control
    if control.returns >= control.conductors * control.cables:
        yield Fault(
            "S022 no conductor left",
            (("control", "returns"), ("control", "conductors"), ("control", "cables")),
            f"{control.returns} returns take all {control.conductors * control.cables} conductors",
            "leave at least one conductor to select an antenna",
        )


def _labels(spec: Spec) -> Iterator[Fault]:
    by_label: dict[str, int] = {}
    by_name: dict[str, int] = {}
    for at, strip in enumerate(strips(spec)[:-1]):
        keys: tuple[KeyPath, ...] = (("antenna", at, "label"),)
        first = by_label.setdefault(strip.label.casefold(), at)
        namesake = by_name.setdefault(strip.name.casefold(), at)
        if first != at:
            yield Fault(
                "S023 label used twice",
                (*keys, ("antenna", first, "label")),
                f"{shown(strip.label)} is also the label of antenna {first + 1}",
                "give each antenna its own label; capitals do not count",
            )
        elif namesake != at:
            yield Fault(
                "S024 name used twice",
                (*keys, ("antenna", namesake, "label")),
                f"{shown(strip.label)} becomes {shown(strip.name)} in plain letters, as antenna {namesake + 1} does",
                "choose labels that differ in plain letters too",
            )


def _fitted(spec: Spec) -> Iterator[Fault]:
    if not any(antenna.fitted for antenna in spec.antenna):
        keys = tuple(("antenna", at, "fitted") for at in range(len(spec.antenna)))
        yield Fault("S025 nothing fitted", keys, "no antenna is fitted", "leave at least one antenna fitted")


def _impedances(spec: Spec) -> Iterator[Fault]:
    for at, strip in enumerate(strips(spec)):
        if strip.impedance != spec.band.impedance and not strip.braid_breaker:
            yield _unmatched(spec, strip, ("output",) if strip.is_output else ("antenna", at))


def _rest(spec: Spec) -> Iterator[Fault]:
    """A port that is through at rest: the first one, every other with one changeover relay."""
    label = spec.switching.rest
    if label is None:
        return
    key: KeyPath = ("switching", "rest")
    first = spec.antenna[0].label
    if label != first:
        labels = [antenna.label for antenna in spec.antenna]
        text = f"{shown(label)} is not the first port" if label in labels else f"no antenna is called {shown(label)}"
        yield Fault("S029 rest port", (key, ("antenna", 0, "label")), text, f"put it first, or name {shown(first)}")
    if not 2 <= len(spec.antenna) <= MOST_AT_REST:
        yield Fault(
            "S040 ports of a changeover",
            (key, ("antenna",)),
            f"there are {len(spec.antenna)} antennas",
            f"a board with a port at rest has 2 to {MOST_AT_REST}",
        )
    if spec.switching.relays_in_series != 1:
        yield Fault(
            "S041 changeover in series",
            (key, ("switching", "relays_in_series")),
            "two relays in series cannot lead a port through at rest",
            "set relays_in_series = 1, or leave rest out",
        )
    idle: list[KeyPath] = [("antenna", at, "idle") for at, a in enumerate(spec.antenna) if a.idle == "terminated"]
    if "idle" in spec.switching.model_fields_set and spec.switching.idle == "terminated":
        idle.append(("switching", "idle"))
    if idle:
        text = "a changeover relay has no contact left for a termination"
        yield Fault("S032 changeover terminated", (key, *idle), text, 'set idle = "open", or leave rest out')
    if spec.antenna[0].feed and spec.switching.feed_lines == "with selection":
        text = "the feed of the port at rest would follow a select line that it does not have"
        yield Fault(
            "S034 feed of the port at rest",
            (key, ("switching", "feed_lines"), ("antenna", 0, "feed")),
            text,
            'set feed_lines to "own" or "shared"',
        )
    unfitted: list[KeyPath] = [("antenna", at, "fitted") for at, a in enumerate(spec.antenna) if not a.fitted]
    if unfitted:
        text = "the port at rest reaches the output through the relay of each other port"
        yield Fault("S033 changeover not fitted", (key, *unfitted), text, "leave every antenna fitted")


def _unmatched(spec: Spec, strip: Strip, table: KeyPath) -> Fault:
    here, band = (quantity.format(value, "ohm") for value in (strip.impedance, spec.band.impedance))
    return Fault(
        "S026 impedance not matched",
        (
            (*table, "impedance"),
            (*table, "braid_breaker"),
            ("band", "impedance"),
            ("switching", "braid_breakers"),
        ),
        f"{shown(strip.label)} is {here}, the band {band}, and no braid breaker is there to transform it",
        f"set braid_breaker = true there, or impedance to {band}",
    )


def _feeds(spec: Spec) -> Iterator[Fault]:
    fed = [at for at, antenna in enumerate(spec.antenna) if antenna.feed]
    if spec.switching.feed_lines != "with selection" or not fed:
        return
    lines: KeyPath = ("switching", "feed_lines")
    if spec.control.drive != "high side":
        yield Fault(
            "S027 feed needs high-side drive",
            (lines, ("control", "drive"), *(("antenna", at, "feed") for at in fed)),
            "the feeds follow the selection, but the drive is on the low side",
            'set drive = "high side" in [control], or feed_lines to "own" or "shared"',
        )
    for at in fed:
        feed = spec.antenna[at].feed
        if feed and abs(feed.voltage - spec.control.coil) > _CLASS * spec.control.coil:
            voltage, coil = (quantity.format(value, "V") for value in (feed.voltage, spec.control.coil))
            yield Fault(
                "S028 feed unlike coil",
                (("antenna", at, "feed"), lines, ("control", "coil")),
                f"the feed of {voltage} follows the selection, whose coils take {coil}",
                f'ask for a feed near {coil}, or set feed_lines to "own" or "shared"',
            )
