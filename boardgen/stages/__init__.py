"""The stages of a board, each a file with one record. A new one is its file and its line in STAGES."""

from __future__ import annotations

from boardgen.stages.attenuator import ATTENUATORS
from boardgen.stages.braid_breaker import BRAID_BREAKER
from boardgen.stages.bus import BUS
from boardgen.stages.changeover import CHANGEOVER
from boardgen.stages.control_entry import CONTROL_ENTRY
from boardgen.stages.earth import EARTH
from boardgen.stages.feed import FEED
from boardgen.stages.port import PORT
from boardgen.stages.selector import SELECTOR
from boardgen.stages.stage import BoardStage, StripStage
from boardgen.stages.surge import SURGE

STAGES: tuple[StripStage | BoardStage, ...] = (
    PORT,
    SURGE,
    FEED,
    BRAID_BREAKER,
    SELECTOR,
    CHANGEOVER,
    *ATTENUATORS,
    BUS,
    EARTH,
    CONTROL_ENTRY,
)
"""From the port inward, then what the board has once. A board has either selectors or changeovers."""

STRIP_STAGES = tuple(stage for stage in STAGES if isinstance(stage, StripStage))
BOARD_STAGES = tuple(stage for stage in STAGES if isinstance(stage, BoardStage))
