"""Changes of a board that may bring a target within reach."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from msgspec import Struct
from msgspec.structs import replace

from boardgen.model.transformer import STYLE_WORDS, WindingStyle
from boardgen.request import Request
from boardgen.sizing.preference import preferred
from boardgen.sizing.transformer import ranked_windings
from boardgen.spec.keys import Spec

MOST_EXTRA_TURNS = 3
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
    hint: str = "Name the part under [parts] to keep it."
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
    """Other cores and more turns."""
    pinned = asked.spec.parts.core
    free = replace(request, spec=_with_parts(request.spec, core=None, output_core=asked.spec.parts.output_core))
    for winding in ranked_windings(free, MOST_EXTRA_TURNS):
        key, extra = winding.core.key, winding.extra_turns
        same = key == core
        if (same and extra == request.extra_turns) or (pinned is not None and not same and extra):
            continue
        targets = LOSS if extra else LOSS | COMMON_MODE
        output = asked.spec.parts.output_core or key

        def change(asked_for: Request, key: str = key, extra: int = extra, output: str = output) -> Request:
            spec = _with_parts(asked_for.spec, core=key, output_core=output)
            return replace(asked_for, spec=spec, extra_turns=extra)

        more = f"{extra} more turn{'s' if extra > 1 else ''} on each winding" if extra else ""
        words = more if same and extra else ", ".join(filter(None, (f"core {winding.core.number}", more)))
        against = "parts.core" if pinned is not None and not same else ""
        yield Change(words, targets, change, against, stated=bool(against), rewinds=True, unwanted=not winding.wanted)


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
