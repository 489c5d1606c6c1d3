"""Fixtures of the tests that run the command line."""

import pytest

from tests.cli import forked
from tests.cli.empty_folder import User


@pytest.fixture(scope="session")
def loaded() -> None:
    """What commands load, once for all tests of a worker."""
    forked.load()


@pytest.fixture
def user(loaded, tmp_path) -> User:
    """Someone in an empty folder with an empty home."""
    return User(tmp_path)
