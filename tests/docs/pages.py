"""The blocks of a page that a test runs or compares."""

import re

from tests.house.checkout import TOP


def page(name: str) -> str:
    """The text of a page of the checkout."""
    return (TOP / name).read_text(encoding="utf-8")


def blocks(text: str) -> list[tuple[str, str]]:
    """Kind and content of every fenced block, in order."""
    return re.findall(r"^```(\w+)\n(.*?)^```$", text, re.DOTALL | re.MULTILINE)
