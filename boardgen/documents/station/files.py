"""The files of a station, as bytes by name: its own, and those of every board in a folder of its own."""

from __future__ import annotations

from functools import partial

from boardgen.documents.book.source import StationSide
from boardgen.documents.build_files import build_files
from boardgen.documents.json.document import json_bytes, json_schema
from boardgen.documents.json.selection import Selection, selection_document
from boardgen.documents.json.station import station_document
from boardgen.documents.named import Names
from boardgen.documents.station import tables
from boardgen.documents.station.book import book_files
from boardgen.documents.station.folders import SELECTOR, box_folder, folders
from boardgen.documents.station.source import Source
from boardgen.model.progress import Tell, tell_nobody
from boardgen.model.tasks import Run, in_turn
from boardgen.purchasing import needs_file
from boardgen.station_design import StationDesign


def station_files(
    design: StationDesign, names: Names, date: str, tell: Tell = tell_nobody, run: Run = in_turn
) -> dict[str, bytes]:
    """Everything that `station` writes but the manifest; `run` makes the files of its boards."""
    files = own_files(design) | book_files(Source(design, date))
    cables = {box_folder(name): cable.conductors for name, cable in design.station.cables.items()}
    boards = folders(design)
    sides = {folder: StationSide(cables.get(folder, ()), design.plan.source.colours) for folder in boards}
    tasks = [partial(build_files, board, names, date, station=sides[folder]) for folder, board in boards.items()]
    for number, (folder, made) in enumerate(zip(boards, run(tasks), strict=True), 1):
        files |= {f"{folder}/{file}": data for file, data in made.items()}
        tell(f"board {number} of {len(boards)}", number / len(boards))
    if design.selector is not None and design.own_selector is None:
        files[f"{SELECTOR}/selector.toml"] = design.selector_text.encode()
    return files


def own_files(design: StationDesign) -> dict[str, bytes]:
    """The station's own tables and data."""
    files = {
        "selection.csv": tables.table_bytes(tables.SELECTION, tables.selection(design)),
        "selection.json": json_bytes(selection_document(design)),
        "selection.schema.json": json_schema(Selection),
        "steering.csv": tables.table_bytes(tables.JOINTS, tables.joints(design)),
        "never-together.csv": tables.table_bytes(tables.BARRED, tables.never_together(design)),
        "conductors.csv": tables.table_bytes(tables.CONDUCTORS, tables.conductors(design)),
        "proof.csv": tables.table_bytes(tables.PROOF, tables.proof(design)),
        "faults.csv": tables.table_bytes(tables.FAULTS, tables.faults(design)),
        "paths.csv": tables.table_bytes(tables.PATHS, tables.paths(design)),
        "station.json": json_bytes(station_document(design)),
        needs_file.NAME: json_bytes(needs_file.needs_document(design.beside_content, tuple(folders(design)))),
    }
    if design.source.is_switch:
        files["switch.csv"] = tables.table_bytes(tables.CONTACTS, tables.switch_contacts(design))
    return files
