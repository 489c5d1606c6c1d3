"""Installation notes and cautions."""

from __future__ import annotations

from boardgen.documents.book.source import Source
from boardgen.documents.page.blocks import Block, Caution, Group, Items, Section, Ticks, Words


def dangers(*, earth: bool = True) -> tuple[str, ...]:
    """What can hurt; a board without an earth has no stake at its box and no parts against surges."""
    spared = "Gas tubes and suppressors spare equipment from induced surges; nothing" if earth else "Nothing"
    stake = (
        "bond the stake of the box, the coax entering the house and the station as your local code asks. A separate "
        "stake that is not bonded can lift the whole box to a dangerous voltage."
        if earth
        else "bond the coax entering the house and the station as your local code asks."
    )
    harm = "fire tubes and burn contacts" if earth else "burn contacts"
    return (
        f"Lightning: do not work on antennas, cables or the box when thunder can be heard or is forecast. {spared} on "
        "this board survives a direct strike.",
        f"Earthing: {stake} Where the code asks for a licensed person, leave the work to one.",
        "Digging: have buried gas, electricity, water and telephone services located before you dig; dig by hand near "
        "them. Keep the depth and the distance from power cables that your local code gives.",
        "Mains: no part of this board, its cable or its supply may be joined to the mains. Use a supply with safety "
        "isolation, and a residual-current device where a mains lead goes outdoors, fitted as local code asks.",
        "Transmitting: never transmit into this board, and release all relays while a transmitter nearby is on the "
        f"air. A nearby antenna can induce tens of volts, which {harm}.",
    )


METAL = (
    "A metal box, lid or plate in the place of the polycarbonate: its connectors must be insulated from it, or it "
    "joins all braids and undoes every braid breaker."
)
CARE = (
    "Condensation: face glands downwards, leave a drip loop, fit the vent at the lowest "
    "point, and do not seal the box while "
    "it is warm and wet inside.",
    (
        "Animals chew coax and pull at wires: keep cables off the ground in conduit or bury them, "
        "and look at them each season."
    ),
    "Down-leads: keep those of different antennas a metre or more apart where they run side "
    "by side, and away from the main "
    "coax; crossing at right angles does no harm (common practice, no source).",
    "Control cable: keep it a metre away from mains cables that run beside it, and a hand's breadth from the coaxes.",
    "Fix every cable so that wind and ice pull at the clamp and not at the solder.",
    "Leave a copy of the cable sheet in the box, dry, and the box label on it.",
)
STAKE = "Drive the earth stake, run a short thick wire from it to the earth stud: straight, no coils."
STEPS = (
    "Place the box off the ground, in shade, where snow and flood do not reach.",
    STAKE,
    "Lead cables in from below, tighten the glands, fix the cables before they are joined.",
    "Join the control cable by its sheet with the fuse at the source out; measure each line from the source.",
    "Join the coaxes one at a time and listen to each before the next.",
    "Put the fuse in last. Select every antenna once and tick it here.",
)
EARTH_TO_0V = {
    "linked": "A link joins earth and 0V: the stake's potential reaches the station through the 0V conductor. With "
    "lightning or a power fault nearby the house end of the cable is at the potential of the stake. Bond both ends as "
    "the code asks.",
    "gas tube": "A tube joins earth and 0V only when several tens of volts lie between them: noise and stray currents "
    "stay out, and in a surge both are held together. Measure the tube's two pins open after a storm.",
    "open": "Nothing joins earth and 0V: the board's insulation between them must hold whatever lies between stake and "
    "station, and a surge may jump across the board. Choose it only where the code forbids a link and a tube.",
}


def section(source: Source) -> Section:
    """What can hurt, what spoils the work, and the order of doing."""
    design = source.design
    steps = tuple(step for step in STEPS if step is not STAKE or design.request.has_earth)
    blocks: list[Block] = [
        Caution("danger", dangers(earth=design.request.has_earth)),
        Group("In this order", (Ticks(steps),)),
        Group("Care", (Items((METAL, *CARE) if any(s.braid_breaker for s in design.request.strips) else CARE),)),
    ]
    if design.request.has_earth:
        blocks.append(Words(EARTH_TO_0V[design.spec.protection.earth_to_0v]))
    else:
        words = "This board has no surge protection and no earth stud: disconnect every coax before a storm."
        blocks.append(Caution("danger", (words,)))
    if any(s.feed for s in design.request.strips):
        blocks.append(Caution("caution", (FEEDS,)))
    blocks.append(
        Group("Heard when selected, last of all", (Ticks(tuple(s.label for s in source.antennas), across=True),))
    )
    do = "Read the dangers before you carry anything outdoors, then work down the list."
    return Section("installation", "Installation notes and cautions", do, tuple(blocks))


FEEDS = (
    "Direct voltage goes up some coaxes: a shorted connector in the rain trips the resettable "
    "fuse, which needs a minute "
    "without voltage to recover. Never put a fed coax on a transceiver or an instrument without a blocking capacitor."
)
