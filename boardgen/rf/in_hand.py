"""Parts in hand: which of them are taken, what that loses against the program's own choice, and why others are not."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from typing import Final

from msgspec.structs import replace

from boardgen.handbook import coax
from boardgen.model.choices import Choices
from boardgen.model.part import Part
from boardgen.model.problem import InputError, Place, Problem, shortfalls
from boardgen.request import LEAST_THAT_DOES, Request, has_pattern
from boardgen.rf.candidate import Candidate
from boardgen.rf.judge import Judged
from boardgen.rf.quantities import QUANTITIES
from boardgen.rf.receive_path import fits_main_coax, path_cost, with_main_coax
from boardgen.rf.target_report import reached, wanted
from boardgen.sizing.pins import KINDS
from boardgen.sizing.preference import LEAST_WIRE_M, MOST_PASSES
from boardgen.sizing.size import size
from boardgen.spec import quantity
from boardgen.spec.keys import InHand, Spec

SAID: Final = "V170 in hand"


def with_coax(spec: Spec, parts: Mapping[str, Part]) -> Spec:
    """The specification with the first coax in hand that would do as main coax, where it names none."""
    if spec.feeder.cable is not None or spec.measured.cable is not None:
        return spec
    names = (name for row in spec.in_hand if (name := _coax_name(parts.get(row.part))) and not _unfit(spec, row, name))
    cable = next(names, None)
    return spec.model_copy(update={"feeder": spec.feeder.model_copy(update={"cable": cable})}) if cable else spec


def _coax_name(part: Part | None) -> str:
    return part.attributes.get("feeder", "") if part else ""


def _unfit(spec: Spec, row: InHand, name: str) -> str:
    """Why a coax cannot be the main coax; "" where it can."""
    ohm, wanted_ohm = coax.CABLES[name].impedance_ohm, spec.output.impedance or spec.band.impedance
    if not fits_main_coax(spec, coax.CABLES[name]):
        return f"it has {ohm:g} ohm, the main coax {wanted_ohm:g} ohm"
    if row.length is not None and row.length < spec.feeder.length:
        there, far = (quantity.format(metres, "m") for metres in (row.length, spec.feeder.length))
        return f"there are {there} of it, the main coax is {far} long"
    return ""


def _coaxes(asked: Request, found: Candidate) -> Iterator[Problem]:
    """Of each coax in hand, what it would lose as main coax, or why it cannot be that."""
    spec, path = asked.spec, found.prediction.path
    for number, row in enumerate(spec.in_hand, 1):
        part = asked.catalogue.parts.get(row.part)
        name = _coax_name(part)
        if part is None or not name:
            continue
        place = Place(key=f"in_hand[{number}].part")
        if unfit := _unfit(spec, row, name):
            yield Problem(SAID, "warning", place, f"{part.name} in hand cannot be the main coax: {unfit}")
        elif path and name != spec.feeder.cable:
            worst = max(path, key=lambda point: point.whole_db)
            lost = -with_main_coax(spec, worst, name).gains_db
            at, word = quantity.format(worst.frequency_hz, "Hz", 4), "lose" if lost > 0 else "win"
            text = f"{part.name} in hand as main coax would {word} {abs(lost):.1f} dB of weak signals at {at}"
            named = spec.feeder.cable or "the measured coax"
            yield Problem(SAID, "note", place, f"{text} against {named}", "", f'Write cable = "{name}" under [feeder].')
        elif path:
            best = path_cost(spec, path)
            better = best.cables[0] if best and best.cables else None
            text = f"{part.name} in hand is the main coax"
            against = f", which loses {better.gains_db:.1f} dB against {better.cable}" if better else ""
            yield Problem(SAID, "note", place, text + (against or ", and no other would be heard"))


def own_choice(request: Request) -> Request:
    """The same as if nothing were in hand."""
    return refusing(request, {row.part for row in request.spec.in_hand})


def refusing(request: Request, parts: Collection[str]) -> Request:
    """The same with these parts in hand no more preferred than others."""
    return replace(request, refused=request.refused.union(parts))


def preferred(candidate: Candidate) -> tuple[str, ...]:
    """Keys of the parts in hand that the board takes since they are there."""
    return tuple(key for key in candidate.choices.parts if key in candidate.request.preferred_in_hand)


def told(asked: Request, found: Candidate, own: Candidate) -> tuple[Problem, ...]:
    """What is said of the parts in hand.

    Parameters
    ----------
    asked : the board as it was asked for
    found : the board that was found, before layout or with the copper of one
    own : the board that is found where nothing is in hand, predicted alike

    """
    keys = [row.part for row in asked.spec.in_hand]
    sized = {key: part for key in keys if (part := asked.catalogue.parts.get(key)) and _is_sized(part)}
    taken = [part for key, part in sized.items() if key in _taken(found.choices)]
    refused = (_refused(asked, found, part, keys.index(key)) for key, part in sized.items() if part not in taken)
    return (*([_lost(taken, found, own)] if taken else []), *refused, *_coaxes(asked, found))


def _is_sized(part: Part) -> bool:
    """Whether a rule chooses among parts of its kind; others are only bought or not."""
    return part.kind in {*KINDS.values(), *LEAST_THAT_DOES}


def _taken(choices: Choices) -> set[str]:
    return {*choices.parts, *(part.key for part in choices.fixtures.values())}


def _lost(taken: list[Part], found: Candidate, own: Candidate) -> Problem:
    """What the parts lose or gain against those that would be bought."""
    names = ", ".join(part.name for part in taken)
    place = Place(key="in_hand")
    kinds = {part.kind for part in taken}
    others = [part for key, part in own.choices.parts.items() if key not in found.choices.parts and part.kind in kinds]
    if not others:
        return Problem(SAID, "note", place, f"in hand and taken: {names}, which it would choose anyway")
    instead = ", ".join(part.name for part in others)
    moved = "; ".join(_moves(found, own)) or "no judged figure moves"
    laid = "with the copper as laid out" if found.copper else "before layout"
    text = f"in hand and taken: {names}, where it would choose {instead}: {moved}, {laid}"
    return Problem(SAID, "note", place, text, "", "Leave a part out of [[in_hand]] to have it chosen.")


def _moves(found: Candidate, own: Candidate) -> Iterator[str]:
    """Each judged figure with the parts in hand and without, where it is not the same in three digits."""
    without = {judged.target: judged for judged in own.judged}
    for judged in found.judged:
        other = without[judged.target]
        if judged.achieved is None or other.achieved is None:
            continue
        here, there = (quantity.format(one, judged.unit, 3) for one in (judged.achieved, other.achieved))
        if here != there:
            yield f"{judged.quantity} {here} instead of {there}, {_verdict(judged, other)}"


def _verdict(judged: Judged, other: Judged) -> str:
    better = (judged.achieved or 0.0) > (other.achieved or 0.0)
    if better == QUANTITIES[judged.quantity].larger_is_better:
        return "a gain"
    return f"a loss of {quantity.format(abs((judged.achieved or 0.0) - (other.achieved or 0.0)), judged.unit, 2)}"


def _refused(asked: Request, found: Candidate, part: Part, row: int) -> Problem:
    """Why a part in hand is not taken."""
    pin = next((pin for pin, kind in KINDS.items() if kind == part.kind), "")
    mates = [one for one in found.choices.parts.values() if one.kind == part.kind]
    pinned = getattr(asked.spec.parts, pin, None) if pin else None
    place, head = Place(key=f"in_hand[{row + 1}].part"), f"{part.name} is in hand and not taken: "
    if not mates:
        return Problem(SAID, "note", place, f"{head}this board needs no {part.kind}")
    instead = ", ".join(one.name for one in mates)
    if pinned is not None:
        return Problem(SAID, "note", place, f"{head}parts.{pin} names {instead}", "", f"Leave parts.{pin} out.")
    if part.kind in LEAST_THAT_DOES:
        text = f"{head}what guards is the least that does, which is {instead}"
        return Problem(SAID, "note", place, text)
    if not has_pattern(part) and any(map(has_pattern, mates)):
        return Problem(SAID, "note", place, f"{head}its hole pattern is not known", "", "Add it to your own parts.")
    why = _why_not(asked, pin, part)
    if not why and part.key in found.request.refused:
        why = "with it the targets are missed by more"
    if why:
        return Problem(SAID, "warning", place, f"{head}{why}; taken instead: {instead}")
    text = f"{head}it would do, but {instead} comes first"
    if part.kind in ("core", "winding wire") and not any(one.key in asked.preferred_in_hand for one in mates):
        text += (
            f": its winding is more than {MOST_PASSES} passes through each hole, or wire thinner than "
            f"{quantity.format(LEAST_WIRE_M, 'm')}"
        )
    return Problem(SAID, "note", place, text, "", f'Write {pin} = "{part.key}" under [parts] to have it.')


def _why_not(asked: Request, pin: str, part: Part) -> str:
    """What the board would fall short of with the part in the place of all others of its kind; "" for nothing."""
    parts = asked.spec.parts.model_copy(update={pin: part.key})
    request = replace(asked, spec=asked.spec.model_copy(update={"parts": parts}))
    try:
        choices = size(request)
    except InputError as error:
        return "; ".join(problem.found for problem in error.problems)
    if short := shortfalls(choices.problems):
        return "; ".join(f"{problem.found}, {problem.wanted}".removesuffix(", ") for problem in short[:1])
    judged = Candidate(request, choices, ()).judged
    return "; ".join(f"{reached(j)}, {wanted(j)}" for j in judged if j.state == "falls short")
