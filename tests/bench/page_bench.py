"""From a keystroke to what the browser shows, eight-way, and against the same work in this process: `make bench`.

Chromium is driven as a person would; it is skipped loudly where it is absent. Exit 1 where a limit is exceeded: those
in seconds hold on two idle cores.
"""

from __future__ import annotations

import shutil
import sys
import tempfile
import threading
import time
from collections.abc import Callable
from pathlib import Path
from statistics import median
from typing import Any

from boardgen.design import untold
from boardgen.page.desk import Beside
from boardgen.page.job import Job
from boardgen.page.room import Room
from boardgen.page.server import listening, server
from boardgen.page.work import Worker
from boardgen.spec.template import with_ways

RUNS = 5
LONGEST_S = {
    "values": 0.1, "values, settled": 1.0, "targets": 1.0, "response": 1.0, "board": 2.0, "targets, laid": 5.0,
}  # fmt: skip
"""Values are those of the rules alone, which say so; they are settled once the targets were looked at."""
MOST_RATIO = 1.5
WATCH = """() => {
  window.seen = {};
  for (const id of ["values", "targets", "response", "board"])
    new MutationObserver(() => {
      const view = document.getElementById(id);
      // what has the number of an earlier state is not seen yet
      if (Number(view.dataset.number) !== now) return;
      const more = { targets: ["as laid out", ", laid"], values: ["rules and targets", ", settled"] }[id];
      const name = id + (more && view.textContent.includes(more[0]) ? more[1] : "");
      requestAnimationFrame(() => { window.seen[name] ??= performance.now() - window.typed; });
    }).observe(document.getElementById(id), {attributes: true, childList: true, subtree: true, characterData: true});
  document.getElementById("f-band-lowest").addEventListener("input", () => {
    window.typed = performance.now(); window.seen = {};
  }, {capture: true});
}"""
STILL = "() => !document.querySelector('#status').textContent.includes('working')"


def main() -> int:
    """Prints each latency with its limit."""
    browser = shutil.which("chromium")
    if browser is None:
        print("chromium IS ABSENT: the page was not timed")  # noqa: T201
        return 0
    text = with_ways("eight-way", None)
    with tempfile.TemporaryDirectory() as name:
        path = Path(name) / "eight-way.toml"
        path.write_text(text, encoding="utf-8")
        alone = in_process(path, text)
        shown = in_browser(browser, path)
    exceeded = 0
    for what, limit_s in LONGEST_S.items():
        ratio = shown[what] / alone[what]
        failed = shown[what] > limit_s or ratio > MOST_RATIO
        exceeded += failed
        words = f"{what:15} {shown[what]:.3f} s, at most {limit_s:g} s; {ratio:.2f} of {alone[what]:.3f} s in process"
        print(words + ("  EXCEEDED" if failed else ""))  # noqa: T201
    return int(exceeded > 0)


def edits(run: int) -> str:
    """Another lowest frequency each time, which changes values, curves and board."""
    return f"{1.8 + 0.01 * (run + 1):.2f}"


def in_process(path: Path, text: str) -> dict[str, float]:
    """Seconds until the worker has each view, by itself."""
    worker, found = Worker(), dict[str, list[float]]()
    for run in range(-1, RUNS):
        job = Job(run + 2, str(path), text.replace('"1.8 MHz"', f'"{edits(run)} MHz"'), text)
        for kind, views in (("", worker.soon(job)), (", laid", worker.laid(job, untold))):
            begun, seen = time.perf_counter(), set[str]()
            for view in views:
                name = getattr(view, "name", "")
                name += kind if name == "targets" else ", settled" if name == "values" and name in seen else ""
                seen.add(name)
                if run >= 0 and (kind == "" or name in ("board", "targets, laid")):
                    found.setdefault(name, []).append(time.perf_counter() - begun)
    return {name: median(times) for name, times in found.items()}


def in_browser(executable: str, path: Path) -> dict[str, float]:
    """Seconds from a keystroke until the browser has put in each view."""
    from playwright.sync_api import sync_playwright

    found: dict[str, list[float]] = {}

    def walk(address: str) -> None:
        with sync_playwright() as playwright:
            browser = playwright.chromium.launch(executable_path=executable, args=["--no-sandbox"])
            window = browser.new_page()
            window.set_default_timeout(120_000)
            window.goto(address)
            window.wait_for_selector("#board svg")
            window.wait_for_function(STILL)
            window.evaluate(WATCH)
            for run in range(-1, RUNS):
                window.fill("#f-band-lowest", edits(run))
                window.wait_for_function("() => 'targets, laid' in window.seen")
                window.wait_for_function(STILL)
                for name, took_ms in window.evaluate("() => window.seen").items():
                    if run >= 0:
                        found.setdefault(name, []).append(took_ms / 1e3)
            browser.close()

    served(path, walk)
    return {name: median(times) for name, times in found.items()}


def served(path: Path, walk: Callable[[str], Any]) -> None:
    """Serves the file while somebody walks the page."""
    room = Room(path.parent, Beside(None, (), str(path.parent)), path)
    addresses, ready = list[str](), threading.Event()
    with listening(0) as bound:
        made = server(room, bound, lambda address: (addresses.append(address), ready.set())[0])  # type: ignore[func-returns-value]
        thread = threading.Thread(target=made.run, kwargs={"sockets": [bound]})
        thread.start()
        try:
            ready.wait()
            walk(addresses[0])
        finally:
            made.should_exit = True
            thread.join()


if __name__ == "__main__":
    sys.exit(main())
