"""The relays of a stage: the relay itself, the parts about its coil, and how what works them is drawn.

Each coil has a flyback diode and bypass capacitors; a series diode and an indicator stand once on a control line,
however many coils it works.
"""

from __future__ import annotations

from collections.abc import Mapping

from boardgen.kinds.symbol import PAIR_STEPS
from boardgen.model.cell import PinNets
from boardgen.model.choice import Subject
from boardgen.model.choices import Choices
from boardgen.model.netlist import Component
from boardgen.model.sketch import Sketch
from boardgen.model.wiring import CONTROL, Use
from boardgen.request import Request
from boardgen.spec.strip import Strip
from boardgen.stages.pen import Pen, pitch, shown, spread, words_at
from boardgen.stages.uses import placed, two_pin

COIL = "coil"
"""The net between the series diode and the coil; without a diode the coil hangs on the control line itself."""
FIRST_RELAY_M, SECOND_RELAY_M = 58.88e-3, 26.67e-3
"""Length of a strip with a relay, its ends and the rails included, and of a second one: assumed, a hand layout."""
FLYBACK_DIODE, COIL_BYPASS, SERIES_DIODE = "flyback diode", "coil bypass", "series diode"
INDICATOR, INDICATOR_RESISTOR = "indicator", "indicator resistor"
"""Places of the parts about a coil and on its line."""
RELAY = Subject("", "selector", "relay")
"""What the relay of a board is chosen for: all stages have the same one."""


def coil_nets(request: Request) -> tuple[str, str]:
    """The local nets of a coil's positive and negative pin: the switched one, and coil supply or 0V."""
    switched = COIL if request.spec.protection.reverse else CONTROL
    return ("coil supply", switched) if request.low_side else (switched, "0V")


def relay_use(
    request: Request, strip: Strip, choices: Choices, stage: str, number: int, poles: Mapping[str, str]
) -> Use:
    """One relay of that stage, numbered from 1. `poles` joins the roles of its contacts, such as "pole A common"."""
    plus, minus = coil_nets(request)
    pin_nets = {"coil +": plus, "coil -": minus, **poles}
    return placed(Subject(strip.label, stage, "relay", number), choices.part("relay", RELAY), pin_nets, strip.fitted)


def coil_uses(request: Request, strip: Strip, choices: Choices, stage: str, number: int) -> list[Use]:
    """Flyback diode and bypass capacitors of the relay of that number."""
    plus, minus = coil_nets(request)
    diode_at = Subject(strip.label, stage, FLYBACK_DIODE, number)
    diode = choices.part("flyback diode", Subject("", "selector", FLYBACK_DIODE))
    uses = [placed(diode_at, diode, {"cathode": plus, "anode": minus}, strip.fitted)]
    bypass = choices.part("bypass capacitor", Subject("", "selector", COIL_BYPASS))
    for letter, net in zip("ab", [n for n in (plus, minus) if n != "0V"], strict=False):
        subject = Subject(strip.label, stage, COIL_BYPASS, number, letter)
        uses.append(two_pin(subject, bypass, bypass.value, net, "0V", strip.fitted))
    return uses


def line_uses(request: Request, strip: Strip, choices: Choices, stage: str) -> list[Use]:
    """Series diode and indicator, which stand once on a control line, however many coils it works."""
    uses: list[Use] = []
    plus, minus = coil_nets(request)
    if request.spec.protection.reverse:
        subject = Subject(strip.label, stage, SERIES_DIODE)
        part = choices.part("series diode", Subject("", "selector", SERIES_DIODE))
        pin_nets = {"anode": COIL, "cathode": CONTROL} if request.low_side else {"anode": CONTROL, "cathode": COIL}
        uses.append(placed(subject, part, pin_nets, strip.fitted))
    if request.spec.control.indicators:
        resistor = choices.part("indicator", Subject("", "selector", INDICATOR_RESISTOR))
        lamp = choices.fixed("lamp", Subject("", "selector", INDICATOR))
        at = Subject(strip.label, stage, INDICATOR_RESISTOR)
        uses.append(two_pin(at, resistor, resistor.value, plus, "indicator", strip.fitted))
        at = Subject(strip.label, stage, INDICATOR)
        uses.append(placed(at, lamp, {"anode": "indicator", "cathode": minus}, strip.fitted))
    return uses


def draw_poles(relay: Component, pen: Pen, x: float, *, mirrored: bool = False) -> None:
    """Both poles at rest in the rows of the pair, four steps wide, their commons to the left or, mirrored, the right.

    The dashed link says that both move together.
    """
    for letter, row in (("A", 0), ("B", PAIR_STEPS)):
        roles = tuple(f"pole {letter} {end}" for end in ("common", "normally open", "normally closed"))
        flip = (letter == "A") == mirrored
        pen.glyph(relay, "pole", (x + 4 if mirrored else x, row), roles, 2 if mirrored else 0, flip=flip)
        pen.text((x + 2, row + (1.1 if row else -0.5)), shown(relay, letter), "ref", relay.ref, "middle")
    pen.link((x + 2, 1), (x + 2, PAIR_STEPS - 1))


