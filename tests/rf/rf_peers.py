"""Outside programs that results are compared with: missing ones fail in CI and are skipped loudly elsewhere."""

import importlib
import os
import shutil

import pytest


def program(name):
    """The path of a program."""
    return shutil.which(name) or _absent(name)


def module(name):
    """A library."""
    try:
        return importlib.import_module(name)
    except ModuleNotFoundError:
        return _absent(name)


def _absent(name):
    if os.environ.get("CI"):
        pytest.fail(f"{name} must be there in CI")
    pytest.skip(f"{name} IS ABSENT: this comparison with an outside program was NOT made")
