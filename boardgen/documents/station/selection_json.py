"""The selection table for station automation, and the schema that documents it."""

from __future__ import annotations

from boardgen.station.conductors import Conductor
from boardgen.station.table import Row
from boardgen.station_design import StationDesign

SCHEMA_NAME = "boardgen selection 1"


def document(design: StationDesign) -> dict[str, object]:
    """The table as plain data, as `schema` describes it."""
    plan, steering, made = design.plan, design.station.steering, design.table
    return {
        "schema": SCHEMA_NAME,
        "title": plan.title,
        "revision": plan.revision,
        "source": {"kind": plan.source.kind, "outputs": plan.source.outputs, "used": len(steering.outputs)},
        "rest": {"feeder": made.rest, "outputs": []},
        "outputs": [
            {
                "number": o.number,
                "pole": o.pole,
                "works": [str(load) for load in o.works],
                "directions": list(o.directions),
            }
            for o in steering.outputs
        ],
        "directions": [_row(row) for row in made.rows],
    }


def _row(row: Row) -> dict[str, object]:
    return {
        "label": row.direction,
        "bearing_deg": row.bearing_deg,
        "box": row.box,
        "antenna": row.antenna,
        "remote": row.remote or None,
        "position": row.position or None,
        "outputs": list(row.outputs),
        "conductors": [_conductor(box, c) for box, c in row.live],
        "relays": [{"board": r.board, "relay": r.ref, "brings": r.strip} for r in row.relays],
        "feeds": [{"box": box, "antenna": antenna} for box, antenna in row.fed],
        "feeder": row.feeder,
    }


def _conductor(box: str, c: Conductor) -> dict[str, object]:
    return {"box": box, "cable": c.place.cable, "position": c.place.position, "colour": c.place.colour or None}


def _object(what: str, /, **properties: object) -> dict[str, object]:
    return {
        "type": "object",
        "description": what,
        "properties": properties,
        "required": list(properties),
        "additionalProperties": False,
    }


def _list(title: str, items: object) -> dict[str, object]:
    return {"type": "array", "description": title, "items": items}


def _text(title: str) -> dict[str, object]:
    return {"type": "string", "description": title}


def _count(title: str, least: int = 1) -> dict[str, object]:
    return {"type": "integer", "minimum": least, "description": title}


def schema() -> dict[str, object]:
    """The table's schema, in JSON Schema (draft 2020-12, an open standard)."""
    outputs = _list("Numbers of the outputs that are on; all others are off.", _count("Number of an output."))
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": SCHEMA_NAME,
        **_object(
            "What to switch on for each direction of a station.",
            schema={"const": SCHEMA_NAME},
            title=_text("Title of the plan."),
            revision=_text("Revision of the plan."),
            source=_object(
                "What works the lines.",
                kind={"enum": ["relay outputs", "manual switch"]},
                outputs=_count("Outputs, or positions of a switch, that there are."),
                used=_count("Outputs that work something.", 0),
            ),
            rest=_object(
                "The state in which nothing is on: one feeder is through, with no antenna.",
                feeder=_text("Box whose feeder is through."),
                outputs=outputs,
            ),
            outputs=_list(
                "Every output.",
                _object(
                    "An output.",
                    number=_count("Its number."),
                    pole=_count("Pole of a switch that it belongs to."),
                    works=_list("What it works.", _text("Box and antenna, box and feed, or feeder and box.")),
                    directions=_list("The directions for which it is on.", _text("Label of a direction.")),
                ),
            ),
            directions=_list("Every direction, in the plan's order.", _direction(outputs)),
        ),
    }


def _direction(outputs: object) -> dict[str, object]:
    absent = ["integer", "null"]
    return _object(
        "A direction.",
        label=_text("Its label."),
        bearing_deg={"type": "number", "minimum": 0, "maximum": 360, "description": "From north over east."},
        box=_text("Box of its antenna."),
        antenna=_text("Label of its antenna in that box."),
        remote={"type": ["string", "null"], "description": "Remote that is on as well."},
        position={"type": absent, "minimum": 1, "description": "Position of a manual switch."},
        outputs=outputs,
        conductors=_list(
            "The conductors that carry the supply.",
            _object(
                "A conductor.",
                box=_text("Box to which its cable goes."),
                cable=_count("Cable to that box."),
                position=_count("Position in the cable; in one of eight, the pin of an eight-way jack."),
                colour={"type": ["string", "null"], "description": "Colour, where it is known."},
            ),
        ),
        relays=_list(
            "The relays that are energised.",
            _object(
                "A relay.",
                board=_text("Box, or selector."),
                relay=_text("Designator."),
                brings=_text("Antenna or feeder that it brings through."),
            ),
        ),
        feeds=_list(
            "The antennas up whose coax a feed goes.",
            _object("A feed.", box=_text("Box."), antenna=_text("Label of the antenna.")),
        ),
        feeder=_text("Box whose feeder is through."),
    )
