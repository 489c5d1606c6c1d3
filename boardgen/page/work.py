"""What a state of a specification comes to, view after view, the soonest first: values, targets, then all that is laid.

Each view is a piece of the page. The caller takes them one by one and stops when there is newer work.
"""

from __future__ import annotations

import hashlib
from collections import OrderedDict
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path

from msgspec import Struct

from boardgen.catalogue import Catalogue
from boardgen.design import Design, Step, make_design, price_of
from boardgen.documents import build_summary
from boardgen.documents.book.book import book_files
from boardgen.documents.build_files import book_drawings
from boardgen.documents.pictures.board_picture import BUILT, board_pictures
from boardgen.documents.pictures.schematic import schematic
from boardgen.documents.values import Row, grouped, rows
from boardgen.documents.verdicts import figure, number, rests_on, state
from boardgen.formats.output_folder import check_folder
from boardgen.inputs.board import BoardInputs, read_board, read_catalogue, read_request
from boardgen.inputs.footprint_names import read_footprint_names
from boardgen.model.choices import Choices
from boardgen.model.part import Part
from boardgen.model.problem import Problem, shortfalls, warnings
from boardgen.model.roles import RoleName
from boardgen.page.form import Offer
from boardgen.page.hands import hands_view
from boardgen.page.job import Book, Files, Job, View
from boardgen.page.lights import with_lights
from boardgen.page.plots import Curve, curves, plots
from boardgen.page.remedies import Remedy, remedies
from boardgen.page.render import fill
from boardgen.page.traces import Traces, read_traces
from boardgen.page.value_remedies import value_remedies
from boardgen.public.folder import folder_of
from boardgen.public.writing import write_board
from boardgen.request import Request
from boardgen.rf.candidate import missed
from boardgen.rf.prediction import Prediction
from boardgen.rf.quantities import QUANTITIES
from boardgen.rf.refine import Refined, refine
from boardgen.sizing.pins import KINDS
from boardgen.sizing.size import size
from boardgen.spec import quantity
from boardgen.spec.load import read_text

FIRST_ROLES: tuple[RoleName, ...] = (
    "turns", "winding reactance", "relay voltage", "longest cable", "conductors", "termination", "choke",
    "blocking capacitor",
)  # fmt: skip
"""The values that a person asks for first."""
MOST_KEPT = 4
"""Results of saved states that are kept, to show what was there before."""
MOST_FIGURES = 3


class Offers(Struct, frozen=True):
    """The parts that each key of [parts] may take."""

    pins: dict[str, tuple[Offer, ...]]


class ValueRow(Struct, frozen=True):
    """A value, and what it was in the saved state where that differs."""

    row: Row
    was: str
    first: bool


class TargetRow(Struct, frozen=True):
    """A judged target in words."""

    name: str
    achieved: str
    state: str
    wanted: str
    where: str
    rests_on: str


