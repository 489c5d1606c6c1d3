"""boardgen measured: sweeps and ohms of a built board over its prediction, and the faults that would explain them."""

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
from boardgen.documents.measured import Measured, measured_csv, ohms_csv
from boardgen.formats.output_folder import check_folder
from boardgen.inputs.board import read_board
from boardgen.inputs.digests import digest
from boardgen.measuring.explain import excuses
from boardgen.measuring.ohms import Meter, MeterReading, meter_of, read_ohms
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

TABLE, PLOTTED, OHMS = "measured.csv", "measured.svg", "ohms.csv"
CSV = ".csv"


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
    """Compares, writes a folder of `out` and prints what is outside and why; exit 1 where something is wrong.

    Without files the folder has the table of ohms to be filled in.
    """
    swept = [file for file in files if file.suffix.lower() != CSV]
    filled = [file for file in files if file.suffix.lower() == CSV]
    if len(filled) > 1:
        said = f"{len(filled)} tables of ohms are named"
        raise wrong_use(said, "Name one that has all readings.")
    if named and len(named) != len(swept):
        said = f"--as is given {len(named)} times for {len(swept)} sweeps"
        raise wrong_use(said, "Give it once for each sweep, in their order, or not at all.")
    metres, ohm = _value("line", line, "m", 0.0, 20.0), _value("reference", reference, "ohm", 10.0, 1000.0)
    with terminal.progress("reading", talk.quiet):
        inputs = read_board(spec, dated_sources(override, data))
        target = folder_of(out, f"{inputs.spec.title} measured")
        check_folder(target)
    with terminal.progress("sizing, wiring and laying out", talk.quiet):
        design = make_design(inputs.request, inputs.offers, inputs.on, predicted=True, laid_out=True)
    network = design.prediction.network
    bench = Bench(design.request, design.choices, design.netlist)
    meter, problems = meter_of(bench), list[Problem]()
    read = tuple(_read(meter, filled, problems))
    sweeps = list(_sweeps(network, swept, named, metres, ohm, problems))
    with terminal.progress("comparing", talk.quiet):
        band = inputs.spec.band
        curves = overlay(network, sweeps, band.lowest, band.highest) if sweeps else ()
        found = suspects(bench, network, curves, meter, read)
        explained = () if found.is_sound or not curves else excuses(network, curves)
        left = unswept(network, curves, inputs.spec.switching.rest)
        measured = Measured(inputs.spec, curves, found, explained, left, read)
    with terminal.progress("writing", talk.quiet):
        content = {OHMS: ohms_csv(meter.all_points, read)}
        if curves:
            # matplotlib is loaded only where a picture is wanted
            from boardgen.documents.plots.measured import measured_svg

            content |= {TABLE: measured_csv(curves), PLOTTED: with_letters(measured_svg(measured)).encode()}
        origin = {**inputs.manifest, "measured": [digest(file, file.parent) for file in files]}
        made = written(
            target, content, inputs.spec.title, inputs.spec.revision, origin, (*ORDER, *(PLOT if curves else ()))
        )
    if talk.json:
        terminal.print_json(measured_document(measured, str(target), made.files))
    elif not talk.quiet:
        _print(measured)
        print_written(str(target), made.files, PLOTTED if curves else OHMS)
    return ExitCode.FALLS_SHORT if not found.is_sound else ExitCode.DONE


def _value(option: str, text: str | None, unit: str, low: float, high: float) -> float | None:
    if text is None:
        return None
    try:
        return measure(unit, low, high)(text)
    except ValueError as error:
        said, hint = f"--{option} {text}: {error}", f'Write a value with its unit, such as "{high:g} {unit}".'
        raise wrong_use(said, hint) from None


def _read(meter: Meter, files: Sequence[Path], problems: list[Problem]) -> Iterator[MeterReading]:
    for file in files:
        try:
            yield from read_ohms(_text(file, "S046 ohms"), str(file), meter.all_points)
        except InputError as error:
            problems += error.problems


def _sweeps(
    network: Network,
    files: Sequence[Path],
    named: Sequence[str],
    metres: float | None,
    ohm: float | None,
    problems: list[Problem],
) -> Iterator[Sweep]:
    """The sweeps; raises InputError with what is wrong with any of them, and the `problems` before."""
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
    return read_sweep(network, _text(file, "S041 sweep"), file, words)


def _text(file: Path, problem: str) -> str:
    try:
        return read_text_file(file)
    except (OSError, UnicodeDecodeError) as error:
        reason = getattr(error, "strerror", None) or "it is not UTF-8 text"
        raise InputError([Problem(problem, "error", Place(str(file)), f"it cannot be read: {reason}")]) from None


def _print(measured: Measured) -> None:
    counts = [f"{len(measured.curves)} curves measured"] if measured.curves else []
    counts += [f"{len(measured.read)} readings of a meter"] if measured.read else []
    if not counts:
        words = "nothing is measured yet: fill in the table of ohms, move it away from here, and name it"
        terminal.print_lines([f"{measured.spec.title}: {words}"])
        return
    terminal.print_lines([f"{measured.spec.title}: {', '.join(counts)}"])
    rows = [*words_of.rows(measured.curves), *words_of.rows_of_ohms(measured.read)]
    terminal.print_lines([""] if rows else [])
    for title, said in rows:
        terminal.print_lines([title, f"    {said}"])
    terminal.print_lines([""])
    terminal.print_wrapped([("", line) for line in words_of.verdict(measured)])
