"""PDF from an HTML page, by the optional library WeasyPrint, without a request to anywhere."""

from __future__ import annotations

import contextlib
import importlib
import os
import tempfile
from collections.abc import Iterator
from types import ModuleType

from boardgen.model.problem import InputError, Place, Problem

EXTRA = "pdf"
CACHES = "XDG_CACHE_HOME"


def pdf(html: str) -> bytes:
    """The page as PDF, always the same bytes for the same page, fonts and library.

    Pictures stand in the page or in its "data:" addresses; any other address raises ValueError. Raises InputError
    where the library or what it needs of the system is missing.
    """
    with _caches_elsewhere():
        weasyprint = load()
        fetcher = weasyprint.urls.URLFetcher(allowed_protocols={"data"}, fail_on_errors=True)
        try:
            made: bytes = weasyprint.HTML(string=html, url_fetcher=fetcher).write_pdf()
        except weasyprint.urls.FatalURLFetchingError as error:
            raise ValueError(str(error)) from error
    return made


def load() -> ModuleType:
    """The library. Raises InputError where it, or the text layout of the system that it needs, is missing."""
    try:
        module = importlib.import_module("weasyprint")
    except ImportError as error:
        hint = f'Install it in the folder of boardgen with: pip install ".[{EXTRA}]"'
        raise _missing("PDF needs the library weasyprint, which is not installed here", hint) from error
    except OSError as error:
        hint = "Install the system's Pango, on Debian: apt-get install libpango-1.0-0 libpangoft2-1.0-0"
        raise _missing("PDF needs the system library Pango, which is not installed here", hint) from error
    return module


def _missing(found: str, hint: str) -> InputError:
    return InputError([Problem("U011 no PDF", "error", Place("--pdf"), found, "", hint)])


@contextlib.contextmanager
def _caches_elsewhere() -> Iterator[None]:
    """Keeps the font library's cache out of the user's home, and leaves no font of the page behind."""
    cache, folder = os.environ.get(CACHES), tempfile.tempdir
    with tempfile.TemporaryDirectory(prefix="boardgen-") as scratch:
        os.environ[CACHES] = tempfile.tempdir = scratch
        try:
            yield
        finally:
            tempfile.tempdir = folder
            if cache is None:
                del os.environ[CACHES]
            else:
                os.environ[CACHES] = cache
