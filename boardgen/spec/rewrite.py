"""A specification's text with keys changed; all else, comments too, stays as the user wrote it."""

from __future__ import annotations

from collections.abc import Mapping

from boardgen.spec.load import override_value


def with_overrides(text: str, overrides: Mapping[str, str]) -> str:
    """The text with dotted keys set to these values, as `read_text` takes them.

    Parameters
    ----------
    text : a specification that `read_text` reads with these overrides
    overrides : such as {"band.lowest": "472 kHz"}

    """
    # loaded where a text is written: what only reads a specification has no use for it
    import tomlkit

    document = tomlkit.parse(text)
    for dotted, value in overrides.items():
        table, _, key = dotted.rpartition(".")
        if table and table not in document:
            document[table] = tomlkit.table()
        where = document[table] if table else document
        where[key] = override_value(table, key, value)
    return document.as_string()
