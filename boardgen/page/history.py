"""What became of a specification's text while its page is open: every state, which of them is saved, undo and redo.

Nothing here touches a file. Each function takes a history and gives another.
"""

from __future__ import annotations

from msgspec import Struct
from msgspec.structs import replace

from boardgen.model.problem import InputError, Place, Problem
from boardgen.spec.faults import KeyPath, key_text
from boardgen.spec.rewrite import Value, value_at, with_moved_row, with_row, with_value, without_row
from boardgen.tables.toml_text import TomlError, read_toml


class SetKey(Struct, frozen=True, tag=True):
    """One key takes a value, or is left out."""

    key: KeyPath
    value: Value

    def applied(self, text: str) -> str:
        """The text with it."""
        return with_value(text, self.key, self.value)

    @property
    def words(self) -> str:
        """What undo takes back."""
        return key_text(self.key) + (" left out" if self.value is None else f" = {self.value}")


class SetKeys(Struct, frozen=True, tag=True):
    """Several keys at once, as a remedy asks."""

    keys: tuple[SetKey, ...]

    def applied(self, text: str) -> str:
        """The text with them."""
        for one in self.keys:
            text = one.applied(text)
        return text

    @property
    def words(self) -> str:
        """What undo takes back."""
        return ", ".join(one.words for one in self.keys)


class AddRow(Struct, frozen=True, tag=True):
    """One more table of a list behind the last, such as an antenna; `key` is the one that names it."""

    table: str
    key: str

    def applied(self, text: str) -> str:
        """The text with it, under a name that none has."""
        names = set(_names(text, self.table))
        number = len(names) + 1
        while f"{self.table} {number}" in names:
            number += 1
        return with_row(text, self.table, self.key, f"{self.table} {number}")

    @property
    def words(self) -> str:
        """What undo takes back."""
        return f"{self.table} added"


class RemoveRow(Struct, frozen=True, tag=True):
    """That table of a list goes, counted from 0."""

    table: str
    at: int

    def applied(self, text: str) -> str:
        """The text without it."""
        return without_row(text, self.table, self.at)

    @property
    def words(self) -> str:
        """What undo takes back."""
        return f"{self.table} {self.at + 1} removed"


class MoveRow(Struct, frozen=True, tag=True):
    """A table of a list takes another's place, both counted from 0."""

    table: str
    at: int
    to: int

    def applied(self, text: str) -> str:
        """The text in that order."""
        return with_moved_row(text, self.table, self.at, self.to)

    @property
    def words(self) -> str:
        """What undo takes back."""
        return f"{self.table} {self.at + 1} moved to place {self.to + 1}"


Change = SetKey | SetKeys | AddRow | RemoveRow | MoveRow


class State(Struct, frozen=True):
    """The text after a change; `visit` names the stay in a field, whose keystrokes are one step of undo."""

    number: int
    text: str
    words: str
    change: Change | None = None
    visit: str = ""


class History(Struct, frozen=True):
    """Every state in order, the one on view, and the one that is in the file."""

    states: tuple[State, ...]
    at: int
    saved: int
    """The number of the state that the file holds; an undo and a change after it may have given that up."""
    saved_text: str

    @property
    def now(self) -> State:
        """The state on view."""
        return self.states[self.at]

    @property
    def unsaved(self) -> bool:
        """Whether the page holds something that the file does not."""
        return self.now.text != self.saved_text

    @property
    def undoes(self) -> str:
        """What the next undo takes back, "" where there is nothing."""
        return self.now.words if self.at else ""

    @property
    def redoes(self) -> str:
        """What the next redo does again, "" where there is nothing."""
        return self.states[self.at + 1].words if self.at + 1 < len(self.states) else ""

    def knows(self, number: int) -> State | None:
        """The state of that number, None where it was given up by a change after an undo."""
        return next((state for state in self.states if state.number == number), None)


def opened(text: str) -> History:
    """The history of a file that was just read."""
    return History((State(0, text, "opened"),), 0, 0, text)


def edited(history: History, change: Change, seen: int, visit: str = "") -> History:
    """The history with a change by somebody who saw the state of that number.

    Raises InputError where another window has changed the same since, and as the change does.
    """
    _check_seen(history, change, seen)
    now = history.now
    text = change.applied(now.text)
    if text == now.text:
        return history
    states = history.states[: history.at + 1]
    if visit and visit == now.visit and history.saved != now.number:
        states = states[:-1]
    return _with(history, states, State(_next(history), text, change.words, change, visit))


