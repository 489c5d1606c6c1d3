"""The entry panel at the house: what stands where, in what order, and what only local code can say."""

from __future__ import annotations

from boardgen.documents.book.conductors import in_words
from boardgen.documents.book.source import STANDINGS, Source
from boardgen.documents.identity import named
from boardgen.documents.page.blocks import Block, Caution, Column, Group, Picture, Section, Table, Terms, Ticks
from boardgen.documents.pictures.house_end import house_end_picture
from boardgen.documents.text import Text, Value
from boardgen.model.figure import Figure
from boardgen.model.part import Part
from boardgen.sizing.house_end import family, guarded, least_spark_v, suppressor, tube
from boardgen.spec import quantity

CODE = (
    "Local code decides: where the panel may be, how it is bonded to the earth of the house, what size and length its "
    "earth wire has, whether another electrode is needed and how that is bonded. None of this is given here, for it "
    "differs from place to place. Read your electrical code, and have a licensed person do what it leaves to one.",
    "One earth for all: an electrode that is not bonded to that of the house leads a surge through the station. Bond "
    "every one as the code asks.",
    "Nothing here survives a direct strike or makes it safe to be near. The disconnect is the surest guard: use it "
    "before a storm, never during one.",
)
STEPS = (
    "Find where cables come in near the earth of the house, and ask what the code wants there.",
    "Screw the panel outside, or just inside, on the way of the cables; the earth bar on it, metal to metal.",
    "Lead every cable upwards into its gland from below: a drip loop hangs a hand's breadth lower than the entry, so "
    "that water falls off before it.",
    "Bolt the protector of the main coax through the panel, bare metal around its nut, antennas' side outside.",
    "Put the control cable onto its plug-in terminals, a suppressor from each line to 0V, on leads as short as they "
    "can be.",
    "Put the gas tube from 0V to the earth bar. Where the supply joins its minus to the earth of the house, 0V is "
    "bonded there already and the tube does nothing: the installation notes say what that means at the board.",
    "Bond the bar to the earth of the house as the code asks: short, straight, without coils, not through any cable.",
    "Keep cables from the panel to the station apart from those that come in: a surge jumps across a bundle.",
    "Label the plugs, pull both, and measure: no line has less than some kilohms to the bar with its plug out.",
)
DISCONNECT = (
    "Before a storm, or when nobody is at home for long: pull the main coax at the protector and the plug of the "
    "control cable, and lay both ends away from everything in the house. Unplug supply and receiver too.",
    "After a storm with thunder near by: look at the tube of the protector and measure each suppressor out of its "
    "terminal. A tube that is dark or bulged, and a suppressor of less than a kilohm either way, is exchanged.",
)


def section(source: Source) -> Section | None:
    """The sheet of the house end; none where no panel is asked for."""
    request = source.design.request
    if not request.spec.house.entry_panel:
        return None
    picture = house_end_picture(family(request.output), len(guarded(request)))
    shows = (
        "Main coax and control cable come from the box, hang in a drip loop and go up into the panel. On the panel "
        "stand the coax protector, the plug-in terminals with suppressors to 0V, and the gas tube from 0V, all on one "
        "earth bar, bonded to the earth of the house as local code asks. Receiver and supply follow indoors."
    )
    blocks: list[Block] = [
        Caution("danger", CODE),
        Picture(picture, shows, "House end, not to scale", paper_mm=150.0),
        Terms(_facts(source)),
        _lines(source),
        Group("In this order", (Ticks(STEPS),)),
        Group("Disconnect", (Ticks(DISCONNECT),)),
    ]
    do = "Read what your code asks first; then build the panel by this sheet before cables come into the house."
    return Section("house-end", "House end: entry panel", do, tuple(blocks))


def _facts(source: Source) -> tuple[tuple[str, Text], ...]:
    request = source.design.request
    least_v = least_spark_v(request)
    coax: tuple[str | Value, ...] = (f"{family(request.output)} protector with exchangeable gas tube (assumed)",)
    if least_v is not None:
        coax = (
            *coax,
            ", which passes direct current and fires at no less than ",
            Value(named("house end", "least spark-over"), quantity.format(least_v, "V", 3)),
            ", for the main coax is fed",
        )
    guard, gap = suppressor(request), tube(request)
    return (
        ("main coax", coax),
        ("each line to 0V", (f"{guard.name}, stands off ", *_figure(guard, "stand-off voltage"))),
        ("0V to earth bar", (f"{gap.name}, fires at ", *_figure(gap, "spark-over voltage"))),
        ("bar to earth", "as local code asks: no size is given here"),
        (
            "standing",
            "arrangement by common practice, no source; parts without a maker are suggestions (assumed)",
        ),
    )


def _figure(part: Part, name: str) -> tuple[Value | str, ...]:
    figure: Figure = part.figures[name]
    words = quantity.format(figure.value, figure.unit, 3)
    return Value(named(part.name, name), words), f" ({STANDINGS[figure.standing]})"


def _lines(source: Source) -> Table:
    """A line a row with its terminal at the panel; the return last."""
    request = source.design.request
    rows: list[tuple[Text, ...]] = [
        (Value(named("house end", "terminal", line.net), str(number)), in_words(line), "suppressor to 0V")
        for number, line in enumerate(guarded(request), 1)
    ]
    first = len(rows) + 1
    rows += [
        (Value(named("house end", "terminal", f"0V {number}"), str(first + number)), "0V", "gas tube to the bar, once")
        for number in range(request.spec.control.returns)
    ]
    columns = (Column("Terminal", "number"), Column("Line"), Column("Guard"))
    return Table("Terminals of the panel", columns, rows)
