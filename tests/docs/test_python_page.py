"""Every line of the page on Python runs, and prints what the page shows."""

import contextlib
import io

import pytest

from boardgen.spec.template import with_ways
from tests.docs.pages import blocks, page


@pytest.mark.slow
def test_the_page_prints_what_it_shows(tmp_path, monkeypatch):
    """The blocks of Python run one after the other in one session; a block of text is what the one before printed."""
    (tmp_path / "four-way.toml").write_text(with_ways("four-way", None), encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    names: dict[str, object] = {}
    printed = None
    shown = 0
    for kind, content in blocks(page("docs/python.md")):
        if kind == "python":
            out = io.StringIO()
            with contextlib.redirect_stdout(out):
                exec(compile(content, "docs/python.md", "exec"), names)
            printed = out.getvalue()
        elif kind == "text":
            assert printed == content
            shown += 1
    assert shown >= 8
    assert (tmp_path / "output" / "Larkfield four-way" / "manifest.json").is_file()
