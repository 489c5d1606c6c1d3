"""One headless browser for the tests of a module."""

import os
import shutil

import pytest


@pytest.fixture(scope="module")
def browser():
    path = shutil.which("chromium")
    if path is None:
        (pytest.fail if os.environ.get("CI") else pytest.skip)("chromium IS ABSENT: no book was opened")
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        opened = playwright.chromium.launch(executable_path=path, args=["--no-sandbox"])
        yield opened
        opened.close()
