"""boardgen measured: sweeps of a built board over its prediction, and the faults that would explain them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path

from boardgen.cli import terminal
from boardgen.cli.exit_codes import ExitCode
from boardgen.cli.options import Data, Override, Talk, wrong_use
from boardgen.cli.report import print_written
from boardgen.cli.sources import dated_sources
from boardgen.commissioning.bench import Bench
from boardgen.design import make_design
from boardgen.documents import measured as words_of
from boardgen.documents.json.measured import measured_document
from boardgen.documents.letters import with_letters
from boardgen.documents.measured import Measured, measured_csv
from boardgen.formats.output_folder import check_folder
from boardgen.inputs.board import read_board
from boardgen.inputs.digests import digest
from boardgen.measuring.explain import excuses
from boardgen.measuring.overlay import overlay
from boardgen.measuring.plan import unswept
from boardgen.measuring.suspects import suspects
from boardgen.measuring.sweep import Sweep, read_sweep, shortened
from boardgen.model.problem import InputError, Place, Problem
from boardgen.public.folder import folder_of, written
from boardgen.public.made_with import ORDER, PLOT
from boardgen.rf.network import Network
from boardgen.spec.values import measure
from boardgen.tables.text_file import read_text_file

TABLE, PLOTTED = "measured.csv", "measured.svg"


def run(
    spec: Path,
    files: Sequence[Path],
    out: Path,
    override: Override,
    data: Data,
    talk: Talk,
    *,
    named: Sequence[str],
    line: str | None,
    reference: str | None,
) -> int:
    """Compares, writes a folder of `out` and prints what is outside and why; exit 1 where something is wrong."""
    if not files:
        raise wrong_use("no sweep is named", "Name one file or more that end in .s1p or .s2p.")
    if named and len(named) != len(files):
        said = f"--as is given {len(named)} times for {len(files)} files"
        raise wrong_use(said, "Give it once for each file, in their order, or not at all.")
    metres, ohm = _value("line", line, "m", 0.0, 20.0), _value("reference", reference, "ohm", 10.0, 1000.0)
    with terminal.progress("reading", talk.quiet):
        inputs = read_board(spec, dated_sources(override, data))
        target = folder_of(out, f"{inputs.spec.title} measured")
        check_folder(target)
    with terminal.progress("sizing, wiring and laying out", talk.quiet):
        design = make_design(inputs.request, inputs.offers, inputs.on, predicted=True, laid_out=True)
    network = design.prediction.network
    sweeps = list(_sweeps(network, files, named, metres, ohm))
    with terminal.progress("comparing", talk.quiet):
        band = inputs.spec.band
        curves = overlay(network, sweeps, band.lowest, band.highest)
        found = suspects(Bench(design.request, design.choices, design.netlist), network, curves)
        explained = () if found.is_sound else excuses(network, curves)
        measured = Measured(inputs.spec, curves, found, explained, unswept(network, curves, inputs.spec.switching.rest))
    # matplotlib is loaded only where a picture is wanted
    from boardgen.documents.plots.measured import measured_svg

    with terminal.progress("writing", talk.quiet):
        content = {TABLE: measured_csv(curves), PLOTTED: with_letters(measured_svg(measured)).encode()}
        origin = {**inputs.manifest, "sweeps": [digest(file, file.parent) for file in files]}
        made = written(target, content, inputs.spec.title, inputs.spec.revision, origin, (*ORDER, *PLOT))
    if talk.json:
        terminal.print_json(measured_document(measured, str(target), made.files))
    elif not talk.quiet:
        _print(measured)
        print_written(str(target), made.files, PLOTTED)
    return ExitCode.FALLS_SHORT if not found.is_sound else ExitCode.DONE


def _value(option: str, text: str | None, unit: str, low: float, high: float) -> float | None:
    if text is None:
        return None
    try:
        return measure(unit, low, high)(text)
    except ValueError as error:
        said, hint = f"--{option} {text}: {error}", f'Write a value with its unit, such as "{high:g} {unit}".'
        raise wrong_use(said, hint) from None


def _sweeps(
    network: Network, files: Sequence[Path], named: Sequence[str], metres: float | None, ohm: float | None
) -> Iterator[Sweep]:
    problems: list[Problem] = []
    for n, file in enumerate(files):
        try:
            one = _sweep(network, file, named[n] if named else file.stem)
        except InputError as error:
            problems += error.problems
            continue
        if ohm is not None:
            one = Sweep(one.file, one.ports, one.selected, one.frequency_hz, one.s, (ohm,) * len(one.ports))
        yield shortened(one, metres) if metres else one
    if problems:
        raise InputError(problems)


def _sweep(network: Network, file: Path, words: str) -> Sweep:
    try:
        text = read_text_file(file)
    except (OSError, UnicodeDecodeError) as error:
        reason = getattr(error, "strerror", None) or "it is not UTF-8 text"
        raise InputError([Problem("S041 sweep", "error", Place(str(file)), f"it cannot be read: {reason}")]) from None
    return read_sweep(network, text, file, words)


def _print(measured: Measured) -> None:
    terminal.print_lines([f"{measured.spec.title}: {len(measured.curves)} curves measured", ""])
    for title, said in words_of.rows(measured.curves):
        terminal.print_lines([title, f"    {said}"])
    terminal.print_lines([""])
    terminal.print_wrapped([("", line) for line in words_of.verdict(measured)])
