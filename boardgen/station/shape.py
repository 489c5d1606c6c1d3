"""What a plan may hold, for the sentences about its faults."""

from __future__ import annotations

from boardgen.spec.faults import Shape
from boardgen.station.keys import Box, ControlCable, Direction, FeederCable, Plan, Receiver, Remote, Source

SHAPE = Shape(
    {
        "": Plan,
        "source": Source,
        "box": Box,
        "box.feeder": FeederCable,
        "box.control": ControlCable,
        "receiver": Receiver,
        "remote": Remote,
        "direction": Direction,
    },
    ("box", "remote", "direction"),
    {
        ("source",): "write [source] with outputs under it",
        ("source", "outputs"): "write outputs = 8 under [source]: how many contacts there are",
        ("box",): "write [[box]] with name and spec under it, once for each box",
        ("box", "name"): 'write name = "dune" under [[box]]',
        ("box", "spec"): 'write spec = "dune.toml" under [[box]]: the specification of the box',
        ("remote",): "write [[remote]] with name and antenna under it, once for each remote",
        ("remote", "name"): 'write name = "pair switch a" under [[remote]]',
        ("remote", "antenna"): 'write antenna = "dune/north-east" under [[remote]]: box and antenna',
        ("direction",): "write [[direction]] with label, bearing and antenna under it, once for each direction",
        ("direction", "label"): 'write label = "north-east" under [[direction]]',
        ("direction", "bearing"): 'write bearing = "45 deg" under [[direction]]',
        ("direction", "antenna"): 'write antenna = "dune/north-east" under [[direction]]: box and antenna',
    },
)
