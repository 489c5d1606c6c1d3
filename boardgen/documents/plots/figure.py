"""The one door to matplotlib: figures as SVG, always the same bytes, without a trace in the user's folders."""

from __future__ import annotations

import functools
import io
import os
import re
import tempfile
import warnings
from collections.abc import Callable
from contextlib import suppress
from types import ModuleType
from typing import TYPE_CHECKING, Any

from boardgen.documents.canvas import INK, PAPER, SOFT
from boardgen.documents.letters import SANS

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

FOLDER, BACKEND = "MPLCONFIGDIR", "MPLBACKEND"
WIDE_IN = 7.5
VALUE = "value:"
"""Begins the group of a text that shows a value, before its names."""
IDENTIFIERS = re.compile(r'\bid="|href="#|url\(#')
"""What stands before an identifier."""
TITLE_LETTERS = 76
STYLE: Any = {
    "svg.hashsalt": "boardgen",
    "svg.fonttype": "none",
    "font.family": "sans-serif",
    "font.sans-serif": [SANS],
    "font.size": 9.0,
    "text.color": INK,
    "axes.edgecolor": SOFT,
    "axes.labelcolor": INK,
    "xtick.color": INK,
    "ytick.color": INK,
}


@functools.cache
def load() -> ModuleType:
    """Matplotlib with its figures, imported once with its caches in a temporary folder, which is gone afterwards."""
    before = {name: os.environ.pop(name, None) for name in (FOLDER, BACKEND)}
    with tempfile.TemporaryDirectory(prefix="boardgen-") as scratch:
        os.environ[FOLDER] = scratch
        try:
            import matplotlib as mpl
            import matplotlib.figure

            mpl.get_configdir()
            mpl.get_cachedir()
        finally:
            del os.environ[FOLDER]
            os.environ.update({name: text for name, text in before.items() if text is not None})
    if backend := before[BACKEND]:
        # what a notebook draws with stays its own; one that is not installed here is no concern of ours
        with suppress(ValueError):
            mpl.rcParams["backend"] = backend
    return mpl


def figure_svg(high_in: float, draw: Callable[[Figure], None], own: str = "") -> str:
    """What `draw` puts on a sheet of so many inches, as SVG without letters of its own.

    `own` begins all identifiers, so that two figures can stand on one page.
    Places on it are to be given: a layout that is solved for differs in its last digits from run to run.
    """
    library = load()
    with library.rc_context(STYLE):
        figure = library.figure.Figure(figsize=(WIDE_IN, high_in), facecolor=PAPER)
        draw(figure)
        content = io.StringIO()
        with warnings.catch_warnings():
            # the letters of the drawing are cut later, and a sign that they lack is left as it is
            warnings.filterwarnings("ignore", "Glyph .* missing from font", UserWarning)
            figure.savefig(content, format="svg", metadata={"Date": None, "Creator": None})
    # as on a canvas, no letter is moved to a whole point of a screen
    svg = content.getvalue().replace("<svg ", '<svg text-rendering="geometricPrecision" ', 1)
    svg = svg.replace(f'<g id="{VALUE}', '<g data-value="')
    return IDENTIFIERS.sub(rf"\g<0>{own}", svg) if own else svg


def axes_at(figure: Figure, left_in: float, top_in: float, wide_in: float, high_in: float) -> Axes:
    """A pair of axes with its upper left corner so many inches from that of the sheet."""
    wide, high = figure.get_size_inches()
    return figure.add_axes((left_in / wide, 1 - (top_in + high_in) / high, wide_in / wide, high_in / high))


def write(figure: Figure, x_in: float, y_in: float, words: str, **style: Any) -> None:
    """Words on the sheet, their middle so many inches from its upper edge; also with dollar signs in them."""
    wide, high = figure.get_size_inches()
    usual: Any = {"color": INK, "va": "center", "parse_math": False}
    figure.text(x_in / wide, 1 - y_in / high, words, **usual | style)
