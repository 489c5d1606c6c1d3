"""Takes the picture of the page in the browser, `page.png`, where Chromium is installed: `make pages`.

The demonstration board is opened with the command that a user types. The picture holds the figures that it shows as
text, by which a test tells whether they are those of today; its letters depend on the machine, so it is not compared.
"""

from __future__ import annotations

import html
import re
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

from PIL import Image
from PIL.PngImagePlugin import PngInfo

HERE = Path(__file__).resolve().parent
PICTURE = HERE / "page.png"
SPEC = HERE.parent / "templates" / "four-way.toml"
VIEWS = ("values", "targets")
FOLDED = re.compile(r"<details(?:(?!<details).)*?</details>", re.DOTALL)
SIZE = {"width": 1500, "height": 900}
DONE = (
    "() => document.querySelector('#board svg') && !document.querySelector('#status').textContent.includes('working')"
)


def shown(views: list[str]) -> str:
    """The words of some views, whose markup is given, but for those that are folded away."""
    text, folded = " ".join(views), True
    while folded:
        # the innermost first
        text, folded = FOLDED.subn("", text)
    return " ".join(html.unescape(re.sub("<[^>]*>", " ", text)).split())


def kept() -> str:
    """The words that the picture shows."""
    with Image.open(PICTURE) as picture:
        return str(picture.info.get("shown", ""))


def take(browser: str, folder: Path) -> None:
    """Opens the demonstration board, and puts its picture in the place of the old one where its words differ."""
    from playwright.sync_api import sync_playwright

    spec = Path(shutil.copy(SPEC, folder))
    command = [sys.executable, "-m", "boardgen", "page", spec.name, "--no-browser"]
    served = subprocess.Popen(command, cwd=folder, stdout=subprocess.PIPE, text=True)  # noqa: S603 - our own command
    with served, sync_playwright() as made:
        try:
            first = served.stdout.readline() if served.stdout else ""
            address = next(word for word in first.split() if word.startswith("http"))
            window = made.chromium.launch(executable_path=browser, args=["--no-sandbox"]).new_page(viewport=SIZE)
            window.goto(address)
            window.wait_for_function(DONE, timeout=0)
            words = shown([window.inner_html(f"#{view}") for view in VIEWS])
            # how long it took differs each time
            window.evaluate("() => document.querySelector('#status').replaceChildren()")
            if words != kept():
                window.screenshot(path=folder / PICTURE.name)
                said = PngInfo()
                said.add_itxt("shown", words)
                Image.open(folder / PICTURE.name).save(PICTURE, optimize=True, pnginfo=said)
        finally:
            served.terminate()


def main() -> int:
    """Takes it, or says loudly that it was not taken."""
    browser = shutil.which("chromium")
    if browser is None:
        print("chromium IS ABSENT: docs/page.png was not taken")  # noqa: T201
        return 0
    with tempfile.TemporaryDirectory() as name:
        take(browser, Path(name))
    return 0


if __name__ == "__main__":
    sys.exit(main())
