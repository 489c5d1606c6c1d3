"""Tests that take long bear the mark slow: a test without it fails where it takes more than its share.

What counts is the processor time of the test itself, its children included, and of the fixtures that are its alone, in
multiples of a fixed piece of work on the same machine. So neither other work nor a slow machine makes a test fail.
"""

from __future__ import annotations

import os
import time
from collections.abc import Generator
from functools import cache

import pytest

MOST = 50
"""Pieces of work that a test without the mark may take: about three seconds where a piece takes 60 ms."""
PIECE = 400_000
MARKS = ("slow", "peer")
OWN_S = pytest.StashKey[float]()


def processor_s() -> float:
    """Processor time of this process and of its children that have ended, in seconds."""
    children = os.times()
    return time.process_time() + children.children_user + children.children_system


def piece_s() -> float:
    """The processor time of one piece of work: numbers, texts and tables, as most of the program does."""
    start = time.process_time()
    table: dict[str, float] = {}
    for number in range(PIECE):
        key = f"{number % 997}"
        table[key] = table.get(key, 0.0) * 0.5 + number
    return time.process_time() - start


@cache
def at_first_s() -> float:
    """A piece of work before the first test."""
    return min(piece_s() for _ in range(3))


@pytest.hookimpl(wrapper=True)
def pytest_fixture_setup(
    fixturedef: pytest.FixtureDef, request: pytest.FixtureRequest
) -> Generator[None, object, object]:
    """Counts what is set up for one test alone."""
    start = processor_s()
    result = yield
    if fixturedef.scope == "function":
        stash = request.node.stash
        stash[OWN_S] = stash.get(OWN_S, 0.0) + processor_s() - start
    return result


@pytest.hookimpl(wrapper=True)
def pytest_runtest_call(item: pytest.Item) -> Generator[None, object, object]:
    """Fails a test that took too long without the mark. A piece of work is measured again before it says so."""
    marked = any(item.get_closest_marker(mark) for mark in MARKS)
    first = 0.0 if marked else at_first_s()
    start = processor_s()
    result = yield
    taken = item.stash.get(OWN_S, 0.0) + processor_s() - start
    if not marked and taken > MOST * first and (pieces := taken / max(first, at_first_s.__wrapped__())) > MOST:
        pytest.fail(
            f"this test took {taken:.1f} s of processor time, {pieces:.0f} pieces of work of {MOST} that are allowed "
            "without the mark slow: mark it, or let it share what it sets up",
            pytrace=False,
        )
    return result
