"""The commands with their options and help texts; what each does is imported when it is called.

The work stands apart from the signatures so that reading the command line loads nothing else.
"""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

from cyclopts import App, Parameter

from boardgen import __version__
from boardgen.cli.options import Data, OrderOverride, Override, Purchase, SizingData, SizingOverride, Talk

HELP = """Designs relay switch boards for low-band receive antennas from one small specification.

Exit codes: 0 done and every target met; 1 done, but something falls short; 2 wrong use or bad input, nothing written;
3 a fault of the program."""

app = App(
    name="boardgen",
    help=HELP,
    version=__version__,
    help_format="plaintext",
    group_parameters="Options",
    suppress_keyboard_interrupt=False,
)
_ANY_ORDER = SizingOverride()
_NO_PRICES = SizingData()


@app.command
def start(file: Path, /, *, ways: int | None = None, template: str | None = None, talk: Talk = Talk()) -> int:
    """Write a commented specification, never over an existing file.

    Parameters
    ----------
    file: Path
        The file to write.
    ways: int
        How many antennas, 1 to 16; default as in the template.
    template: str
        four-way, eight-way, four-way-cascaded, four-way-feeds, four-way-472-khz or two-way; default what suits;
        or two-boxes or three-boxes, a station: its plan, and the specifications of its boxes beside it.

    """
    from boardgen.cli.start import run

    return run(file, ways, template, talk)


@app.command
def values(
    spec: Path,
    /,
    *,
    override: SizingOverride = _ANY_ORDER,
    data: SizingData = _NO_PRICES,
    talk: Talk = Talk(),
) -> int:
    """Size the board that build would make: each value, what it needed, what was chosen, its margin, and why.

    Parameters
    ----------
    spec: Path
        The specification, a TOML file.

    """
    from boardgen.cli.values import run

    return run(spec, override, data, talk)


@app.command
def response(
    spec: Path,
    /,
    *,
    boards: int = 0,
    selected: str | None = None,
    out: Path | None = None,
    override: SizingOverride = _ANY_ORDER,
    data: SizingData = _NO_PRICES,
    talk: Talk = Talk(),
) -> int:
    """Predict loss, return loss, isolation and common mode of the board that build would make; judge the targets.

    Parameters
    ----------
    spec: Path
        The specification, a TOML file.
    boards: int
        Draw so many boards from the tolerances of their parts, and report the yield.
    selected: str
        The antenna that is selected in the files of --out, or "none"; by default the first.
    out: Path
        Write that state as a Touchstone file and a SPICE netlist into OUT/<title> <antenna>/.

    """
    from boardgen.cli.response import run

    return run(spec, boards, selected, out, override, data, talk)


@app.command
def build(
    spec: Path,
    /,
    *,
    out: Path = Path("output"),
    pdf: Annotated[bool, Parameter(negative="", show_default=False)] = False,
    dxf: Annotated[bool, Parameter(negative="", show_default=False)] = False,
    override: Override = Override(),
    data: Data = Data(),
    talk: Talk = Talk(),
) -> int:
    """Build the board: netlist, layout, bill and values into OUT/<title>/, with a summary of what falls short.

    Parameters
    ----------
    spec: Path
        The specification, a TOML file.
    out: Path
        The folder in which the board's own folder is made.
    pdf: bool
        Write what is meant for paper as PDF too; needs the extra "pdf" of this package.
    dxf: bool
        Write the drill template as DXF too; needs the extra "dxf" of this package.

    """
    from boardgen.cli.build import run

    return run(spec, out, override, data, talk, pdf=pdf, dxf=dxf)


@app.command(usage="Usage: boardgen compare [OPTIONS] SPEC [OTHER]")
def compare(
    spec: Path,
    other: Path | None = None,
    /,
    *,
    picture: Path | None = None,
    override: Override = Override(),
    data: Data = Data(),
    talk: Talk = Talk(),
) -> int:
    """Compare two specifications, or one before and after an override such as --lowest "472 kHz".

    Parameters
    ----------
    spec: Path
        The specification before.
    other: Path
        The specification after, with the overrides; left out, it is the first one with them.
    picture: Path
        Draw their responses and what differs on the bill into this new SVG file.

    """
    from boardgen.cli.compare import run

    return run(spec, other, override, data, talk, picture=picture)


@app.command
def explore(
    spec: Path,
    /,
    *,
    over: Annotated[tuple[str, ...], Parameter(negative="", show_default=False)] = (),
    keep: int | None = None,
    workers: int | None = None,
    out: Path = Path("output"),
    override: Override = Override(),
    data: Data = Data(),
    talk: Talk = Talk(),
) -> int:
    """Lay the choices of a board side by side: every combination built, and those shown that no other beats.

    Parameters
    ----------
    spec: Path
        The specification, a TOML file.
    over: str
        A key and the values to weigh, such as switching.relays_in_series=1,2; may be repeated. Without any: relays in
        series, braid breakers, idle, compensation, braid of the bus, feed arrangement, and other cores and relays.
    keep: int
        Write the specification of the board of that number beside SPEC, as SPEC-<number>; never over an existing file.
    workers: int
        How many processes share the work; default as many as the machine has. The answer does not depend on it.
    out: Path
        The folder in which the exploration's own folder is made.

    """
    from boardgen.cli.explore import run

    return run(spec, out, override, data, talk, over=over, keep=keep, workers=workers)


