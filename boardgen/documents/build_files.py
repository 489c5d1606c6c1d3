"""The files of a build, as bytes by name."""

from __future__ import annotations

import json
from collections.abc import Mapping

from boardgen.design import Design
from boardgen.documents import values
from boardgen.documents.order_files import order_files
from boardgen.documents.response import targets_document
from boardgen.documents.response_files import response_files


def build_files(design: Design, footprint_names: Mapping[str, str], date: str) -> dict[str, bytes]:
    """Everything that `build` writes but the manifest. `date` is written into the netlist, "" for none."""
    sized = values.document(design.spec, design.choices, design.problems, targets_document(design.prediction))
    return {
        **order_files(design, footprint_names, date),
        "values.json": json_bytes(sized),
        **response_files(design.prediction),
    }


def json_bytes(document: object) -> bytes:
    """A JSON document, always the same bytes for the same content."""
    return (json.dumps(document, indent=2, ensure_ascii=False, allow_nan=False) + "\n").encode()
