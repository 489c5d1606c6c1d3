"""Puts a text into a file that is there, whole or not at all."""

from __future__ import annotations

import os
import tempfile
from contextlib import suppress
from pathlib import Path

from boardgen.model.problem import InputError, Place, Problem


def save_over(path: Path, before: bytes, content: bytes) -> None:
    """Puts the content in the place of what was there before; whoever ends the process leaves one of the two.

    Raises InputError where the file holds something else by now, or cannot be written.
    """
    target = path.resolve()
    try:
        handle, name = tempfile.mkstemp(prefix=f".{target.name}-", dir=target.parent)
        made = Path(name)
        try:
            with os.fdopen(handle, "wb") as file:
                file.write(content)
                file.flush()
                os.fsync(file.fileno())
            made.chmod(target.stat().st_mode & 0o7777)
            _check_same(path, target.read_bytes(), before)
            made.replace(target)
        except BaseException:
            with suppress(OSError):
                made.unlink()
            raise
    except OSError as error:
        raise _refused(path, f"the file cannot be written: {error.strerror}", "Nothing was changed.") from None


def _check_same(path: Path, found: bytes, before: bytes) -> None:
    if found != before:
        raise _refused(path, "the file was changed outside meanwhile", "Look at what it holds, and save again.")


def _refused(path: Path, found: str, hint: str) -> InputError:
    return InputError([Problem("U012 saved file", "error", Place(str(path)), found, "", hint)])
