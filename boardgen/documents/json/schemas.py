"""The schema of every document."""

from __future__ import annotations

from boardgen.documents.json.build import Build
from boardgen.documents.json.commands import Faults, Proved, Started
from boardgen.documents.json.comparison import Comparison
from boardgen.documents.json.document import json_schema
from boardgen.documents.json.explored import Exploration
from boardgen.documents.json.measured import Measured
from boardgen.documents.json.order import Order
from boardgen.documents.json.response import Response
from boardgen.documents.json.selection import Selection
from boardgen.documents.json.station import Station
from boardgen.documents.json.values import Values
from boardgen.purchasing.needs_file import Needs

DOCUMENTS = (
    Build,
    Comparison,
    Exploration,
    Faults,
    Measured,
    Needs,
    Order,
    Proved,
    Response,
    Selection,
    Started,
    Station,
    Values,
)


def schemas() -> dict[str, bytes]:
    """The schemas by file name: "build.schema.json" for the document "boardgen build 1"."""
    return {f"{str(kind.__struct_config__.tag).split()[1]}.schema.json": json_schema(kind) for kind in DOCUMENTS}
