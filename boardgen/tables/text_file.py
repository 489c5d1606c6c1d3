"""Reading a file that the user names: a regular one, not a huge one, in UTF-8. The one place where it is done."""

from __future__ import annotations

import errno
import stat
from collections.abc import Sequence
from pathlib import Path

from boardgen.model.problem import InputError, Place, Problem


def read_plain_file(path: Path, most_mib: int = 16) -> bytes:
    """The content.

    Raises OSError also for a device or a pipe, which may never end, and for more than so many MiB; ValueError for a
    name that no file can have.
    """
    if not stat.S_ISREG(path.stat().st_mode):
        raise OSError(errno.EINVAL, "it is not a regular file", str(path))
    most = most_mib * 1024 * 1024
    with path.open("rb") as file:
        content = file.read(most + 1)
    if len(content) > most:
        raise OSError(errno.EFBIG, f"it is larger than {most_mib} MiB", str(path))
    return content


def read_text_file(path: Path) -> str:
    """The content as text. Raises OSError as above, and UnicodeDecodeError where it is not UTF-8."""
    return read_plain_file(path).decode("utf-8-sig")


def read_tables(paths: Sequence[Path]) -> tuple[tuple[str, str], ...]:
    """Name and text of each file with a table; a folder stands for its *.csv.

    Raises InputError naming every file that cannot be read as UTF-8 text, and every folder without such files.
    """
    faults: list[Problem] = []
    texts = []
    for path in paths:
        try:
            texts += [(str(file), read_text_file(file)) for file in _files(path)]
        except UnicodeDecodeError as error:
            faults.append(_fault(path, f"is not UTF-8 text (byte {error.start})"))
        except OSError as error:
            faults.append(_fault(path, f"cannot be read: {error.strerror}"))
    if faults:
        raise InputError(faults)
    return tuple(texts)


def _files(path: Path) -> Sequence[Path]:
    if not path.is_dir():
        return [path]
    files = sorted(path.glob("*.csv"))
    if not files:
        raise FileNotFoundError(2, "no *.csv in the folder", str(path))
    return files


def _fault(path: Path, found: str) -> Problem:
    return Problem("price-file", "error", Place(str(path)), f"the price file {found}", "comma-separated UTF-8 text")
