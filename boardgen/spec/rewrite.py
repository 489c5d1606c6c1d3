"""Changes of a specification's text, one key or one antenna at a time: everything else stays letter for letter."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from typing import Any

import tomlkit
from tomlkit.container import Container
from tomlkit.items import Comment, InlineTable, Item, Trivia

from boardgen.model.problem import InputError, Place, Problem
from boardgen.spec.faults import KeyPath, key_text
from boardgen.spec.load import override_value
from boardgen.tables.toml_text import read_toml

Value = str | int | bool | None
_TABLE = re.compile(r"\s*\[")


def value_at(text: str, key: KeyPath) -> object:
    """What stands at that key, None where it is left out. Raises TomlError where the text is not TOML."""
    return value_in(read_toml(text), key)


def value_in(data: object, key: KeyPath) -> object:
    """The same in plain data."""
    for step in key:
        if isinstance(data, dict) and isinstance(step, str):
            data = data.get(step)
        elif isinstance(data, list) and isinstance(step, int) and 0 <= step < len(data):
            data = data[step]
        else:
            return None
    return data


def with_value(text: str, key: KeyPath, value: Value) -> str:
    """The text with that value at that key, which is left out for None; a comment behind it stays.

    Raises InputError where the key's table is no table, or its antenna is not there.
    """
    document = tomlkit.parse(text)
    table: Any = document
    for step in key[:-1]:
        if isinstance(step, str) and step not in table:
            if value is None:
                return text
            table[step] = tomlkit.table(is_super_table=False)
        try:
            table = table[step]
        except (IndexError, TypeError) as error:
            raise _refused(key, "this table is not in the file") from error
    if not hasattr(table, "items"):
        raise _refused(key, "its table is written as a value")
    name = str(key[-1])
    if value is None:
        _leave_out(table, name)
    elif name in table:
        _replace(table, name, value)
    else:
        table[name] = value
    return document.as_string()


def with_overrides(text: str, overrides: Mapping[str, str]) -> str:
    """The text with dotted keys set to these values, as `read_text` takes them, such as {"band.lowest": "472 kHz"}."""
    for dotted, value in overrides.items():
        table, _, key = dotted.rpartition(".")
        text = with_value(text, (table, key) if table else (key,), override_value(table, key, value))
    return text


def _replace(table: Any, name: str, value: str | int | bool) -> None:
    """Puts the value in, and its comment where it stood before if there is room."""
    container = _container(table)
    before = container.item(name) if container else None
    length = len(before.as_string()) if isinstance(before, Item) else 0
    table[name] = value
    after = container.item(name) if container else None
    if isinstance(before, Item) and isinstance(after, Item) and before.trivia.comment:
        spaces = len(before.trivia.comment_ws) + length - len(after.as_string())
        after.trivia.comment_ws = " " * max(1, spaces)


def _leave_out(table: Any, name: str) -> None:
    """Takes the key out; what was said behind it is left in a line of its own."""
    if name not in table:
        return
    container = _container(table)
    item = container.item(name) if container else None
    said = item.trivia if isinstance(item, Item) else Trivia()
    if container and said.comment and not isinstance(table, InlineTable):
        at = next(n for n, (key, _) in enumerate(container.body) if key is not None and key.key == name)
        container.body[at] = (None, Comment(Trivia(indent=said.indent, comment=said.comment, trail=said.trail)))
    else:
        del table[name]


def _container(table: Any) -> Container | None:
    """What holds the entries of a table; None for one that is written in several places."""
    found = table if isinstance(table, Container) else getattr(table, "value", None)
    return found if isinstance(found, Container) else None


def with_row(text: str, table: str, key: str, name: str) -> str:
    """The text with one more [[table]] behind the last, which has that key alone."""
    block = f'[[{table}]]\n{key} = "{name}"\n'
    if value_at(text, (table,)) is None:
        return f"{text.rstrip()}\n\n{block}"
    return _rearranged(text, table, lambda blocks: [*blocks, block])


def without_row(text: str, table: str, at: int) -> str:
    """The text without that [[table]], counted from 0."""
    return _rearranged(text, table, lambda blocks: [*blocks[:at], *blocks[at + 1 :]])


def with_moved_row(text: str, table: str, at: int, to: int) -> str:
    """The text with that [[table]] at another place, both counted from 0."""

    def moved(blocks: Sequence[str]) -> list[str]:
        rest = [*blocks[:at], *blocks[at + 1 :]]
        return [*rest[:to], blocks[at], *rest[to:]]

    return _rearranged(text, table, moved)


def _rearranged(text: str, table: str, change: Callable[[Sequence[str]], list[str]]) -> str:
    """The text with its [[table]]s in another order; what stands between them keeps its place."""
    lines = text.splitlines(keepends=True)
    head_of = re.compile(rf"\s*\[\[\s*{table}\s*\]\]")
    part_of = re.compile(rf"\s*\[+\s*{table}\s*\.")
    heads = [n for n, line in enumerate(lines) if head_of.match(line)]
    spans = [(head, _end(lines, head, part_of)) for head in heads]
    count = len(value_at(text, (table,)) or ())  # type: ignore[arg-type]
    if len(heads) != count or not heads:
        raise _refused((table,), f"they are not all written as [[{table}]]: change them in the file")
    blocks = ["".join(lines[head:end]).rstrip("\n") + "\n" for head, end in spans]
    ordered = change(blocks)
    made = "".join(lines[: heads[0]])
    for n, (_, end) in enumerate(spans):
        between = "".join(lines[end : heads[n + 1] if n + 1 < count else len(lines)])
        if n == count - 1:
            # what there are more or fewer of stand behind the last, an empty line apart
            made += "\n".join(ordered[n:])
            made += between if ordered[n:] else between.lstrip("\r\n")
        elif n < len(ordered):
            made += ordered[n] + between
        else:
            made += between if between.strip() else ""
    return made


def _end(lines: Sequence[str], head: int, part_of: re.Pattern[str]) -> int:
    """The line after the last key of the table and of those in it, and what is said right below it."""
    following = (n for n in range(head + 1, len(lines)) if _TABLE.match(lines[n]) and not part_of.match(lines[n]))
    end = next(following, len(lines))
    keys = [n for n in range(head, end) if lines[n].strip() and not lines[n].lstrip().startswith("#")]
    return next((n for n in range(keys[-1] + 1, end) if not lines[n].strip()), end)


def _refused(key: KeyPath, found: str) -> InputError:
    return InputError([Problem("W001 edit", "error", Place(key=key_text(key)), found)])