@app.command(usage="Usage: boardgen measured [OPTIONS] SPEC [FILE...]")
def measured(
    spec: Path,
    /,
    *files: Path,
    named: Annotated[tuple[str, ...], Parameter(name="--as", negative="", show_default=False)] = (),
    line: str | None = None,
    reference: str | None = None,
    out: Path = Path("output"),
    override: Override = Override(),
    data: Data = Data(),
    talk: Talk = Talk(),
) -> int:
    """Hold sweeps and ohms of the built board against its prediction, and name the faults that would explain them.

    Parameters
    ----------
    spec: Path
        The specification that the board was built from.
    files: Path
        Touchstone files of one or two ports, every other port ended in its own impedance. A name such as
        "north to output with north.s2p" or "output with north.s1p" says between which ports, and what is selected.
        A table that ends in .csv has the ohms that a meter read: without files it is written, to be filled in.
    named: str
        The same in words, once for each sweep, where the names do not say it; "with nothing" for none selected.
    line: str
        Take so much line off at each port, such as "30 mm": what lies between calibration and board.
    reference: str
        The impedance of the instrument, such as "50 ohm", where it is another than the files say.
    out: Path
        The folder in which a folder for the result is made.

    """
    from boardgen.cli.measured import run

    return run(spec, files, out, override, data, talk, named=named, line=line, reference=reference)


@app.command(usage="Usage: boardgen order [OPTIONS] SPEC...")
def order(
    *specs: Path,
    out: Path = Path("output"),
    override: OrderOverride = OrderOverride(),
    data: Data = Data(),
    purchase: Purchase = Purchase(),
    talk: Talk = Talk(),
) -> int:
    """Order the parts of several boards together at the least landed cost, into OUT/Order for <titles>/.

    A board that lies built in OUT and takes other parts than its specification does now falls short.

    Parameters
    ----------
    specs: Path
        The specifications, TOML files, or folders that build or station wrote, of which is bought what was built. A
        station's plan stands for its boards, cables, diodes, fuse and switch.
    out: Path
        The folder in which the order's own folder is made.

    """
    from boardgen.cli.order import run

    return run(specs, out, override, data, purchase, talk)


@app.command
def station(plan: Path, /, *, out: Path = Path("output"), data: Data = Data(), talk: Talk = Talk()) -> int:
    """Work out a station of several boxes: steering, cables, proof, paths; build its boxes into OUT/<title>/.

    Parameters
    ----------
    plan: Path
        The plan, a TOML file that names the boxes' specifications.
    out: Path
        The folder in which the station's own folder is made.

    """
    from boardgen.cli.station import run

    return run(plan, out, data, talk)


@app.command(usage="Usage: boardgen page [OPTIONS] [SPEC]")
def page(
    spec: Path | None = None,
    /,
    *,
    out: Path = Path("output"),
    port: int = 0,
    browser: Annotated[bool, Parameter(negative="no-browser", show_default=False)] = True,
    data: Data = Data(),
    talk: Talk = Talk(),
) -> int:
    """Open a specification as a form in the browser, its board beside it as it takes shape; Ctrl-C ends it.

    The page is served to this machine alone. What it saves is the file that the other commands read.

    Parameters
    ----------
    spec: Path
        The specification, a TOML file; left out, the page begins with a template or a file of this folder.
    out: Path
        The folder in which the board's own folder is made.
    port: int
        The port on 127.0.0.1; any free one by default.
    browser: bool
        Open the browser; --no-browser only prints the address.

    """
    from boardgen.cli.page import run

    return run(spec, out, port, data, talk, open_browser=browser)


@app.command
def prove(folder: Path, /, *, talk: Talk = Talk()) -> int:
    """Prove a built folder: read back what its board is made from, and hold each file against the others.

    Every file must be as the manifest says; copper and holes must make the netlist and keep the limits of the board
    house that the manifest names, as must outline, mask and legend; test list, positions, bill, note, archive and the
    files for a board editor must say what the layers do. Book, drawings and predictions are not read.

    Parameters
    ----------
    folder: Path
        The folder that build wrote.

    """
    from boardgen.cli.prove import run

    return run(folder, talk)


@app.command
def completion(shell: str, /) -> int:
    """Print a completion script for a shell, to be sourced by it.

    Parameters
    ----------
    shell: str
        bash, zsh, fish or powershell.

    """
    from boardgen.cli.completion import run

    return run(app, shell)
