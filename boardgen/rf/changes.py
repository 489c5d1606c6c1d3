"""Changes of a board that may bring a target within reach."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from msgspec import Struct
from msgspec.structs import replace

from boardgen.request import Request

MOST_EXTRA_TURNS = 3
Apply = Callable[[Request], Request]


class Change(Struct, frozen=True):
    """One change: in words, the targets it may help, and the key that keeps it from being made unasked, "" for none.

    `stated` is whether the user wrote that key; if not, the change would alter what kind of board it is.
    """

    words: str
    targets: frozenset[str]
    apply: Apply
    against: str = ""
    stated: bool = False


LOSS = frozenset({"insertion_loss", "return_loss"})
COMMON_MODE = frozenset({"common_mode"})
ISOLATION = frozenset({"isolation"})


def changes(request: Request) -> Iterator[Change]:
    """Every single change on offer, in order of preference. A part that is pinned in the specification stays."""
    yield from _turns(request)
    yield from _parts(request, "core", "core", LOSS | COMMON_MODE)
    fed = any(s.feed for s in request.strips)
    if fed:
        yield from _parts(request, "choke", "choke", LOSS)
        yield from _parts(request, "supply_choke", "choke", COMMON_MODE)
        yield from _parts(request, "bifilar_choke", "bifilar choke", COMMON_MODE)
        for arrangement in ("local rail", "common-mode choked"):
            yield from _switching(request, "feed_arrangement", arrangement, COMMON_MODE)
    yield from _switching(request, "idle", "terminated", ISOLATION)
    yield from _parts(request, "relay", "relay", ISOLATION)
    yield from _switching(request, "relays_in_series", 2, ISOLATION)


def _turns(request: Request) -> Iterator[Change]:
    if any(s.braid_breaker for s in request.strips):
        for extra in range(1, MOST_EXTRA_TURNS + 1):
            words = f"{extra} more turn{'s' if extra > 1 else ''} on each winding"
            yield Change(words, LOSS, lambda r, n=extra: replace(r, extra_turns=n))  # type: ignore[misc]


def _parts(request: Request, role: str, kind: str, targets: frozenset[str]) -> Iterator[Change]:
    if getattr(request.spec.parts, role) is not None:
        return
    for part in request.catalogue.of_kind(kind):

        def change(asked: Request, key: str = part.key) -> Request:
            update = {role: key}
            if role == "core" and asked.spec.parts.output_core is None:
                update["output_core"] = key
            parts = asked.spec.parts.model_copy(update=update)
            return replace(asked, spec=asked.spec.model_copy(update={"parts": parts}))

        yield Change(f"{role.replace('_', ' ')} {part.number}", targets, change)


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
    yield Change(words, targets, change, against, stated)