HIGH_STEPS, LOW_STEPS = 4, 8
"""From the upper rail to the lower, where the lower one is 0V and where it is switched."""


def drive(parts: tuple[Component, ...], pen: Pen, control: str) -> tuple[Sketch, float]:
    """The coils of a stage between their two rails, and the row on which the net `control` comes in from the left."""
    relays = [part for part in parts if part.part.kind == "relay"]
    coil = pen.pin_nets[relays[0].ref]
    rails = (coil["coil +"], coil["coil -"])
    high = rails[1] == "0V"
    depth, entry = (HIGH_STEPS, 0) if high else (LOW_STEPS, LOW_STEPS)
    switched = rails[0] if high else rails[1]
    start, first = _entry(parts, pen, control, switched, entry)
    if not high:
        pen.name(rails[0], 0, 0)
        first = max(first, 1 + pen.room(rails[0]))
    pen.wire((start, entry), (first, entry))
    at = upper = lower = first
    for relay in relays:
        # the body of a coil is wide
        at += 0.0 if relay is relays[0] else 1.0
        for part in _about(relay, parts):
            upper = lower = at
            _column(part, pen, at, rails, depth)
            at += 0 if _shares_column(part, high=high) else pitch(part)
    lamp = [part for part in parts if part.subject.slot in (INDICATOR, INDICATOR_RESISTOR)]
    if lamp:
        upper, lower = _lamp(lamp, pen, at, rails, depth)
    pen.wire((first if high else 0, 0), (upper, 0))
    pen.wire((first, depth), (lower, depth))
    if high:
        pen.mark("0V", first, depth)
    return pen.sketch(lower), entry


def _entry(parts: tuple[Component, ...], pen: Pen, control: str, switched: str, row: float) -> tuple[float, float]:
    """The series diode where there is one; returns where the wire goes on, and where a coil may stand."""
    diode = next((part for part in parts if part.subject.slot == SERIES_DIODE), None)
    if diode is None:
        return 0.0, 1.0
    at = 1 + spread(diode)
    pen.wire((0, row), (at, row))
    pen.across(diode, at, row, control)
    behind = at + 4 + spread(diode)
    pen.name(switched, behind + 0.2, row)
    return at + 4, behind + 1 + pen.room(switched)


def _about(relay: Component, parts: tuple[Component, ...]) -> list[Component]:
    """A relay, its flyback diode and its bypass capacitors."""
    own = [part for part in parts if part.subject.number == relay.subject.number]
    diodes = [part for part in own if part.subject.slot == FLYBACK_DIODE]
    bypasses = [part for part in own if part.subject.slot == COIL_BYPASS]
    return [relay, *diodes, *sorted(bypasses, key=lambda part: part.subject.letter)]


def _shares_column(part: Component, *, high: bool) -> bool:
    """The second bypass of a coil hangs under the first."""
    return not high and part.subject.slot == COIL_BYPASS and part.subject.letter == "a"


def _column(part: Component, pen: Pen, x: float, rails: tuple[str, str], depth: float) -> None:
    high = rails[1] == "0V"
    if part.part.kind == "capacitor" and not high:
        upper = rails[0] in pen.pin_nets[part.ref].values()
        pen.hang(part, x, 0 if upper else depth, rails[0 if upper else 1])
        return
    top = (depth - 4) / 2
    if part.part.kind == "relay":
        pen.glyph(part, "coil", (x, top), ("coil +", "coil -"), 1)
        pen.words(part, x + words_at(part), top + 1.85)
    else:
        pen.down(part, x, top, rails[0])
    pen.wire((x, 0), (x, top))
    pen.wire((x, top + 4), (x, depth))


def _lamp(lamp: list[Component], pen: Pen, x: float, rails: tuple[str, str], depth: float) -> tuple[float, float]:
    """The lamp and its resistor in series between the rails; returns how far each rail runs to them."""
    resistor = next(part for part in lamp if part.part.kind == "resistor")
    diode = next(part for part in lamp if part is not resistor)
    at = x + spread(resistor)
    between = pen.across(resistor, at, 0, rails[0])
    # clear of the resistor's value
    column = at + 5 + spread(resistor)
    pen.wire((at + 4, 0), (column, 0))
    top = (depth - 4) / 2
    pen.wire((column, 0), (column, top))
    pen.down(diode, column, top, between)
    pen.wire((column, top + 4), (column, depth))
    return at, column


def control_net(parts: tuple[Component, ...], pin_nets: PinNets) -> str:
    """The net that works the relays among these parts: before the series diode where there is one, else at the coil."""
    coil = pin_nets[next(part for part in parts if part.part.kind == "relay").ref]
    switched = coil["coil +"] if coil["coil -"] == "0V" else coil["coil -"]
    for part in parts:
        joined = set(pin_nets[part.ref].values())
        if part.subject.slot == SERIES_DIODE and switched in joined:
            (control,) = joined - {switched}
            return control
    return switched
