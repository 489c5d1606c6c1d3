"""One board as it is built, in bytes; and what a careless or a bad hand renews after it has changed a file."""

from __future__ import annotations

from functools import lru_cache

from boardgen.design import Design, make_design
from boardgen.documents.build_files import board_files
from boardgen.documents.json.document import json_bytes
from boardgen.documents.named import Names, named_netlist
from boardgen.documents.order.tables import bill_csv
from boardgen.formats.fixed_zip import fixed_zip
from boardgen.formats.netlist import netlist_text
from boardgen.proof.built import BILL, FABRICATION, NEEDS, NETLIST
from boardgen.purchasing.needs_file import needs_document
from boardgen.request import Request
from boardgen.spec.load import read_text
from tests.catalogue.shipped import CATALOGUE
from tests.circuit.options import specification

Files = dict[str, bytes]
OPTION = {"feed": "local rail", "earth_to_0v": "gas tube"}


@lru_cache(maxsize=1)
def design() -> Design:
    return make_design(Request(read_text(specification(OPTION, 2)), CATALOGUE), laid_out=True)


def files_of(made: Design, names: Names) -> Files:
    """What the proof reads of a build; `names` are those of a user's own footprints."""
    board = made.layout.board if made.layout else None
    netlist = netlist_text(named_netlist(made.netlist, board, names), "boardgen 0", {}, "2026-11-25")
    bought = {BILL: bill_csv(made.bill), NEEDS: json_bytes(needs_document(made.content))}
    return board_files(made, names, "2026-11-25") | {NETLIST: netlist.encode(), **bought}


@lru_cache(maxsize=1)
def good() -> Files:
    return files_of(design(), {})


def archive_in(files: Files) -> str:
    (name,) = (name for name in files if name.endswith(".zip"))
    return name


def packed_again(files: Files) -> Files:
    """The files with an archive that holds them as they are now."""
    name = archive_in(good())
    loose = {
        path.removeprefix(FABRICATION): data
        for path, data in files.items()
        if path.startswith(FABRICATION) and path != name
    }
    return {**files, name: fixed_zip(loose)}
