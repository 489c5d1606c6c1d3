"""Relays with two changeover contacts.

What passes an open contact is its through capacitance: the one that a maker's curve of isolation shows. The capacitance
that sheets state between open contacts is a limit, or holds what goes by way of coil and springs: 4 to 12 times more.
"""

from __future__ import annotations

from collections.abc import Iterator

from msgspec.structs import replace

from boardgen.direct_current.elements import OPEN
from boardgen.direct_current.elements import Element as DirectElement
from boardgen.kinds.direct_current import DirectPart, Ohms
from boardgen.kinds.fault import Fault, WholePart, opened, shorted
from boardgen.kinds.kind import Appearance, Assembly, Kind, KnownFigure, Mark, Paths, assumed, needed
from boardgen.kinds.radio import RadioPart
from boardgen.kinds.symbol import ACROSS, Symbol
from boardgen.model.part import Part
from boardgen.rf_network.element import Element, Parameter

COIL = ("coil +", "coil -")
POLES = "AB"
CONTACTS = tuple(f"pole {pole} {end}" for pole in POLES for end in ("common", "normally closed", "normally open"))
OPEN_CONTACT, THROUGH = "open contact capacitance", "through capacitance"
CONTACT_INDUCTANCE = "contact inductance"
REST_STEPS = 2
"""From the row of a pole to that of its normally closed contact."""


def _radio(part: RadioPart) -> Iterator[Element]:
    """Coil, and the capacitance from pole to pole and from each contact to the coil's two pins."""
    yield from part.between("resistor", COIL, part.named("resistance", "coil resistance"))
    poles = part.capacitance("pole to pole capacitance")
    yield from part.between("capacitance", ("pole A common", "pole B common"), poles)
    moving = part.capacitance("coil to contact capacitance", 0.5, "coil pin to contact capacitance")
    still = part.capacitance("coil to fixed contact capacitance", 0.5, "coil pin to fixed contact capacitance")
    for pole in POLES:
        for coil in COIL:
            yield from part.between("capacitance", (f"pole {pole} common", coil), moving)
            for end in ("normally closed", "normally open"):
                yield from part.between("capacitance", (f"pole {pole} {end}", coil), still)


def contact_parameters(part: RadioPart) -> tuple[Parameter, Parameter, Parameter]:
    """Resistance and inductance of a closed contact, and the capacitance through an open one."""
    return (
        part.named("resistance", "contact resistance"),
        part.named("inductance", CONTACT_INDUCTANCE),
        _through_open(part),
    )


def _through_open(part: RadioPart) -> Parameter:
    """The through capacitance, told with the sheet's limit; a user's own meter counts before what is not measured."""
    through, limit = part.capacitance(THROUGH), part.component.part.figure(OPEN_CONTACT)
    if limit is not None and limit.standing == "measured" and through.standing != "measured":
        return part.capacitance(OPEN_CONTACT)
    if limit is None:
        return through
    beside = f"{limit.value * 1e12:g} pF across an open contact: {limit.source}"
    return replace(through, source=f"{through.source}; {beside}")


def contact_ohm(relay: Part) -> Ohms:
    """A closed contact; a maker gives the most."""
    known = relay.figures.get("contact resistance", RELAY.assumed["contact resistance"])
    return Ohms(min(known.least, 0.02), known.value, known.most, known.standing)


def _direct_current(part: DirectPart) -> Iterator[DirectElement]:
    """Coil and contacts, of which those open in this state have no end of resistance."""
    yield from part.resistance(COIL, part.figure("coil resistance"), "coil")
    closed, opened = contact_ohm(part.component.part), Ohms(OPEN, OPEN, OPEN, "computed")
    for pole in POLES:
        for throw, made in (("normally closed", not part.operated), ("normally open", part.operated)):
            roles = (f"pole {pole} common", f"pole {pole} {throw}")
            yield from part.resistance(roles, closed if made else opened, f"{pole} {throw}")


