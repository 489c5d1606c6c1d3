"""Reading a file that the user names: a regular one, and not a huge one."""

from __future__ import annotations

import errno
import stat
from pathlib import Path

MOST_BYTES = 16 * 1024 * 1024


def read_plain_file(path: Path) -> bytes:
    """The content. Raises OSError also for a device or a pipe, which may never end, and for more than 16 MiB."""
    status = path.stat()
    if not stat.S_ISREG(status.st_mode) and not path.is_dir():
        raise OSError(errno.EINVAL, "it is not a regular file", str(path))
    if status.st_size > MOST_BYTES:
        raise OSError(errno.EFBIG, "it is larger than 16 MiB", str(path))
    return path.read_bytes()
