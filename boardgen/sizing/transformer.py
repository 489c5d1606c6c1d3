"""The transformer of each braid breaker: the first core on offer that winds within every rule, with reasons.

Rules: parallel reactance >= 12 Z0 and loss resistance >= 15 Z0 in the whole band, leakage <= Z0/10 at its top, 30 dB
return loss of the turns ratio, wire that fills at most 0.4 of a hole, at most 30 turns.
Source: handbook/winding.py and handbook/leakage.py; the ratios are design rules of this program.
Cost: each core on offer is tried with both ways to lay its windings, until one meets every rule.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence

from msgspec import Struct
from msgspec.structs import replace

from boardgen.handbook import winding as formulas
from boardgen.kinds.core import LEAD_M
from boardgen.model.choice import Choice, Subject
from boardgen.model.outcome import Outcome, choice, for_strip, gather, shortfall
from boardgen.model.part import Part
from boardgen.model.problem import InputError, Place, Problem
from boardgen.model.roles import RoleName
from boardgen.model.transformer import STYLE_WORDS, Wound
from boardgen.request import Request, candidates, has_pattern, pin_of, standing_of
from boardgen.sizing import rules
from boardgen.sizing.compensation import compensation
from boardgen.sizing.core import core
from boardgen.sizing.measured_winding import measured_problems
from boardgen.sizing.preference import Rank, is_wanted, offered_wires, winding_rank
from boardgen.sizing.winding import MOST_TURNS, Way, Winding, thickest_that_fits_m, winding_length_m, wound
from boardgen.spec import quantity
from boardgen.spec.strip import Strip

SOURCE = "Z of a winding from its material's complex permeability; the ratios are a design rule of this program"
IMPEDANCE = "Z = j w mu0 S N^2 (mu' - j mu'')"


def transformers(request: Request) -> Outcome:
    """A transformer for every strip with a braid breaker; equal strips get equal ones."""
    best: dict[tuple[float, bool], Winding] = {}
    known: dict[tuple[float, bool], Outcome] = {}
    outcomes = []
    for strip in (s for s in request.strips if s.braid_breaker):
        key = (strip.impedance, strip.is_output)
        if key not in best:
            best[key] = _best(request, strip)
        if key in known and not known[key].problems:
            outcomes.append(for_strip(known[key], strip.label))
        else:
            # a problem names its strip
            known[key] = _outcome(request, strip, best[key])
            outcomes.append(known[key])
    whole = gather([*outcomes, Outcome(problems=measured_problems(request, tuple(best.values())))])
    wound_by_strip = {subject.strip: one for subject, one in whole.windings.items()}
    return gather([whole, *compensation(request, wound_by_strip).values()])


def _best(request: Request, strip: Strip) -> Winding:
    """The first core in order of preference that meets every rule, else the one that misses least."""
    band = request.spec.band
    wires = offered_wires(request)

    def worst(winding: Winding) -> float:
        return max(winding.shortages(band.impedance, band.highest).values())

    windings = [w for _, ways in _ordered(request, strip, wires) for w in ways]
    for winding in windings:
        # the field of a winding that cannot be wound is solved only where none can
        if winding.can_be_wound and worst(winding) <= 1 + 1e-9:
            return winding
    if not windings:
        raise InputError([_no_table(request, strip)])
    return _nearest(windings, worst)


def with_extra_turns(request: Request, extra: int) -> Request:
    """The same with so many turns on each winding beyond what the rules ask."""
    switching = request.spec.switching.model_copy(update={"extra_turns": extra})
    return replace(request, spec=request.spec.model_copy(update={"switching": switching}))


class RankedWinding(Struct, frozen=True):
    """A core with so many turns beyond the fewest, and whether somebody would want to wind it."""

    core: Part
    extra_turns: int
    wanted: bool


def ranked_windings(request: Request, most_extra: int) -> tuple[RankedWinding, ...]:
    """Every core with up to so many more turns that can be wound at the antennas, the most preferred first."""
    strip = next((s for s in request.strips if s.braid_breaker), None)
    if strip is None:
        return ()
    wires = offered_wires(request)
    found = []
    for extra in range(most_extra + 1):
        for number, (order, ways) in enumerate(_ordered(with_extra_turns(request, extra), strip, wires)):
            if ways[0].can_be_wound:
                part = ways[0].core.part
                found.append(
                    ((order, extra, number), RankedWinding(part, extra, is_wanted(ways[0].wire, ways[0].passes)))
                )
    return tuple(winding for _, winding in sorted(found, key=lambda pair: pair[0]))


def _nearest(windings: Sequence[Winding], worst: Callable[[Winding], float]) -> Winding:
    """The winding that misses least, the first of equals; the field of one that a rule rules out is not solved."""
    least = sorted(windings, key=lambda w: w.missed_at_least)
    best, shortage = least[0], worst(least[0])
    for winding in least[1:]:
        if winding.missed_at_least >= shortage:
            break
        if worst(winding) < shortage:
            best, shortage = winding, worst(winding)
    return best


def _ordered(request: Request, strip: Strip, wires: tuple[Part, ...]) -> list[tuple[Rank, tuple[Winding, ...]]]:
    """Each core on offer in every way to wind it with its rank, the most preferred first."""
    band, kept = request.spec.band, request.kept.get(_pin(request, strip))
    found = []
    for part in _cores(request, strip):
        permeability = request.catalogue.permeability.get(part.attributes.get("material", ""))
        one = core(part, permeability, band.lowest, band.highest) if permeability else None
        if one is not None:
            own = request.spec.measured.transformer if part.key == request.spec.parts.core else None
            impedances = band.impedance, strip.impedance
            ways = tuple(wound(one, wires, *impedances, _ways(request), request.spec.switching.extra_turns, own))
            own_rank = winding_rank(request, part, ways[0].wire, ways[0].passes)
            found.append(((float(part.key != kept), float(not has_pattern(part)), *own_rank), ways))
    return sorted(found, key=lambda pair: pair[0])


def _ways(request: Request) -> tuple[Way, ...]:
    """Ways to wind, the best first: a pair passes common-mode current, and a capacitor is a part more."""
    if request.uncompensated is not None:
        return (Way(request.uncompensated, False, rules.JUDGED_LEAKAGE_RATIO),)
    apart, pair = (Way(style, False, rules.LEAKAGE_RATIO) for style in ("apart", "pair"))
    met_apart, met_pair = (Way(style, True, rules.COMPENSATED_LEAKAGE_RATIO) for style in ("apart", "pair"))
    return {
        "where it helps": (apart, met_apart, pair),
        "all": (met_apart, met_pair),
        "none": (apart, pair),
    }[request.spec.switching.compensation]


def _cores(request: Request, strip: Strip) -> tuple[Part, ...]:
    return candidates(request, "core", _pin(request, strip))


def _pin(request: Request, strip: Strip) -> str:
    return pin_of(request, "output_core", "core") if strip.is_output else "core"


def _no_table(request: Request, strip: Strip) -> Problem:
    band = request.spec.band
    found = f"no core on offer has a permeability table from {band.lowest / 1e6:.4g} to {band.highest / 1e6:.4g} MHz"
    place = Place(key="parts.output_core" if strip.is_output else "parts.core")
    return Problem(
        "V103 no permeability", "error", place, found, "", "Pin another core, or add a table for its material."
    )


def _outcome(request: Request, strip: Strip, winding: Winding) -> Outcome:
    subject = Subject(strip.label, "braid breaker", "transformer")
    values = _turns(request, strip, subject, winding) + _electrical(request, subject, winding) + _wire(subject, winding)
    short = winding.shortages(request.z0_ohm, request.spec.band.highest)
    problems = (_problem(request, subject, winding, short),) if max(short.values()) > 1 + 1e-9 else ()
    wound_as = Wound(winding.style, winding.leakage, winding.interwinding, winding.proximity, winding.way.compensated)
    return Outcome(tuple(values), (winding.core.part, winding.wire), problems, {subject: wound_as})


def _turns(request: Request, strip: Strip, subject: Subject, winding: Winding) -> list[Choice]:
    part = winding.core.part
    (_, loss_hz), (_, reactance_hz) = winding.core.worst(winding.turns)
    top_mhz = _top_hz(request, winding) / 1e6
    counted: tuple[tuple[RoleName, float, int], ...] = (
        ("turns", winding.needed, winding.turns),
        ("port turns", winding.port_needed, winding.port_turns),
    )
    values = [
        choice(
            role,
            subject,
            "at least",
            needed,
            turns,
            basis="lowest core",
            formula=f"{IMPEDANCE}; |X_p| >= {rules.REACTANCE_RATIO:g} Z0 and R_p >= {rules.LOSS_RATIO:g} Z0 "
            "at every table point of the band",
            source=SOURCE,
            standing=standing_of(part.figures["path constant"]),
            at_hz=min(loss_hz, reactance_hz),
            part=part.key,
            next_limit=f"leakage with the {STYLE_WORDS[winding.style]}: holds to {top_mhz:.3g} MHz",
        )
        for role, needed, turns in counted
    ]
    if strip.impedance != request.z0_ohm:
        values.append(
            choice(
                "ratio return loss",
                subject,
                "at least",
                rules.RATIO_RETURN_LOSS_DB,
                winding.ratio_return_loss_db,
                formula="-20 log|(r - 1)/(r + 1)|, r = (N_port/N)^2 Z0/Z_port",
                source=f"textbook (recalled); {rules.RATIO_RETURN_LOSS_DB:g} dB: {rules.DESIGN_RULE}",
                standing="computed",
                part=part.key,
            )
        )
    return values


def _top_hz(request: Request, winding: Winding) -> float:
    """The frequency up to which leakage stays within its limit."""
    highest = request.spec.band.highest
    return highest / winding.shortages(request.z0_ohm, highest)["leakage"]


def _electrical(request: Request, subject: Subject, winding: Winding) -> list[Choice]:
    band, z0, part = request.spec.band, request.z0_ohm, winding.core.part
    (loss, loss_hz), (reactance, reactance_hz) = winding.core.worst(winding.turns)
    henry = formulas.inductance(winding.core.inductance_factor_h, winding.turns)
    thumb_h = rules.THUMB_RATIO * z0 / (2 * math.pi * band.lowest)
    rows: tuple[tuple[RoleName, float, float, str, float], ...] = (
        (
            "winding inductance",
            thumb_h,
            henry,
            f"L = A_L N^2, the old rule of thumb w L >= {rules.THUMB_RATIO:g} Z0",
            band.lowest,
        ),
        (
            "winding reactance",
            rules.REACTANCE_RATIO * z0,
            reactance,
            f"X_p = (R^2 + X^2)/X >= {rules.REACTANCE_RATIO:g} Z0",
            reactance_hz,
        ),
        (
            "winding loss resistance",
            rules.LOSS_RATIO * z0,
            loss,
            f"R_p = (R^2 + X^2)/R >= {rules.LOSS_RATIO:g} Z0",
            loss_hz,
        ),
    )
    values = [
        choice(
            role,
            subject,
            "at least",
            required,
            achieved,
            basis="lowest core",
            formula=formula,
            source=SOURCE,
            standing=standing_of(part.figures["path constant"]),
            at_hz=at_hz,
            part=part.key,
        )
        for role, required, achieved, formula, at_hz in rows
    ]
    leak = choice(
        "leakage reactance",
        subject,
        "at most",
        winding.way.leakage_ratio * z0,
        winding.leakage_ohm(band.highest),
        basis=STYLE_WORDS[winding.style]
        + (", met by capacitors" if winding.way.compensated else "")
        + (", the match judged by prediction" if request.uncompensated else ""),
        formula=f"w L_leak <= Z0/{1 / winding.way.leakage_ratio:g}",
        source=winding.leakage.source,
        standing=winding.leakage.standing,
        at_hz=band.highest,
        part=part.key,
    )
    return [*values, leak]


def _wire(subject: Subject, winding: Winding) -> list[Choice]:
    insulated = winding.wire.figures["insulated diameter"]
    gauge = choice(
        "winding wire",
        subject,
        "at most",
        thickest_that_fits_m(winding.core, winding.turns + winding.port_turns),
        insulated.value,
        basis="smallest hole",
        formula=f"passes x d^2 <= {rules.WIRE_FILL:g} x hole^2",
        source=f"fill of {rules.WIRE_FILL:g}: common practice, no source",
        standing=standing_of(insulated, winding.core.part.figures["hole diameter"]),
        part=winding.wire.key,
    )
    lengths = [
        choice(
            "wire length",
            Subject(subject.strip, subject.stage, slot),
            "equal",
            winding_length_m(winding.core, turns),
            winding_length_m(winding.core, turns),
            formula=f"2 (core length + hole spacing) N + two leads of {LEAD_M * 1e3:g} mm",
            source="geometry; length of the leads assumed",
            standing="computed",
            part=winding.wire.key,
        )
        for slot, turns in (("board winding", winding.turns), ("port winding", winding.port_turns))
    ]
    return [gauge, *lengths]


def _problem(request: Request, subject: Subject, winding: Winding, short: Mapping[str, float]) -> Problem:
    """What limits the best winding there is, and what would do."""
    band, z0 = request.spec.band, request.z0_ohm
    limit = max(short, key=short.__getitem__)
    lowest, highest, top = (quantity.format(f, "Hz", 3) for f in (band.lowest, band.highest, _top_hz(request, winding)))
    found = (
        f"no core and winding on offer covers {lowest} to {highest} at {z0:g} ohm; the nearest is {winding.turns}:"
        f"{winding.port_turns} turns on {winding.core.part.number}, {STYLE_WORDS[winding.style]}"
    )
    leak_ohm = winding.leakage_ohm(band.highest)
    said = {
        "turns": f"{max(winding.needed, winding.port_needed):.1f} turns are needed, {MOST_TURNS} are the most it winds",
        "wire": f"the thinnest wire is {short['wire']:.2f} times too thick for the holes",
        "leakage": f"leakage leaves {leak_ohm:.1f} ohm at the top, {winding.way.leakage_ratio * z0:.1f} are allowed",
        "ratio": f"its ratio alone gives {winding.ratio_return_loss_db:.1f} dB return loss, "
        f"{rules.RATIO_RETURN_LOSS_DB:g} are wanted",
    }
    wanted = ", and ".join(text for rule, text in said.items() if short[rule] > 1 + 1e-9)
    hint = {
        "leakage": f"From this lowest frequency it holds to {top}; a higher lowest frequency takes fewer turns; "
        "two boards can share the band.",
        "ratio": "An impedance nearer to the band's, or a lower lowest frequency with more turns, comes closer.",
    }.get(limit, "Raise the lowest frequency, or let the program choose among all cores.")
    return shortfall("V101 winding", subject, found, wanted, hint)
