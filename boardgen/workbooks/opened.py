"""Opens a workbook that somebody gives, whatever it may be."""

from __future__ import annotations

import io
import warnings
import zipfile
from typing import TYPE_CHECKING

from boardgen.imports import absent
from boardgen.model.problem import InputError, Place, Problem

if TYPE_CHECKING:
    from openpyxl import Workbook

MOST_BYTES = 64 * 1024 * 1024
"""A workbook that unpacks to more is refused."""


def opened(data: bytes, file: str) -> Workbook:
    """The workbook with its formulas. Raises InputError where it is none, or unpacks to very much."""
    with absent("numpy", "PIL"):
        from openpyxl import load_workbook
    try:
        size = sum(entry.file_size for entry in zipfile.ZipFile(io.BytesIO(data)).infolist())
        if size <= MOST_BYTES:
            with warnings.catch_warnings():
                # The library says what of a workbook it does not keep; nothing of it is written back.
                warnings.simplefilter("ignore")
                return load_workbook(io.BytesIO(data), keep_links=False)
    except Exception as error:
        # A damaged file raises whatever its reader stumbles over.
        hint = "Save it as .xlsx, the format it came in"
        raise workbook_problem(file, "", "it cannot be read as a workbook", hint) from error
    raise workbook_problem(file, "", f"it unpacks to {size:,} bytes", f"At most {MOST_BYTES:,} are read")


def workbook_problem(file: str, cell: str, found: str, hint: str) -> InputError:
    """The whole workbook cannot be used."""
    return InputError([Problem("quote-workbook", "error", Place(file, key=cell), found, "", hint)])
