"""The standard library's decorator for frozen classes, quicker to make.

The standard one writes and compiles six functions for each class, half a millisecond; a command meets two hundred
classes, and that was half of the time in which the program itself was loaded. Here only `__init__` is compiled, and all
classes share the rest, which does what the standard ones do. Type checkers are shown the standard decorator.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Sequence
from operator import attrgetter
from reprlib import recursive_repr
from typing import TYPE_CHECKING, Any, NoReturn

__all__ = ["dataclass"]

if TYPE_CHECKING:
    from dataclasses import dataclass
else:

    def dataclass(cls: type | None = None, /, *, frozen: bool = False, slots: bool = False, **more: bool) -> Any:
        """As `dataclasses.dataclass`; what is not frozen, or asks for more, is left to that."""
        if not frozen or more:
            return dataclasses.dataclass(cls, frozen=frozen, slots=slots, **more)
        return (lambda cls: _made(cls, slots)) if cls is None else _made(cls, slots)


def _made(cls: type, slots: bool) -> type:
    made: type = dataclasses.dataclass(init=False, repr=False, eq=False, slots=slots)(cls)
    fields = dataclasses.fields(made)
    methods: dict[str, Callable[..., Any]] = {
        "__init__": _init(made, fields),
        "__repr__": _repr,
        "__setattr__": _refuse_to_set,
        "__delattr__": _refuse_to_delete,
        **_compared([field.name for field in fields if field.compare]),
    }
    if slots:
        methods |= {"__getstate__": _state, "__setstate__": _set_state}
    for name, method in methods.items():
        # Python itself enters None as the hash of a class with its own equality
        if vars(cls).get(name) is None:
            setattr(made, name, method)
    return made


def _init(cls: type, fields: Sequence[dataclasses.Field[Any]]) -> Callable[..., None]:
    """The one function that must be written for each class, for the names of its arguments."""
    known: dict[str, Any] = {"_set": object.__setattr__, "_missing": dataclasses.MISSING}
    arguments, lines = ["self"], []
    for field in fields:
        name = value = field.name
        default, factory = f"_default_{name}", f"_factory_{name}"
        if field.default is not dataclasses.MISSING:
            known[default] = field.default
            arguments.append(f"{name}={default}")
        elif field.default_factory is not dataclasses.MISSING:
            known[factory] = field.default_factory
            arguments.append(f"{name}=_missing")
            value = f"{factory}() if {name} is _missing else {name}"
        else:
            arguments.append(name)
        lines.append(f" _set(self, {name!r}, {value})")
    if hasattr(cls, "__post_init__"):
        lines.append(" self.__post_init__()")
    # the names are those of fields, written in the program itself
    exec("\n".join((f"def __init__({', '.join(arguments)}):", *lines, " return")), known)  # noqa: S102
    found: Callable[..., None] = known["__init__"]
    found.__qualname__ = f"{cls.__qualname__}.__init__"
    return found


def _compared(names: Sequence[str]) -> dict[str, Callable[..., Any]]:
    """Equal where the class and these values are; the hash is that of the values."""
    values = _values(names)

    def equal(self: object, other: object) -> bool:
        return values(self) == values(other) if other.__class__ is self.__class__ else NotImplemented

    def hashed(self: object) -> int:
        return hash(values(self))

    return {"__eq__": equal, "__hash__": hashed}


def _values(names: Sequence[str]) -> Callable[[Any], tuple[Any, ...]]:
    if len(names) > 1:
        return attrgetter(*names)
    return lambda one: tuple(getattr(one, name) for name in names)


@recursive_repr()
def _repr(self: Any) -> str:
    shown = (f"{field.name}={getattr(self, field.name)!r}" for field in dataclasses.fields(self))
    return f"{type(self).__qualname__}({', '.join(shown)})"


def _refuse_to_set(self: object, name: str, value: object) -> NoReturn:
    reason = f"cannot assign to field {name!r}"
    raise dataclasses.FrozenInstanceError(reason)


def _refuse_to_delete(self: object, name: str) -> NoReturn:
    reason = f"cannot delete field {name!r}"
    raise dataclasses.FrozenInstanceError(reason)


def _state(self: Any) -> list[Any]:
    return [getattr(self, field.name) for field in dataclasses.fields(self)]


def _set_state(self: Any, state: Sequence[Any]) -> None:
    for field, value in zip(dataclasses.fields(self), state, strict=True):
        object.__setattr__(self, field.name, value)
