"""The files of a station, as bytes by name: its own, and those of every box in a folder of the box's name."""

from __future__ import annotations

from collections.abc import Mapping

from boardgen.documents import selection_json, station_summary
from boardgen.documents import station_tables as tables
from boardgen.documents.build_files import build_files, json_bytes
from boardgen.spec.label import folder_name
from boardgen.station_design import StationDesign


def station_files(design: StationDesign, footprint_names: Mapping[str, str], date: str) -> dict[str, bytes]:
    """Everything that `station` writes but the manifest."""
    files = own_files(design)
    for name, box in design.boxes.items():
        made = build_files(box, footprint_names, date)
        files |= {f"{box_folder(name)}/{file}": data for file, data in made.items()}
    return files


def box_folder(name: str) -> str:
    """The folder of a box within the station's."""
    return f"boxes/{folder_name(name) or 'box'}"


def own_files(design: StationDesign) -> dict[str, bytes]:
    """The station's own tables and data."""
    files = {
        "selection.csv": tables.csv_bytes(tables.SELECTION, tables.selection(design)),
        "selection.json": json_bytes(selection_json.document(design)),
        "selection.schema.json": json_bytes(selection_json.schema()),
        "steering.csv": tables.csv_bytes(tables.JOINTS, tables.joints(design)),
        "conductors.csv": tables.csv_bytes(tables.CONDUCTORS, tables.conductors(design)),
        "proof.csv": tables.csv_bytes(tables.PROOF, tables.proof(design)),
        "faults.csv": tables.csv_bytes(tables.FAULTS, tables.faults(design)),
        "paths.csv": tables.csv_bytes(tables.PATHS, tables.paths(design)),
        "station.json": json_bytes(station_summary.values(design)),
    }
    if design.plan.source.kind == "manual switch":
        files["switch.csv"] = tables.csv_bytes(tables.CONTACTS, tables.switch_contacts(design))
    return files
