"""A specification's file while its page is open: read, watched by its content, and saved whole or not at all."""

from __future__ import annotations

from pathlib import Path

from boardgen.formats.saved_file import save_over
from boardgen.model.problem import InputError, Place, Problem
from boardgen.page.history import History, changed_outside, kept, opened
from boardgen.spec.load import LARGEST_MIB, file_text, toml_data
from boardgen.tables.text_file import read_plain_file

_BOM = b"\xef\xbb\xbf"


class OpenedFile:
    """The file and the history of its text. `notice` says what happened to it outside, "" for nothing."""

    def __init__(self, path: Path) -> None:
        """Reads the file. Raises InputError where it cannot be read, or is not TOML."""
        self.path = path
        self.history: History = opened(file_text(path))
        toml_data(self.history.now.text, str(path))
        self._content = read_plain_file(path, LARGEST_MIB)
        self.notice = ""
        self._unreadable = False

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
