"""DXF by the optional library ezdxf: lines, circles and words on named layers, in millimetres, always the same bytes.

Source: Autodesk, DXF Reference, release 2010 (AC1024): the entities LWPOLYLINE, CIRCLE and TEXT, and of the header the
unit, $INSUNITS. Recalled.
"""

from __future__ import annotations

import contextlib
import importlib
import io
from collections.abc import Iterator, Mapping, Sequence
from types import ModuleType

from msgspec import Struct

from boardgen.model.problem import InputError, Place, Problem

EXTRA = "dxf"
MILLIMETRES = 4
"""The value of $INSUNITS."""
PointMm = tuple[float, float]


class Line(Struct, frozen=True):
    """A chain of straight lines through points, closed where its last is its first."""

    layer: str
    points: tuple[PointMm, ...]


class Circle(Struct, frozen=True):
    """A circle by its middle and diameter."""

    layer: str
    at: PointMm
    diameter_mm: float


class Words(Struct, frozen=True):
    """A line of text from its left foot, turned anticlockwise."""

    layer: str
    at: PointMm
    text: str
    high_mm: float
    degrees: float = 0.0


def dxf(layers: Mapping[str, int], shapes: Sequence[Line | Circle | Words]) -> bytes:
    """A drawing at 1:1, y upwards. `layers` gives each its colour number, 1 to 255, of which 7 is black or white.

    Raises InputError where the library is missing.
    """
    ezdxf = load()
    with _nothing_of_today(ezdxf):
        drawing = ezdxf.new("R2010", units=MILLIMETRES)
        for name, colour in layers.items():
            drawing.layers.add(name, color=colour)
        space = drawing.modelspace()
        for shape in shapes:
            layer = {"layer": shape.layer}
            if isinstance(shape, Circle):
                space.add_circle(shape.at, shape.diameter_mm / 2, dxfattribs=layer)
            elif isinstance(shape, Words):
                space.add_text(
                    shape.text, height=shape.high_mm, rotation=shape.degrees, dxfattribs={**layer, "insert": shape.at}
                )
            else:
                closed = shape.points[0] == shape.points[-1]
                space.add_lwpolyline(shape.points[:-1] if closed else shape.points, close=closed, dxfattribs=layer)
        # what writing would add in the order of a set, which is another in each process
        for kind in sorted(drawing.entitydb.dxf_types_in_use()):
            drawing.classes.add_class(kind)
        text = io.StringIO(newline="\n")
        drawing.write(text)
    return text.getvalue().encode(drawing.output_encoding)


def load() -> ModuleType:
    """The library. Raises InputError where it is missing."""
    try:
        return importlib.import_module("ezdxf")
    except ImportError as error:
        found = "DXF needs the library ezdxf, which is not installed here"
        hint = f'Install it in the folder of boardgen with: pip install ".[{EXTRA}]"'
        raise InputError([Problem("U012 no DXF", "error", Place("--dxf"), found, "", hint)]) from error


@contextlib.contextmanager
def _nothing_of_today(ezdxf: ModuleType) -> Iterator[None]:
    """Fixed dates and identifiers in the header."""
    options = ezdxf.options
    before = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True
    try:
        yield
    finally:
        options.write_fixed_meta_data_for_testing = before
