"""Makes every board of a walk as `build` would, on one process or many; the answer does not depend on how many."""

from __future__ import annotations

import pickle
from collections.abc import Callable, Iterator, Mapping, Sequence
from concurrent.futures import FIRST_COMPLETED, Executor, Future, wait
from datetime import date
from functools import lru_cache

from msgspec import Struct, field
from msgspec.structs import replace

from boardgen.appraisal import Appraisal, appraise
from boardgen.design import make_design
from boardgen.explore.options import Option, Override, Overrides, combinations
from boardgen.model.problem import InputError
from boardgen.purchasing.offer import Offer
from boardgen.request import Request
from boardgen.sizing.pins import check_pins
from boardgen.sizing.size import TRANSFORMERS_ALONE
from boardgen.spec.keys import Spec
from boardgen.spec.load import is_sound_alone, read_text
from boardgen.spec.strip import Strip, strips

AHEAD = 32
"""So many boards are handed out before one comes back: enough for many workers, and few are lost on a stop."""


class Explored(Struct, frozen=True):
    """A board of the walk: what it has that the specification has not, and what came of it.

    `refused` says why there is no such board, "" where there is one.
    """

    overrides: Overrides
    appraisal: Appraisal | None
    refused: str = ""


class Asked(Struct, frozen=True):
    """What all boards of a walk are made from.

    The request was read from a text, which its `source` holds, with the dotted keys `given` in its place.
    """

    request: Request
    offers: tuple[Offer, ...]
    on: date | None
    given: Mapping[str, str] = field(default_factory=dict)


def boards(asked: Asked, options: Sequence[Option]) -> tuple[Overrides, ...]:
    """The overrides of every board, the specification's own first.

    A value that the specification has already is passed over, and so is a board that differs from one before it in
    nothing but keys without a use on it, such as the core where no port has a braid breaker. Some boards may be none
    that a specification may ask for: that is said when they are made. Raises InputError for a key or value that is
    faulty by itself.
    """
    found: dict[object, Overrides] = {}
    for overrides in combinations([Option(o.key, tuple(_unlike(asked, o))) for o in options]):
        try:
            found.setdefault(_of_use(_request(asked, overrides).spec), overrides)
        except InputError:
            found[overrides] = overrides
    return tuple(found.values())


def _of_use(spec: Spec) -> tuple[tuple[Strip, ...], Spec]:
    """What decides which board is made: the strips, and the specification without the keys that they have no use for.

    Equal ones are equal boards.
    """
    ports = strips(spec)
    told_by_strips: dict[str, object] = {"idle": "terminated", "termination": "split", "braid_breakers": "all"}
    no_use: dict[str, dict[str, object]] = {"switching": told_by_strips, "parts": {}}
    if not any(strip.braid_breaker for strip in ports):
        no_use["switching"] |= {"compensation": "none", "extra_turns": 0}
        no_use["parts"] = dict.fromkeys(TRANSFORMERS_ALONE)
    if not any(strip.feed for strip in ports):
        no_use["switching"] |= {"feed_arrangement": "plain", "feed_lines": "own"}
    changed = {table: getattr(spec, table).model_copy(update=keys) for table, keys in no_use.items()}
    return ports, spec.model_copy(update=changed)


def _unlike(asked: Asked, option: Option) -> Iterator[str]:
    """The values of an option that change the specification, each once."""
    seen = [asked.request.spec]
    for value in option.values:
        try:
            spec = _request(asked, (Override(option.key, value),)).spec
        except InputError:
            if not is_sound_alone(option.key.dotted, value):
                raise
            yield value
        else:
            if spec not in seen:
                seen.append(spec)
                yield value


def walk(
    asked: Asked,
    wanted: Sequence[Overrides],
    executor: Executor,
    done: Mapping[Overrides, Explored],
    told: Callable[[Explored], None],
) -> Iterator[Explored]:
    """The boards in the order of what is wanted.

    Parameters
    ----------
    executor : does the work: a pool of processes, or what another engine offers in its place. It is handed `explored`,
        and values that can be pickled.
    done : what an earlier walk has made already of the same request
    told : is told of each board as it is made, in any order

    """
    packed = pickle.dumps(asked)
    left = iter([overrides for overrides in wanted if overrides not in done])
    found, running = dict(done), set[Future[Explored]]()
    try:
        while True:
            for overrides in left:
                running.add(executor.submit(explored, packed, overrides))
                if len(running) >= AHEAD:
                    break
            if not running:
                break
            ready, running = wait(running, return_when=FIRST_COMPLETED)
            for future in ready:
                made = future.result()
                found[made.overrides] = made
                told(made)
    finally:
        for future in running:
            future.cancel()
    yield from (found[overrides] for overrides in wanted)


def explored(packed: bytes, overrides: Overrides) -> Explored:
    """One board, laid out and judged with its own copper. `packed` is a pickled `Asked`."""
    asked = _unpacked(packed)
    try:
        design = make_design(_request(asked, overrides), asked.offers, asked.on, predicted=True, laid_out=True)
        return Explored(overrides, appraise(design))
    except InputError as error:
        return Explored(overrides, None, error.problems[0].sentence)


def texts(overrides: Overrides) -> dict[str, str]:
    """The values by dotted key."""
    return {override.key.dotted: override.value for override in overrides}


@lru_cache(1)
def _unpacked(packed: bytes) -> Asked:
    asked: Asked = pickle.loads(packed)  # noqa: S301 - `walk` made it
    return asked


def _request(asked: Asked, overrides: Overrides) -> Request:
    """The request with these keys in the place of the specification's. Raises InputError as reading it does."""
    source = asked.request.source
    if source is None or not overrides:
        return asked.request
    spec = read_text(source.text, source.file, {**asked.given, **texts(overrides)})
    request = replace(asked.request, spec=spec)
    check_pins(request)
    return request
