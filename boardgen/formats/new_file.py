"""Writes files that must not exist yet."""

from __future__ import annotations

import os
from collections.abc import Mapping
from pathlib import Path

from boardgen.model.problem import InputError, Place, Problem


def write_all_new(texts: Mapping[Path, str]) -> None:
    """Writes all of these files or none. Raises InputError where one exists or cannot be written."""
    written: list[Path] = []
    try:
        for path, text in texts.items():
            write_new(path, text)
            written.append(path)
    except InputError:
        for path in written:
            path.unlink()
        raise


def write_new(path: Path, text: str) -> None:
    """Writes the text whole or not at all. Raises InputError where the file exists or cannot be written."""
    try:
        with path.open("x", encoding="utf-8", newline="\n") as file:
            try:
                file.write(text)
                file.flush()
                os.fsync(file.fileno())
            except OSError:
                path.unlink()
                raise
    except FileExistsError:
        raise _refused(path, "this file exists already", "Choose another name; nothing is ever overwritten.") from None
    except OSError as error:
        raise _refused(path, f"the file cannot be written: {error.strerror}", "Choose another place.") from None
    except ValueError:
        raise _refused(path, "its name cannot be used", "Choose another name.") from None


def _refused(path: Path, found: str, hint: str) -> InputError:
    return InputError([Problem("U006 new file", "error", Place(str(path)), found, "", hint)])
