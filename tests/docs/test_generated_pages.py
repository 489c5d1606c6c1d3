"""Pages and pictures that are made from the program are what it makes today, and no page leads astray."""

import importlib.util
import re
import tomllib

import pytest

from boardgen.cli.commands import app
from boardgen.design import untold
from boardgen.documents.response import LEFT_OUT, LEFT_OUT_HEADING
from boardgen.page.job import Job, View
from boardgen.page.work import Worker
from boardgen.spec.keys import Spec
from tests.docs.pages import page
from tests.house.checkout import TOP, files


def script(name):
    """A script that makes some of them, as a module."""
    spec = importlib.util.spec_from_file_location(name, TOP / "docs" / f"{name}.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.fixture(scope="module")
def generate():
    return script("generate")


@pytest.mark.parametrize("name", ["specification", "commands"])
def test_a_page_is_current(generate, name):
    assert page(f"docs/{name}.md") == getattr(generate, name)(), "run `make pages`"


@pytest.mark.slow
def test_the_pictures_are_current(generate):
    there = {path.name: path.read_bytes() for path in (TOP / "docs" / "pictures").iterdir()}
    assert there == generate.pictures(), "run `make pages`"


@pytest.mark.slow
def test_the_picture_of_the_page_shows_the_figures_of_today():
    picture = script("page_picture")
    text = picture.SPEC.read_text(encoding="utf-8")
    laid = Worker().laid(Job(0, str(picture.SPEC), text, text), untold)
    views = {news.name: news.html for news in laid if isinstance(news, View)}
    assert picture.kept() == picture.shown([views[name] for name in picture.VIEWS]), "run `make pages`"


def test_every_key_of_a_specification_has_its_sentence(generate):
    text = page("docs/specification.md")
    fields = {(table, name): field for table in generate.tables(Spec) for name, field in table.model_fields.items()}
    assert len(fields) > 80
    single = {name for (_, name), field in fields.items() if not hasattr(field.annotation, "model_fields")}
    assert {name for name in single if f"| `{name}` |" not in text} == set()


def test_every_command_and_option_has_its_sentence():
    text = page("docs/commands.md")
    assert [name for name in app if not name.startswith("-") and f"\n## {name}\n" not in text] == []
    assert not re.search(r"\| `[^`]+` \|\s*\|", text)


def test_the_glossary_tells_a_word_once():
    words = re.findall(r"^\| ([^|]+) \| [^|]+ \|$", page("docs/glossary.md"), re.MULTILINE)
    assert len(words) > 80
    assert [word for word in set(words) - {"word", "---"} if words.count(word) > 1] == []


def test_every_link_of_a_page_leads_somewhere():
    links = (
        (path, target)
        for path in files()
        if path.suffix == ".md"
        for target in re.findall(r"\]\((?!https?:)([^)#\s]+)", path.read_text(encoding="utf-8"))
    )
    assert [f"{path.name}: {target}" for path, target in links if not (path.parent / target).exists()] == []


def test_the_developers_page_names_every_room_and_no_other():
    """Each folder and pipeline of the package has its row, in the order in which imports run down."""
    text = page("DEVELOPERS.md").split("## Where things are")[1].split("##")[0]
    rows = [re.findall(r"`([\w.]+?)/?`", line.split("|")[1]) for line in text.splitlines() if line.startswith("| `")]
    named = [name for row in rows for name in row]
    package = TOP / "boardgen"
    there = {
        p.name
        for p in package.iterdir()
        if (p / "__init__.py").is_file() or p.name.endswith(("design.py", "appraisal.py", "request.py"))
    }
    assert set(named) == there
    layers = tomllib.loads(page("pyproject.toml"))["tool"]["importlinter"]["contracts"][0]["layers"]
    height = {name: n for n, layer in enumerate(layers) for name in re.findall(r"\w+", layer)}
    heights = [max(height[name.removesuffix(".py")] for name in row) for row in rows]
    assert heights == sorted(heights)


def test_every_file_that_the_developers_page_names_is_there():
    names = set(re.findall(r"`((?:boardgen|tests|docs|parts)/[\w./]+)`", page("DEVELOPERS.md")))
    assert len(names) > 15
    assert [name for name in names if not (TOP / name).exists()] == []


def test_what_is_left_out_is_the_same_in_the_page_and_in_the_book():
    rows = ["| " + " | ".join(row) + " |" for row in (LEFT_OUT_HEADING, *LEFT_OUT)]
    written = [line.strip() for line in page("docs/sourcing.md").splitlines() if line.strip().startswith("| ")]
    assert rows == written[written.index(rows[0]) :][: len(rows)]
