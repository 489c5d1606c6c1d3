"""The versions of the libraries that a build was made with."""

from __future__ import annotations

import re
from importlib.metadata import distribution, version

_VERSION = re.compile(r"^Version: *(\S+)", re.MULTILINE)


def version_of(library: str) -> str:
    """The installed version, from the head of its description; to parse all of one takes a millisecond."""
    head, _, _ = (distribution(library).read_text("METADATA") or "").partition("\n\n")
    found = _VERSION.search(head)
    return found[1] if found else version(library)
