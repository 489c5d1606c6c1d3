"""Changes of a board that may bring a target within reach."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from msgspec import Struct
from msgspec.structs import replace

from boardgen.model.transformer import STYLE_WORDS, WindingStyle
from boardgen.request import Request
from boardgen.sizing.preference import preferred
from boardgen.sizing.transformer import RankedWinding, ranked_windings, with_extra_turns
from boardgen.spec.keys import Spec

MOST_EXTRA_TURNS = 3
_NAME_THE_PART = "Name the part under [parts] to keep it."
Apply = Callable[[Request], Request]


class Change(Struct, frozen=True):
    """One change: in words, the targets it may help, and the key that keeps it from being made unasked, "" for none.

    `stated` is whether the user wrote that key; if not, the change would alter what kind of board it is. `rewinds` is
    whether it changes the windings, `unwanted` whether to ones that nobody wants to wind. `hint` is said where it was
    made: what the user writes to decide it himself; `reason` why it was, where that is no target's gain.
    """

    words: str
    targets: frozenset[str]
    apply: Apply
    against: str = ""
    stated: bool = False
    rewinds: bool = False
    unwanted: bool = False
    hint: str = _NAME_THE_PART
    reason: str = ""


LOSS = frozenset({"insertion_loss", "return_loss"})
COMMON_MODE = frozenset({"common_mode"})
ISOLATION = frozenset({"isolation"})


def _uncompensated(style: WindingStyle, targets: frozenset[str]) -> Change:
    return Change(
        f"{STYLE_WORDS[style]} without capacitors",
        targets,
        lambda request: replace(request, uncompensated=style),
        hint='Write compensation = "all" under [switching] to have them.',
        reason="since loss and return loss hold within their bounds without",
    )


UNCOMPENSATED = (_uncompensated("apart", LOSS), _uncompensated("pair", LOSS | COMMON_MODE))
"""Left out are the capacitors that the rule of the leakage asks for, where these targets hold without."""


def changes(request: Request, core: str, asked: Request) -> Iterator[Change]:
    """Every single change on offer, in order of preference; windings that nobody wants to wind come last.

    Parameters
    ----------
    request : the board that is changed
    core : the key of its core, "" for none
    asked : as the user asked for it: what is pinned there stays, and changes of it are told as against it

    """
    windings = list(_windings(request, core, asked))
    yield from (change for change in windings if not change.unwanted)
    fed = any(s.feed for s in request.strips)
    if fed:
        yield from _parts(request, asked, "choke", "choke", LOSS)
        if request.spec.switching.feed_arrangement == "common-mode choked":
            yield from _parts(request, asked, "bifilar_choke", "bifilar choke", COMMON_MODE)
        else:
            yield from _parts(request, asked, "supply_choke", "choke", COMMON_MODE)
        for arrangement in ("local rail", "common-mode choked"):
            yield from _switching(request, "feed_arrangement", arrangement, COMMON_MODE)
    yield from _switching(request, "idle", "terminated", ISOLATION)
    yield from _parts(request, asked, "relay", "relay", ISOLATION)
    yield from _switching(request, "relays_in_series", 2, ISOLATION)
    yield from (change for change in windings if change.unwanted)


def _windings(request: Request, core: str, asked: Request) -> Iterator[Change]:
    """Other cores and more turns; where the turns are stated, other turns of the same core are told as against that."""
    pinned, switching = asked.spec.parts.core, asked.spec.switching
    stated = "extra_turns" in switching.model_fields_set
    free = replace(request, spec=_with_parts(request.spec, core=None, output_core=asked.spec.parts.output_core))
    for winding in ranked_windings(free, max(MOST_EXTRA_TURNS, switching.extra_turns)):
        key, extra = winding.core.key, winding.extra_turns
        same, as_asked = key == core, extra == switching.extra_turns
        if same and extra == request.spec.switching.extra_turns:
            continue
        if not same and not as_asked and (stated or pinned is not None):
            continue
        targets = LOSS if extra > switching.extra_turns else LOSS | COMMON_MODE
        output = asked.spec.parts.output_core or key

        def change(asked_for: Request, key: str = key, extra: int = extra, output: str = output) -> Request:
            spec = _with_parts(asked_for.spec, core=key, output_core=output)
            return with_extra_turns(replace(asked_for, spec=spec), extra)

        against = "parts.core" if pinned is not None and not same else ""
        if stated and not as_asked:
            against = "switching.extra_turns"
        words = _winding_words(winding, same=same, stated=stated)
        hint = f"Write extra_turns = {extra} under [switching] to keep it." if same else _NAME_THE_PART
        unwanted = not winding.wanted
        yield Change(words, targets, change, against, bool(against), rewinds=True, unwanted=unwanted, hint=hint)


def _winding_words(winding: RankedWinding, *, same: bool, stated: bool) -> str:
    """What is wound otherwise: the core, the turns, or both."""
    extra = winding.extra_turns
    if same and stated:
        return f"extra_turns = {extra}"
    more = f"{extra} more turn{'s' if extra > 1 else ''} on each winding" if extra and not stated else ""
    return more if same and extra else ", ".join(filter(None, (f"core {winding.core.number}", more)))


def _with_parts(spec: Spec, **parts: str | None) -> Spec:
    return spec.model_copy(update={"parts": spec.parts.model_copy(update=parts)})


def _parts(request: Request, asked: Request, role: str, kind: str, targets: frozenset[str]) -> Iterator[Change]:
    pinned = getattr(asked.spec.parts, role)
    now = getattr(request.spec.parts, role)
    for part in preferred(replace(request, spec=_with_parts(request.spec, **{role: None})), kind, role):
        if part.key == now:
            continue

        def change(asked_for: Request, key: str = part.key) -> Request:
            return replace(asked_for, spec=_with_parts(asked_for.spec, **{role: key}))

        against = "" if pinned is None else f"parts.{role}"
        yield Change(f"{role.replace('_', ' ')} {part.number}", targets, change, against, stated=bool(against))


def _switching(request: Request, key: str, value: object, targets: frozenset[str]) -> Iterator[Change]:
    switching = request.spec.switching
    if getattr(switching, key) == value:
        return

    def change(asked: Request) -> Request:
        changed = asked.spec.switching.model_copy(update={key: value})
        return replace(asked, spec=asked.spec.model_copy(update={"switching": changed}))

    stated = key in switching.model_fields_set
    against = f"switching.{key}" if stated or switching.refine == "parts" else ""
    words = f'{key} = "{value}"' if isinstance(value, str) else f"{key} = {value}"
    yield Change(words, targets, change, against, stated, hint=f"Write {words} under [switching] to keep it.")
