"""What the page's script may ask for, each request a record that is checked as it is read."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated

from msgspec import Meta, Struct

from boardgen.page.form import check_key, first_key, read_typed
from boardgen.page.history import AddRow, Change, MoveRow, RemoveRow, SetKey, SetKeys
from boardgen.page.room import Room

Place = Annotated[int, Meta(ge=0, le=999)]
Step = Place | Annotated[str, Meta(max_length=60)]
Key = Annotated[tuple[Step, ...], Meta(min_length=1, max_length=4)]
Name = Annotated[str, Meta(min_length=1, max_length=100)]


class Typed(Struct, forbid_unknown_fields=True):
    """What was typed into a field; `unit` is what stood beside it, `visit` names the stay in it."""

    key: Key
    words: Annotated[str, Meta(max_length=500)]
    seen: int
    unit: Annotated[str, Meta(max_length=20)] = ""
    visit: Annotated[str, Meta(max_length=40)] = ""

    def done(self, room: Room) -> None:
        """Takes the value in. Raises InputError where there is no such key."""
        if room.desk:
            shape = room.desk.layout.shape
            check_key(self.key, shape)
            value = read_typed(self.key, self.words, self.unit, shape)
            room.desk.change(SetKey(self.key, value), self.seen, self.visit)


class Remedied(Struct, forbid_unknown_fields=True):
    """Keys that a remedy sets, with their values."""

    keys: Annotated[list[tuple[Key, str | int | bool]], Meta(min_length=1, max_length=20)]
    seen: int

    def done(self, room: Room) -> None:
        """Sets them together. Raises InputError where there is no such key."""
        if room.desk:
            for key, _ in self.keys:
                check_key(key, room.desk.layout.shape)
            room.desk.change(SetKeys(tuple(SetKey(key, value) for key, value in self.keys)), self.seen)


class Moved(Struct, forbid_unknown_fields=True):
    """What becomes of a list, such as the antennas: one more without `at`, one less without `to`, or another order."""

    table: Name
    seen: int
    at: Place | None = None
    to: Place | None = None

    def done(self, room: Room) -> None:
        """Changes the list. Raises InputError where there is no such one."""
        if room.desk:
            key = first_key(self.table, room.desk.layout.shape)
            change: Change = AddRow(self.table, key)
            if self.at is not None:
                change = RemoveRow(self.table, self.at) if self.to is None else MoveRow(self.table, self.at, self.to)
            room.desk.change(change, self.seen)


class Undo(Struct, forbid_unknown_fields=True):
    """One step back."""

    def done(self, room: Room) -> None:
        """Goes back."""
        if room.desk:
            room.desk.undo()


class Redo(Struct, forbid_unknown_fields=True):
    """One step forward again."""

    def done(self, room: Room) -> None:
        """Goes forward."""
        if room.desk:
            room.desk.redo()


class Save(Struct, forbid_unknown_fields=True):
    """The file is to hold what is on view."""

    def done(self, room: Room) -> None:
        """Saves it."""
        if room.desk:
            room.desk.save()


class Write(Struct, forbid_unknown_fields=True):
    """Everything that a build makes is to be written."""

    def done(self, room: Room) -> None:
        """Saves, and has it written."""
        if room.desk:
            room.desk.write()


class Begin(Struct, forbid_unknown_fields=True):
    """A new file from a template; `ways` as in the template where it is None."""

    template: Name
    name: Name
    ways: int | None = None

    def done(self, room: Room) -> None:
        """Writes and opens it."""
        room.begin(self.template, self.ways, self.name)


class Open(Struct, forbid_unknown_fields=True):
    """Another file of the folder."""

    name: Name

    def done(self, room: Room) -> None:
        """Opens it."""
        room.open(self.name)


class LayBeside(Struct, forbid_unknown_fields=True):
    """Own parts, prices and sweeps of the built board, by their paths in the folder of the page; "" for none."""

    parts: Annotated[str, Meta(max_length=300)]
    prices: Annotated[str, Meta(max_length=300)]
    sweeps: Annotated[str, Meta(max_length=300)] = ""

    def done(self, room: Room) -> None:
        """Takes them."""
        room.lay_beside(self.parts, self.prices, self.sweeps)


class Close(Struct, forbid_unknown_fields=True):
    """The list of files, in the place of what is open."""

    def done(self, room: Room) -> None:
        """Leaves it."""
        room.close()


Asked = Typed | Remedied | Moved | Undo | Redo | Save | Write | Begin | Open | Close | LayBeside
ASKED: Mapping[str, type[Asked]] = {
    "set": Typed,
    "remedy": Remedied,
    "rows": Moved,
    "undo": Undo,
    "redo": Redo,
    "save": Save,
    "write": Write,
    "begin": Begin,
    "open": Open,
    "close": Close,
    "beside": LayBeside,
}
"""What is asked for, by the address it is posted to."""
