"""Where the inputs come from that the options and the environment name."""

from __future__ import annotations

import math
import os
import re
from datetime import UTC, date, datetime

from msgspec.structs import replace

from boardgen.cli.options import Data, Override
from boardgen.inputs.board import Sources
from boardgen.model.problem import InputError, Place, Problem

VARIABLE = "SOURCE_DATE_EPOCH"


def sources(override: Override, data: Data) -> Sources:
    """What these options name, without a day."""
    return Sources(overrides=override.keys(), parts=data.parts, prices=data.prices)


def dated_sources(override: Override, data: Data) -> Sources:
    """The same on the day of the build."""
    return replace(sources(override, data), on=build_day())


def build_day() -> date | None:
    """The day in the variable, None without it: no clock is asked, so that equal inputs give equal bytes.

    Raises InputError where it holds anything else.
    """
    text = os.environ.get(VARIABLE)
    if text is None:
        return None
    try:
        seconds = int(text) if re.fullmatch("[0-9]+", text, re.ASCII) else -math.inf
        return datetime.fromtimestamp(seconds, UTC).date()
    except (ValueError, OverflowError, OSError):
        found = f"{VARIABLE} is {text!r}"
        problem = Problem("U003 date", "error", Place("environment"), found, "seconds since 1970 are allowed")
        raise InputError([problem]) from None