def _faults(part: WholePart) -> Iterator[Fault]:
    """Coil or joints open, and contacts that stick or do not make."""
    coil, *contacts = part.elements
    yield part.fault("missing, or no pin soldered", opened(coil), *map(opened, contacts))
    yield Fault("coil open, or a dry joint at it", (part.component.ref,), (opened(coil),), at_rest=True)
    named = {contact.name: contact for contact in contacts}
    for pole in POLES:
        rest, work = (named.get(f"{part.component.ref} {pole} {end}") for end in ("normally closed", "normally open"))
        stuck = [opened(rest)] if rest else []
        never = [opened(work)] if work else []
        refs = (part.component.ref,)
        pulled_in = (*stuck, *([shorted(work)] if work else []))
        yield Fault(f"contact of pole {pole} stuck in the pulled-in place", refs, pulled_in, apart=True)
        yield Fault(f"contact of pole {pole} does not make, or a dry joint at its pin", refs, tuple(never), apart=True)


RELAY = Kind(
    name="relay",
    figures={
        "coil voltage": needed("V"),
        "coil resistance": needed("ohm"),
        "must operate": needed("V"),
        "must release": KnownFigure("V"),
        "maximum coil voltage": needed("V"),
        "coil power": KnownFigure("W"),
        "thermal resistance": KnownFigure("K/W"),
        OPEN_CONTACT: KnownFigure("F"),
        THROUGH: KnownFigure("F"),
        "pole to pole capacitance": KnownFigure("F"),
        "coil to contact capacitance": KnownFigure("F"),
        "coil to fixed contact capacitance": KnownFigure("F"),
        "contact resistance": KnownFigure("ohm"),
        CONTACT_INDUCTANCE: KnownFigure("H"),
        "operate time": KnownFigure("s"),
        "release time": KnownFigure("s"),
        "lowest temperature": KnownFigure("degC"),
        "highest temperature": KnownFigure("degC"),
    },
    letter="K",
    pins=(*COIL, *CONTACTS),
    signal_pins=CONTACTS,
    may_be_free=tuple(f"pole {pole} normally closed" for pole in POLES),
    symbols={
        # positive, negative
        "coil": Symbol(
            ACROSS, "M0 0L1.3 0M2.7 0L4 0", "M1.3 -1.1L2.7 -1.1L2.7 1.1L1.3 1.1Z", box=(1.3, -1.1, 2.7, 1.1)
        ),
        # common, normally open, normally closed; at rest
        "pole": Symbol(
            ((0, 0), (4, 0), (4, REST_STEPS)),
            "M0 0L1 0M4 0L3 0M4 2L3 2",
            "M1 0L3.2 2.2M3 0L3 0.4M3 2L3 2.4",
            box=(0.8, 0, 3.2, 2.4),
        ),
    },
    # its contacts are joined by the state of the board
    paths=Paths(resistive=(COIL,)),
    assumed={
        "contact resistance": assumed(80e-3, "ohm", 20e-3, 150e-3, "between the 50 and 100 mohm that makers allow"),
        CONTACT_INDUCTANCE: assumed(8e-9, "H", 5e-9, 12e-9, "about 10 mm of lead and spring"),
        THROUGH: assumed(
            0.15e-12, "F", 0.08e-12, 0.3e-12, "curves of isolation of other makers of this size give 0.1 to 0.23 pF"
        ),
        "pole to pole capacitance": assumed(1e-12, "F", 0.2e-12, 2e-12, "other makers of this size say 0.2 to 2 pF"),
        "coil to contact capacitance": assumed(1e-12, "F", 0.9e-12, 4e-12, "other makers of this size say 0.9 to 4 pF"),
        "coil to fixed contact capacitance": assumed(0.5e-12, "F", 0.2e-12, 2e-12, "half of the moving contact's"),
    },
    ruined_by="order code",
    radio=_radio,
    direct_current=_direct_current,
    faults=_faults,
    assembly=Assembly(
        "Relays",
        assumed_height_nm=6_000_000,
        note="Keep the pins cool: two seconds a pin. Test each relay with a meter before it goes in.",
        mark=Mark("coil +", "", "coil +"),
    ),
    appearance=Appearance(colour="#D8D3C4", marked="pin 1"),
)
