"""The program's own decorator for frozen classes does what the standard library's does."""

import copy
import dataclasses
import pickle
from dataclasses import field
from functools import cached_property
from operator import lt

import pytest

from boardgen.frozen import dataclass


def classes(decorator):
    """The same classes made by either decorator."""

    @decorator(frozen=True, slots=True)
    class Slotted:
        """With a default, a factory, and a field that does not count."""

        one: int
        two: str = "b"
        three: list = field(default_factory=list)
        four: int = field(default=4, compare=False)

    @decorator(frozen=True)
    class Open:
        """With something worked out, and a check."""

        value: int

        def __post_init__(self):
            if self.value < 0:
                raise ValueError(self.value)

        @cached_property
        def twice(self):
            return 2 * self.value

        def __str__(self):
            return "open"

    @decorator(frozen=True, slots=True)
    class Empty:
        """With nothing."""

    @decorator(frozen=True, slots=True)
    class Further(Empty):
        """With a field of its own, and its own equality."""

        own: int = 1

        def __eq__(self, other):
            return True

    @decorator(frozen=True, slots=True, order=True)
    class Ordered:
        """With an order."""

        key: int

    return Slotted, Open, Empty, Further, Ordered


OURS, THEIRS = classes(dataclass), classes(dataclasses.dataclass)
ARGUMENTS = (
    [((1,), {}), ((1, "c"), {}), ((1,), {"four": 5, "three": [2]}), ((), {"one": 1}), ((), {}), ((1,), {"x": 1})],
    [((3,), {}), ((4,), {}), ((-1,), {})],
    [((), {}), ((1,), {})],
    [((), {}), ((2,), {})],
    [((1,), {}), ((2,), {})],
)  # fmt: skip


def seen(make, *args, **more):
    """What comes of it: a value, or the kind of error."""
    try:
        return make(*args, **more)
    except (TypeError, ValueError, AttributeError) as error:
        return type(error)


def made(cls, arguments):
    return [one for args, more in arguments if not isinstance(one := seen(cls, *args, **more), type)]


@pytest.mark.parametrize(("ours", "theirs", "arguments"), list(zip(OURS, THEIRS, ARGUMENTS, strict=True)))
def test_as_the_standard_one(ours, theirs, arguments):
    """Construction, words, equality, hash, order, fields, and what may not be set."""
    mine, standard = made(ours, arguments), made(theirs, arguments)
    assert len(mine) == len(standard) > 0
    names = [f.name for f in dataclasses.fields(theirs)]
    assert [f.name for f in dataclasses.fields(ours)] == names
    assert ours.__match_args__ == theirs.__match_args__
    assert hasattr(mine[0], "__dict__") == hasattr(standard[0], "__dict__")
    for a, b in zip(mine, standard, strict=True):
        assert dataclasses.astuple(a) == dataclasses.astuple(b)
        assert (repr(a), str(a)) == (repr(b), str(b))
        assert seen(hash, a) == seen(hash, b)
        assert a != b or ours.__name__ == "Further"
        # the standard one is at fault here where there are slots
        assert seen(setattr, a, "unknown", 0) in (dataclasses.FrozenInstanceError, seen(setattr, b, "unknown", 0))
        for name in names:
            assert seen(setattr, a, name, 0) == seen(setattr, b, name, 0)
            assert seen(delattr, a, name) == seen(delattr, b, name)
        for c, d in zip(mine, standard, strict=True):
            assert (a == c) == (b == d)
            assert seen(lt, a, c) == seen(lt, b, d)


def test_what_else_is_done_with_values():
    """They are replaced, copied and matched, and what is worked out is kept."""
    slotted, open_ = OURS[:2]
    one = slotted(1, three=[1])
    assert dataclasses.replace(one, two="z") == slotted(1, "z", [1])
    assert copy.deepcopy(one) == copy.copy(one) == one
    assert copy.deepcopy(one).three is not one.three
    assert slotted(1).three is not slotted(1).three
    two = open_(2)
    assert two.twice is two.twice
    match one:
        case slotted(1, words):
            assert words == "b"
    with pytest.raises(dataclasses.FrozenInstanceError, match="cannot assign to field 'one'"):
        one.one = 2


@dataclass(frozen=True, slots=True)
class Kept:
    """A class that can be found by its name."""

    one: int
    two: tuple[int, ...] = ()


def test_values_are_pickled():
    """To another process and back."""
    assert pickle.loads(pickle.dumps(Kept(1, (2,)))) == Kept(1, (2,))
