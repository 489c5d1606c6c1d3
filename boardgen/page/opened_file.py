"""A specification's file while its page is open: read, watched by its content, and saved whole or not at all.

What is not saved lies in a draft beside it, so that it is there again whoever ends the page.
"""

from __future__ import annotations

import os
from contextlib import suppress
from pathlib import Path

import msgspec

from boardgen.formats.saved_file import save_over
from boardgen.model.problem import InputError, Place, Problem
from boardgen.page.history import History, changed_outside, kept, opened, unsaved_part
from boardgen.spec.load import LARGEST_MIB, file_text, toml_data
from boardgen.tables.text_file import read_plain_file
from boardgen.tables.toml_text import read_toml

LARGEST_DRAFT_MIB = 64
_BOM = b"\xef\xbb\xbf"


class OpenedFile:
    """The file and the history of its text. `notice` says what happened to it outside, "" for nothing."""

    def __init__(self, path: Path) -> None:
        """Reads the file. Raises InputError where it cannot be read, or is not TOML."""
        self.path = path
        text = file_text(path)
        toml_data(text, str(path))
        self._content = read_plain_file(path, LARGEST_MIB)
        self._draft = path.with_name(f".{path.name}.unsaved")
        self.history, self.notice = self._taken_up(text)
        self._unreadable = False

    def _taken_up(self, text: str) -> tuple[History, str]:
        """Where the page was left, and what to tell; a draft that cannot be read is none."""
        try:
            draft = msgspec.json.decode(read_plain_file(self._draft, LARGEST_DRAFT_MIB), type=History)
            read_toml(draft.now.text)
            if not draft.unsaved:
                return opened(text), ""
            told = "The page was ended with changes that were not saved: here they are again. Save them, or undo."
            if draft.saved_text == text:
                return draft, told
            history, words = changed_outside(draft, text)
        except (OSError, ValueError, IndexError):
            return opened(text), ""
        return history, f"{told} {words}"

    def keep_draft(self) -> None:
        """Keeps what is not saved beside the file; where that cannot be written, there is none."""
        made = self._draft.with_name(f"{self._draft.name}-{os.getpid()}")
        with suppress(OSError):
            if self.history.unsaved:
                made.write_bytes(msgspec.json.encode(unsaved_part(self.history)))
                made.replace(self._draft)
            else:
                self._draft.unlink(missing_ok=True)

    def look(self) -> bool:
        """Takes in what was written to the file outside; whether anything on view has changed."""
        try:
            content = read_plain_file(self.path, LARGEST_MIB)
            if content == self._content:
                # what could not be read a moment ago is as it was
                return self._unreadable and self._tell("")
            text = file_text(self.path)
            toml_data(text, str(self.path))
        except (OSError, ValueError):
            return self._tell("The file is gone or cannot be read; the page holds what it held.", unreadable=True)
        except InputError as error:
            first = error.problems[0]
            line = f" in line {first.place.line}" if first.place.line else ""
            words = f"The file was broken outside the page{line}: {first.sentence}. The page holds what it held."
            return self._tell(words, unreadable=True)
        self.history, words = changed_outside(self.history, text)
        self._content = content
        self._tell(words)
        return True

    def save(self) -> None:
        """Writes what is on view into the file. Raises InputError where it holds something the page has not shown."""
        if self.look():
            raise InputError(
                [Problem("W003 not saved", "error", Place(str(self.path)), self.notice, "", "Save again.")]
            )
        text = self.history.now.text
        content = (_BOM if self._content.startswith(_BOM) else b"") + text.encode()
        save_over(self.path, self._content, content)
        self.history, self._content = kept(self.history), content
        self.notice = ""

    def _tell(self, notice: str, *, unreadable: bool = False) -> bool:
        news, self.notice, self._unreadable = notice != self.notice, notice, unreadable
        return news
