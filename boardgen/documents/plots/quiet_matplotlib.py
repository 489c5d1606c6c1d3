"""The one door to matplotlib: imports it without a trace in the user's folders."""

from __future__ import annotations

import functools
import json
import os
import tempfile
from pathlib import Path
from types import ModuleType

FOLDER = "MPLCONFIGDIR"
LIST_VERSION = "3.11.0"
"""Version of matplotlib's list of fonts, which changes less often than the library's own."""


@functools.cache
def load() -> ModuleType:
    """Matplotlib with its figures, imported once with its caches in a temporary folder, which is gone afterwards."""
    before = os.environ.get(FOLDER)
    with tempfile.TemporaryDirectory(prefix="boardgen-") as scratch:
        os.environ[FOLDER] = scratch
        try:
            import matplotlib as mpl

            _list_of_own_fonts(scratch)
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


def _list_of_own_fonts(folder: str) -> None:
    """Puts a list of fonts where matplotlib looks for the last one it made: it need not read every font there is.

    The list names the plain font that comes with the library, so that pictures do not depend on the machine's. Where
    the library wants a list of another version, it makes its own.
    """
    fonts = [
        {
            "fname": f"fonts/ttf/{file}.ttf", "name": "DejaVu Sans", "style": "normal", "variant": "normal",
            "weight": weight, "stretch": "normal", "size": "scalable", "index": 0, "__class__": "FontEntry",
        }
        for file, weight in (("DejaVuSans", 400), ("DejaVuSans-Bold", 700))
    ]  # fmt: skip
    manager = {
        "_version": LIST_VERSION, "_FontManager__default_weight": "normal", "default_size": None,
        "defaultFamily": {"ttf": "DejaVu Sans", "afm": "Helvetica"}, "afmlist": [], "ttflist": fonts,
        "__class__": "FontManager",
    }  # fmt: skip
    Path(folder, f"fontlist-v{LIST_VERSION}.json").write_text(json.dumps(manager))
