"""Fixtures of the tests that run the command line."""

import pytest

from tests.cli.empty_folder import User


@pytest.fixture
def user(tmp_path) -> User:
    """Someone in an empty folder with an empty home."""
    return User(tmp_path)
