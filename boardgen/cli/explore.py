"""boardgen explore: choices of one specification side by side, and the boards that no other beats."""

from __future__ import annotations

import hashlib
import json
import os
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from contextlib import contextmanager, suppress
from pathlib import Path
from signal import SIG_IGN, SIGINT, signal
from time import monotonic

import msgspec

from boardgen.cli import terminal
from boardgen.cli.exit_codes import ExitCode
from boardgen.cli.options import Data, Override, Talk, wrong_use
from boardgen.cli.process import settle
from boardgen.cli.report import print_written, report
from boardgen.cli.sources import dated_sources
from boardgen.design import make_design
from boardgen.documents import PROGRAM
from boardgen.documents import explored as words_of
from boardgen.documents.explored import Exploration, exploration, explored_csv
from boardgen.documents.json.document import json_bytes
from boardgen.documents.json.explored import exploration_document
from boardgen.documents.letters import with_letters
from boardgen.explore.options import Overrides, named, weighed
from boardgen.explore.walk import Asked, Explored, boards, texts, walk
from boardgen.formats.new_file import write_new
from boardgen.formats.output_folder import check_folder
from boardgen.inputs.board import BoardInputs, read_board
from boardgen.model.progress import Tell
from boardgen.public.folder import folder_of, written
from boardgen.public.made_with import ORDER, PLOT
from boardgen.spec.rewrite import with_overrides

TABLE, DOCUMENT, PLOTTED = "explored.csv", "explored.json", "explored.svg"


def run(
    spec: Path,
    out: Path,
    override: Override,
    data: Data,
    talk: Talk,
    *,
    over: Sequence[str],
    keep: int | None,
    workers: int | None,
) -> int:
    """Walks, writes a folder of `out` and prints the boards that no other beats; exit 1 where the own falls short."""
    if workers is not None and workers < 1:
        said = f"--workers {workers} is no number of processes"
        raise wrong_use(said, "One or more are allowed.")
    with terminal.progress("reading", talk.quiet):
        inputs = read_board(spec, dated_sources(override, data))
        options = named(over)
        asked = Asked(inputs.request, inputs.offers, inputs.on, override.keys())
        target = folder_of(out, f"{inputs.spec.title} explored")
        check_folder(target)
    with terminal.progress("sizing, wiring and laying out", talk.quiet):
        own = make_design(asked.request, asked.offers, asked.on, predicted=True, laid_out=True)
        wanted = boards(asked, options or weighed(asked.request, {part.key for part in own.parts}))
    with terminal.progress("exploring", talk.quiet) as tell:
        made_now, unfinished = _walked(asked, wanted, inputs, target, tell, workers or os.cpu_count() or 1)
        found = exploration(own, made_now, unfinished)
    if keep is not None:
        return _keep(spec, asked, found, keep)
    made = written(target, _files(found), inputs.spec.title, "", inputs.manifest, (*ORDER, *PLOT))
    problems = (*own.problems, *inputs.price_problems, *made.problems)

    def words() -> None:
        _print(found)
        print_written(str(target), made.files, PLOTTED)

    code = report(talk, problems, lambda: exploration_document(found, str(target), made.files), words)
    if not found.unfinished:
        return code
    terminal.say("stopped; the same command goes on from here")
    return ExitCode.INTERRUPTED


def _walked(
    asked: Asked,
    wanted: Sequence[Overrides],
    inputs: BoardInputs,
    target: Path,
    tell: Tell,
    workers: int,
) -> tuple[list[Explored], int]:
    """All boards, or those that were made until Ctrl-C and how many are left.

    What is made is kept beside the folder until all are.
    """
    so_far = target.with_name(f"{target.name} so far.jsonl")
    began, left = monotonic(), 0
    with _kept(so_far, inputs) as (done, keep):
        left = sum(overrides not in done for overrides in wanted)
        made = dict(done)

        def told(board: Explored) -> None:
            made[board.overrides] = board
            keep(board)
            number = len(made) - len(done)
            minutes = (monotonic() - began) / number * (left - number) / 60
            tell(f"{len(made)} of {len(wanted)} boards, {minutes:.0f} min left")

        pool = ProcessPoolExecutor(min(workers, max(left, 1)), initializer=begin)
        try:
            found = list(walk(asked, wanted, pool, done, told))
        except KeyboardInterrupt:
            found = [made[overrides] for overrides in wanted if overrides in made]
            if not found or found[0].overrides:
                raise
        finally:
            pool.shutdown(cancel_futures=True)
    if len(found) == len(wanted):
        with suppress(OSError):
            so_far.unlink()
    return found, len(wanted) - len(found)


@contextmanager
def _kept(path: Path, inputs: BoardInputs) -> Iterator[tuple[dict[Overrides, Explored], Callable[[Explored], None]]]:
    """What an earlier walk of the same inputs left at that path, and what adds a board to it."""
    stamp = hashlib.sha256(json.dumps([PROGRAM, inputs.manifest], sort_keys=True).encode()).hexdigest()
    lines = path.read_bytes().split(b"\n") if path.is_file() else []
    done: dict[Overrides, Explored] = {}
    if lines[:1] == [stamp.encode()]:
        for line in lines[1:]:
            # the last line may be torn where the process was killed
            with suppress(msgspec.DecodeError):
                board = msgspec.json.decode(line, type=Explored)
                done[board.overrides] = board
    path.parent.mkdir(parents=True, exist_ok=True)
    with path.open("wb") as file:
        file.writelines(b"%b\n" % line for line in (stamp.encode(), *map(msgspec.json.encode, done.values())))

        def keep(board: Explored) -> None:
            file.write(msgspec.json.encode(board) + b"\n")
            file.flush()

        yield done, keep


def begin() -> None:
    """A worker: set up as the command is, and deaf to Ctrl-C, which its parent hears."""
    settle()
    signal(SIGINT, SIG_IGN)


def _keep(spec: Path, asked: Asked, found: Exploration, number: int) -> int:
    """Writes the specification of a listed board beside the one that was walked."""
    source = asked.request.source
    if source is None or not 1 <= number <= len(found.listed):
        said = f"--keep {number} is none of the boards listed"
        raise wrong_use(said, f"1 to {len(found.listed)} are allowed.")
    board = found.listed[number - 1]
    path = spec.with_name(f"{spec.stem}-{number}{spec.suffix}")
    write_new(path, with_overrides(source.text, {**asked.given, **texts(board.overrides)}))
    terminal.print_lines([f"{path}: {found.words(board.overrides) or 'the board as specified'}"])
    return ExitCode.DONE


def _files(found: Exploration) -> dict[str, bytes]:
    # matplotlib is loaded only where a picture is wanted
    from boardgen.documents.plots.explored import explored_svg

    return {
        TABLE: explored_csv(found),
        DOCUMENT: json_bytes(exploration_document(found, "", ())),
        PLOTTED: with_letters(explored_svg(found)).encode(),
    }


def _print(found: Exploration) -> None:
    terminal.print_lines([f"{found.spec.title}: {'; '.join(words_of.heading(found)[:1])}"])
    terminal.print_lines([*words_of.heading(found)[1:], ""])
    columns = words_of.columns(found)
    terminal.print_table(columns, words_of.rows(found), right=range(len(columns)))
    terminal.print_lines([words_of.NOTES, *filter(None, [words_of.beaten_by(found)]), ""])
    terminal.print_wrapped(words_of.steps(found))
    if found.clamp_on:
        terminal.print_lines(["", found.clamp_on])
