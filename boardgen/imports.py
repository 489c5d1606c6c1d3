"""Imports of a library as if its optional companions were not installed."""

from __future__ import annotations

import contextlib
import sys
from collections.abc import Iterator
from types import ModuleType


@contextlib.contextmanager
def absent(*modules: str) -> Iterator[None]:
    """Makes an import of these modules fail inside the block, and puts back what was there."""
    before: dict[str, ModuleType] = {name: sys.modules[name] for name in modules if name in sys.modules}
    sys.modules.update(dict.fromkeys(modules))  # type: ignore[arg-type]
    try:
        yield
    finally:
        for name in modules:
            del sys.modules[name]
        sys.modules.update(before)