class Worker:
    """Works states out; what takes long to read is kept from one to the next."""

    def __init__(self) -> None:
        self._offered: str | None = "none yet"
        self._catalogues: dict[str | None, Catalogue] = {}
        self._values: OrderedDict[str, list[Row]] = OrderedDict()
        self._curves: OrderedDict[tuple[str, bool], Mapping[str, Curve]] = OrderedDict()

    def soon(self, job: Job) -> Iterator[View | Offers]:
        """Values, targets and response with typical copper, and what can be done. Raises InputError as reading does."""
        request = read_request(Path(job.path), job.sources, self._catalogue(job), read_text(job.text, job.path))
        yield self._values_view(job, size(request), request, settled=False)
        refined = refine(request)
        yield self._values_view(job, refined.choices, refined.found.request)
        yield _targets_view(refined.prediction)
        yield self._response_view(job, refined.prediction, laid=False)
        inputs = self._inputs(job)
        yield _remedies_view(refined.problems, _remedies(job, refined, inputs), laid=False)
        if self._offered != job.parts:
            self._offered = job.parts
            yield Offers({pin: tuple(map(_offer, self._catalogue(job).of_kind(kind))) for pin, kind in KINDS.items()})

    def laid(self, job: Job, step: Step) -> Iterator[View | Book]:
        """Board, schematic, bill, targets and response with the copper of the layout, at last the book.

        Raises InputError.
        """
        if job.plan:
            # a station takes longer to load than all else here
            from boardgen.page.plan import plan_views

            yield from plan_views(job, self._catalogue(job), step)
            return
        inputs = self._inputs(job)
        design = make_design(inputs.request, inputs.offers, inputs.on, predicted=True, laid_out=True, step=step)
        yield _board_view(design)
        yield View("schematic", fill("schematic.html", svg=schematic(design.netlist, "", design.spec.documents.paper)))
        yield View("bill", fill("bill.html", bill=design.bill, summary=build_summary.price(design.bill)))
        with step("predicting"):
            yield _targets_view(design.prediction)
        with step("drawing"):
            yield self._response_view(job, design.prediction, laid=True)
        yield self._values_view(job, design.choices, design.request)
        found = (*design.problems, *inputs.price_problems)
        yield View("verdict", fill("verdict.html", words=build_summary.verdict_in_words(design, found)))
        yield _known_view(found)
        with step("choosing what to buy"):
            # a board is shown before what only orders need is loaded
            from boardgen.page.order import order_view

            yield order_view(design, inputs, job, self._catalogue(job))
        with step("working out what a meter reads"):
            yield hands_view(design)
        with step("looking for remedies"):
            refined = refine(inputs.request, design.prediction.parasitics if missed(design.prediction.judged) else None)
            yield _remedies_view(found, _remedies(job, refined, inputs), laid=True)
        with step("writing the book"):
            pages = book_files(design, book_drawings(design, inputs.date_text), inputs.date_text)
            yield Book(pages)
            # the address of a book tells it from the last one
            yield View("book", fill("book.html", digest=hashlib.sha256(pages["book.html"]).hexdigest()))

    def write(self, job: Job, step: Step) -> Files:
        """Everything that the command for such a file writes, under its rules. Raises InputError as that does."""
        if job.plan:
            from boardgen.page.plan import write_plan

            return write_plan(job, self._catalogue(job), step)
        inputs = read_board(Path(job.path), job.sources, self._catalogue(job))
        names = read_footprint_names(job.sources.parts)
        target = folder_of(Path(job.out), inputs.spec.title)
        check_folder(target)
        design = make_design(inputs.request, inputs.offers, inputs.on, predicted=True, laid_out=True, step=step)
        with step("writing"):
            written = write_board(target, design, inputs, names)
        return Files(str(target), written.files, "book.html", written.problems)

    def _inputs(self, job: Job) -> BoardInputs:
        return read_board(Path(job.path), job.sources, self._catalogue(job), read_text(job.text, job.path))

    def _catalogue(self, job: Job) -> Catalogue:
        if job.parts not in self._catalogues:
            self._catalogues[job.parts] = read_catalogue(job.sources.parts)
        return self._catalogues[job.parts]

    def _values_view(self, job: Job, choices: Choices, request: Request, *, settled: bool = True) -> View:
        """The values; before they are settled by the targets, they are those of the rules alone."""
        found = rows(choices, request.strips)
        if settled and job.text == job.saved:
            _keep(self._values, job.text, found)
        before = {(row.role, row.subject): row for row in self._values.get(job.saved, ())}
        pairs = zip(grouped(choices), found, strict=True)
        shown = [ValueRow(row, _was(row, before), one.role in FIRST_ROLES) for (one, _), row in pairs]
        return View("values", fill("values.html", rows=shown, settled=settled))

    def _response_view(self, job: Job, prediction: Prediction, *, laid: bool) -> View:
        now = curves(prediction)
        if job.text == job.saved:
            _keep(self._curves, (job.text, laid), now)
        traces = read_traces(Path(job.sweeps), prediction) if job.sweeps and laid else Traces()
        drawn = plots(prediction, now, self._curves.get((job.saved, laid), {}), traces.found)
        return View("response", fill("response.html", plots=drawn, traces=traces))