def undone(history: History) -> History:
    """One step back."""
    return replace(history, at=max(0, history.at - 1))


def redone(history: History) -> History:
    """One step forward again."""
    return replace(history, at=min(len(history.states) - 1, history.at + 1))


def unsaved_part(history: History) -> History:
    """The same from the saved state on, which is all that is needed to go on where somebody left off."""
    numbers = [state.number for state in history.states[: history.at + 1]]
    first = numbers.index(history.saved) if history.saved in numbers else 0
    return replace(history, states=history.states[first:], at=history.at - first)


def kept(history: History) -> History:
    """The state on view is what the file holds."""
    return replace(history, saved=history.now.number, saved_text=history.now.text)


def changed_outside(history: History, text: str) -> tuple[History, str]:
    """The history once the file holds another text, and what to tell.

    The outside text becomes a state; changes that were not saved are made again on top of it, and where that cannot be
    they are one undo away. Raises TomlError where the text is not TOML, so that nothing can be put on top of it.
    """
    read_toml(text)
    changes = _not_saved(history)
    states = history.states[: history.at + 1]
    outside = State(_next(history), text, "changed outside the page")
    bare = grown = kept(_with(history, states, outside))
    if not history.unsaved:
        return grown, "The file was changed outside the page; the page shows it."
    if changes is None:
        return grown, "The file was changed outside the page and is shown; what was on the page is one undo back."
    try:
        for change in changes:
            state = State(_next(grown), change.applied(grown.now.text), change.words, change)
            grown = _with(grown, grown.states, state)
    except InputError:
        return bare, "The file was changed outside the page and is shown; what was on the page is one undo back."
    both = [
        f"{key_text(key)} was changed there too, to {value_at(text, key)}; the page's stands, undo takes the other"
        for key in dict.fromkeys(key for change in changes for key in _keys(change))
        if value_at(history.saved_text, key) != value_at(text, key)
    ]
    words = "The file was changed outside the page; what you have not saved was put on top of it."
    return grown, " ".join((words, *both))


def _not_saved(history: History) -> list[Change] | None:
    """The changes between the saved state and the one on view, None where they are no such row of changes."""
    numbers = [state.number for state in history.states[: history.at + 1]]
    if history.saved not in numbers:
        return None
    since = history.states[numbers.index(history.saved) + 1 : history.at + 1]
    changes = [state.change for state in since if state.change is not None]
    return changes if len(changes) == len(since) else None


def _check_seen(history: History, change: Change, seen: int) -> None:
    """Raises InputError where what a change is about differs from what the changer saw."""
    if seen == history.now.number:
        return
    before = history.knows(seen)
    if before is None:
        raise _stale("this window is behind: another one undid what it shows; look again and repeat the change")
    try:
        for key in _keys(change):
            table = str(key[0])
            moved = _names(before.text, table) != _names(history.now.text, table)
            if moved and key[-1] not in ("label", "name"):
                found = f"the list of [[{table}]] was changed in another window; look again and repeat the change"
                raise _stale(found)
            if value_at(before.text, key) != value_at(history.now.text, key):
                now = value_at(history.now.text, key)
                found = f"{key_text(key)} was changed in another window, to {now}; repeat the change to have yours"
                raise _stale(found)
    except TomlError as error:
        raise _stale("the file was changed outside the page") from error


def _names(text: str, table: str) -> list[object]:
    """What the tables of a list are called, none for what is no list."""
    rows = value_at(text, (table,))
    found = [row for row in rows if isinstance(row, dict)] if isinstance(rows, list) else []
    return [row.get("label", row.get("name")) for row in found]


def _keys(change: Change) -> tuple[KeyPath, ...]:
    if isinstance(change, SetKeys):
        return tuple(one.key for one in change.keys)
    return (change.key,) if isinstance(change, SetKey) else ((change.table,),)


def _next(history: History) -> int:
    return max(state.number for state in history.states) + 1


def _with(history: History, states: tuple[State, ...], state: State) -> History:
    return replace(history, states=(*states, state), at=len(states))


def _stale(found: str) -> InputError:
    return InputError([Problem("W002 other window", "error", Place(), found)])
