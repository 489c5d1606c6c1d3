"""The versions that a manifest names are those of the installed libraries."""

from importlib.metadata import version

import pytest

from boardgen.cli.build import LIBRARIES
from boardgen.cli.versions import version_of


@pytest.mark.parametrize("library", LIBRARIES)
def test_versions(library):
    """As the standard library reads them, which parses the whole description."""
    assert version_of(library) == version(library)
