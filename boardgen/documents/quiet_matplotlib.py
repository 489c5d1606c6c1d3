"""The one door to matplotlib: imports it without a trace in the user's folders."""

from __future__ import annotations

import functools
import os
import tempfile
from types import ModuleType

FOLDER = "MPLCONFIGDIR"


@functools.cache
def load() -> ModuleType:
    """Matplotlib with its figures, imported once with its caches in a temporary folder, which is gone afterwards."""
    before = os.environ.get(FOLDER)
    with tempfile.TemporaryDirectory(prefix="boardgen-") as scratch:
        os.environ[FOLDER] = scratch
        try:
            import matplotlib as mpl
            import matplotlib.figure
            import matplotlib.font_manager

            mpl.get_configdir()
            mpl.get_cachedir()
        finally:
            if before is None:
                del os.environ[FOLDER]
            else:
                os.environ[FOLDER] = before
    return mpl