def _keep(kept, key, value) -> None:  # type: ignore[no-untyped-def]  # noqa: ANN001
    kept[key] = value
    while len(kept) > MOST_KEPT:
        kept.popitem(last=False)


def _was(row: Row, before: Mapping[tuple[str, str], Row]) -> str:
    """What a value was in the saved state, "" where it is the same, or nothing is known of that state."""
    old = before.get((row.role, row.subject))
    if old is None:
        return "not there" if before else ""
    pairs = ((old.chosen, row.chosen), (old.part, row.part))
    return " ".join(then or "none" for then, now in pairs if then != now)


def _targets_view(prediction: Prediction) -> View:
    shown = []
    for verdict in prediction.verdicts:
        judged = verdict.judged
        larger = QUANTITIES[judged.quantity].larger_is_better
        upto = f" to {quantity.format(judged.to_hz, 'Hz')}" if judged.to_hz else ""
        wanted = f"{'at least' if larger else 'at most'} {number(judged.wanted, judged.unit)}{upto}"
        where = ""
        if judged.at_hz is not None:
            where = (
                f"worst at {quantity.format(judged.at_hz, 'Hz', 4)}, {judged.selected} {judged.way}, at {judged.port}"
            )
        name = judged.target.replace("_", " ")
        shown.append(TargetRow(name, figure(verdict), state(verdict), wanted, where, rests_on(prediction, verdict)))
    return View("targets", fill("targets.html", rows=shown, laid=prediction.parasitics is not None))


def _remedies(job: Job, refined: Refined, inputs: BoardInputs) -> tuple[Remedy, ...]:
    """For targets, then for values that fall short."""
    price = price_of(inputs.offers, inputs.on)
    return (*remedies(refined, price), *value_remedies(job.text, inputs.request, price))


def _remedies_view(found: Sequence[Problem], done: Sequence[Remedy], *, laid: bool) -> View:
    return View("remedies", fill("remedies.html", found=shortfalls(found), remedies=done, laid=laid))


def _known_view(found: Sequence[Problem]) -> View:
    return View("known", fill("known.html", known=warnings(found)))


def _board_view(design: Design) -> View:
    made = design.layout
    if made is None:
        return View("board", fill("board.html", size="", why=[p.sentence for p in design.found.layout], pictures=[]))
    drawn = board_pictures(made.board)
    pictures = [
        ("with its parts", with_lights(drawn[BUILT], made.board, "top", bodies=True)),
        ("bare, and with its parts", drawn["board-top.svg"]),
        ("bottom", with_lights(drawn["board-bottom.svg"], made.board, "bottom", bodies=False)),
    ]
    board = made.board
    size = f"{board.width_nm / 1e6:.1f} x {board.height_nm / 1e6:.1f} mm"
    nets = sorted({pad.net for pad in board.pads if pad.net})
    return View("board", fill("board.html", size=size, why=[], pictures=pictures, nets=nets, strips=_strips(design)))


def _strips(design: Design) -> dict[str, str]:
    """The designators of all that belongs to each antenna and to the output."""
    found: dict[str, list[str]] = {strip.label: [] for strip in design.request.strips}
    for part in design.netlist.components:
        if part.fitted and part.subject.strip in found:
            found[part.subject.strip].append(part.ref)
    return {strip: " ".join(refs) for strip, refs in found.items()}


def _offer(part: Part) -> Offer:
    """A part with the first of its figures."""
    figures = [
        f"{name} {quantity.format(known.value, known.unit, 3)}"
        for name, known in list(part.figures.items())[:MOST_FIGURES]
    ]
    return Offer(part.key, ", ".join((f"{part.maker} {part.number}".strip(), *figures)))
