"""labels.svg: a label for the box with a code to read, one for each end of each cable, one for each bag of parts."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Mapping, Sequence
from types import MappingProxyType

from msgspec import Struct

from boardgen.circuit.sketches import is_output
from boardgen.documents.canvas import SOFT, Canvas
from boardgen.documents.counted import counted
from boardgen.documents.letters import Face, text_width_mm, wrapped
from boardgen.documents.pictures.sheets import sheets_svg
from boardgen.model.netlist import Netlist, Port
from boardgen.purchasing.bill import Bill, BillLine

WHITE = "#FFFFFF"
"""Labels are cut out of whatever they are printed on."""
PAPERS = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}
WIDE_MM, HIGH_MM, TOP_MM = 188.0, 246.0, 18.0
"""What every row and sheet keeps to, so that it fits either paper, and where the first row begins."""
PAD_MM, LEADING = 2.0, 1.35
CODE_MM, QUIET = 40.0, 4
"""The side of the code with its quiet zone, which ISO/IEC 18004 asks to be four modules wide."""
NOT_BAGGED = ("bare board", "enclosure")
COLUMNS = 3
NONE_FED: Mapping[str, str] = MappingProxyType({})
CAUTION = "no instrument, no transceiver without a blocking capacitor"
TOP = "print at 100 %, cut along the lines, fold cable labels along the dashes"


class Words(Struct, frozen=True):
    """One line of a label."""

    text: str
    size_mm: float = 2.5
    face: Face = "sans"
    soft: bool = False


class Label(Struct, frozen=True):
    """A box of that width with its lines. A picture at the right is square and `picture_mm` high."""

    wide_mm: float
    lines: tuple[Words, ...]
    picture: Canvas | None = None
    picture_mm: float = 0.0
    folded: bool = False
    """Whether the lines stand twice, on both sides of a fold."""

    @property
    def high_mm(self) -> float:
        """The height that the lines and the picture need."""
        return max(sum(w.size_mm * LEADING for w in self.lines), self.picture_mm) + 2 * PAD_MM


def sentence(text: str, most_mm: float, size_mm: float = 2.5, *, soft: bool = False) -> tuple[Words, ...]:
    """Words in lines that are no wider."""
    return tuple(Words(line, size_mm, soft=soft) for line in wrapped(text, most_mm, size_mm))


def listed(words: Iterable[str], most_mm: float, size_mm: float = 2.5) -> tuple[Words, ...]:
    """Short words of a fixed-pitch face in lines that are no wider."""
    lines: list[str] = []
    for word in words:
        if lines and text_width_mm(f"{lines[-1]} {word}", size_mm, "mono") <= most_mm:
            lines[-1] += f" {word}"
        else:
            lines.append(word)
    return tuple(Words(line, size_mm, "mono") for line in lines)


def labels(
    netlist: Netlist,
    bill: Bill,
    digest: str,
    date: str = "",
    paper: str = "A4",
    *,
    fed: Mapping[str, str] = NONE_FED,
    in_network_colours: bool = False,
) -> str:
    """All labels as one SVG. `digest` is that of the netlist and fabrication files, as `digest_of_made` gives it.

    `fed` gives the voltage on the coax of each port that has one, by its label. A control cable `in_network_colours`
    says that it is not Ethernet.
    """
    not_ethernet = in_network_colours or bool(netlist.of_kind("jack"))
    rows = [
        [_box(netlist, digest, date, fed)],
        *_cables(netlist, fed, not_ethernet=not_ethernet),
        *_bags(bill),
    ]
    return label_sheets(netlist.title, rows, paper, TOP)


def coded(netlist: Netlist, digest: str) -> str:
    """What the code on the box says: title, revision and digest, a line each."""
    return f"{netlist.title}\nrevision {netlist.revision}\n{digest}"


def code(text: str) -> Canvas:
    """A QR code, CODE_MM wide with its quiet zone."""
    # the library takes a tenth of a second to load
    import segno

    made = segno.make_qr(text, error="m", encoding="utf-8", boost_error=False)
    modules = [list(row) for row in made.matrix_iter(border=QUIET)]
    side = CODE_MM / len(modules)
    runs = []
    for y, row in enumerate(modules):
        x = 0
        for dark, same in itertools.groupby(row, key=bool):
            length = len(list(same))
            if dark:
                runs.append(f"M{x} {y}h{length}v1h-{length}z")
            x += length
    canvas = Canvas()
    canvas.path("".join(runs), fill="#000000", class_="code", transform=f"scale({side:.5f})")
    return canvas


def _box(netlist: Netlist, digest: str, date: str, fed: Mapping[str, str]) -> Label:
    room = WIDE_MM - CODE_MM - 6
    antennas = len(_fitted(netlist)) - 1
    lines = [
        *sentence(netlist.title, room, 5.0),
        *sentence(f"revision {netlist.revision}{f', {date}' if date else ''}", room, 3.5),
        *sentence(f"{counted(antennas, 'antenna')} to one receiver. Receive only.", room, 3.5),
        *sentence("Never transmit into this box. Keep away in a thunderstorm.", room, 3.5),
        *(sentence(f"Direct voltage on the coax of {', '.join(fed)}: {CAUTION}.", room, 3.5) if fed else ()),
        *sentence("Digest of netlist and fabrication files:", room, soft=True),
        Words(" ".join(digest[n : n + 8] for n in range(0, 32, 8)), face="mono"),
        Words(" ".join(digest[n : n + 8] for n in range(32, 64, 8)), face="mono"),
        *sentence("to compare, in the built folder: sha256sum fabrication/* netlist.net | sha256sum", room, soft=True),
    ]
    return Label(WIDE_MM, tuple(lines), code(coded(netlist, digest)), CODE_MM)


def _cables(netlist: Netlist, fed: Mapping[str, str], *, not_ethernet: bool) -> list[list[Label]]:
    """A row for each cable, one label for each of its ends."""
    rows = [_ends(netlist, port, fed.get(port.strip, "")) for port in _fitted(netlist)]
    control = "control cable, not Ethernet" if not_ethernet else "control cable"
    return [*rows, [flag(control, "at the box"), flag(control, "at the supply")]]


def _fitted(netlist: Netlist) -> list[Port]:
    """The ports whose parts are on the board."""
    return [port for port in netlist.ports if netlist.component[port.ref].fitted]


def _ends(netlist: Netlist, port: Port, volts: str) -> list[Label]:
    output = is_output(port)
    name = "main coax to the receiver" if output else port.strip
    ends = (f"at the box, {port.ref}", "at the receiver" if output else "at the antenna")
    return [flag(name, end, f"{volts} on this coax: {CAUTION}" if volts else "") for end in ends]


def flag(name: str, end: str, caution: str = "") -> Label:
    """A label for one end of a cable, folded round it: what the cable is, what to beware of, which end this is."""
    wide = WIDE_MM / 2
    room = wide / 2 - 5
    lines = (*sentence(name, room, 3.5), *(sentence(caution, room) if caution else ()), *sentence(end, room, soft=True))
    return Label(wide, lines, folded=True)


def _bags(bill: Bill) -> list[list[Label]]:
    """A label for each line of the bill that comes in a bag."""
    found = [_bag(line, bill.boards) for line in bill.lines if line.part.kind not in NOT_BAGGED]
    return [found[n : n + COLUMNS] for n in range(0, len(found), COLUMNS)]


def _bag(line: BillLine, boards: int) -> Label:
    wide = round(WIDE_MM / COLUMNS, 2)
    room = wide - 5
    unit = "" if line.unit == "piece" else f" {line.unit}"
    a_board = f"{line.per_board.normalize():f}{unit} a board"
    count = a_board if boards == 1 else f"{a_board}, {boards} boards"
    there = f"{line.in_hand.normalize():f}{unit} in hand, " if line.in_hand else ""
    name, what = line.part.name, line.part.description or line.part.kind
    # what stands on the board is looked for by its value, the rest by its name
    heads = (f"{line.part.value} {line.part.kind}".strip(), name) if line.refs else (name, what)
    return Label(
        wide,
        (
            *sentence(heads[0], room, 3.5),
            *sentence(heads[1], room),
            *sentence(f"{count}; {there}{line.ordered.normalize():f}{unit} ordered", room, soft=True),
            *listed(line.refs, room),
        ),
    )


def label_sheets(title: str, rows: Sequence[Sequence[Label]], paper: str, top: str) -> str:
    """Rows on as many sheets as it takes, one under the other in one SVG. `top` stands at the head of each."""
    pages: list[list[tuple[float, Sequence[Label]]]] = [[]]
    y = 0.0
    for row in rows:
        high = max(label.high_mm for label in row)
        if pages[-1] and y + high > HIGH_MM:
            pages.append([])
            y = 0.0
        pages[-1].append((y, row))
        y += high
    wide, high = PAPERS[paper]
    drawn = [_sheet(page, (wide - WIDE_MM) / 2, f"{title}: {top}") for page in pages]
    return sheets_svg(f"{title}, labels", drawn, wide, high, paper=WHITE)


def _sheet(page: list[tuple[float, Sequence[Label]]], left: float, top: str) -> Canvas:
    canvas = Canvas()
    heads = wrapped(top, WIDE_MM, 2.5)
    for n, line in enumerate(heads):
        canvas.text(left, TOP_MM - 3 - 3.4 * (len(heads) - 1 - n), line, 2.5, colour=SOFT)
    for y, row in page:
        x, tall = left, max(label.high_mm for label in row)
        for label in row:
            _draw_label(canvas, label, x, TOP_MM + y, tall)
            x += label.wide_mm
    return canvas


def _draw_label(canvas: Canvas, label: Label, x: float, y: float, tall: float) -> None:
    canvas.rect(x, y, label.wide_mm, tall, 0.2, SOFT, class_="cut")
    starts = [x + PAD_MM]
    if label.folded:
        middle = x + label.wide_mm / 2
        starts.append(middle + PAD_MM)
        canvas.line((middle, y), (middle, y + tall), width=0.2, colour=SOFT, dashes="1 1", class_="fold")
    for start in starts:
        base = y + PAD_MM
        for words in label.lines:
            base += words.size_mm * LEADING
            colour = SOFT if words.soft else ""
            canvas.text(start, base - 0.3 * words.size_mm, words.text, words.size_mm, face=words.face, colour=colour)
    if label.picture:
        canvas.add(label.picture, x + label.wide_mm - label.picture_mm - PAD_MM, y + PAD_MM)
