"""Reading a file that the user names: a regular one, not a huge one, in UTF-8. The one place where it is done."""

from __future__ import annotations

import errno
import stat
from pathlib import Path


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
