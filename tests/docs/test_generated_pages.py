"""Pages and pictures that are made from the program are what it makes today, and no page leads astray."""

import importlib.util
import re

import pytest

from boardgen.cli.commands import app
from boardgen.spec import keys
from tests.docs.pages import page
from tests.house.checkout import TOP, files


@pytest.fixture(scope="module")
def generate():
    """The script that makes them, as a module."""
    spec = importlib.util.spec_from_file_location("generate", TOP / "docs" / "generate.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.mark.parametrize("name", ["specification", "commands"])
def test_a_page_is_current(generate, name):
    assert page(f"docs/{name}.md") == getattr(generate, name)(), "run `make pages`"


@pytest.mark.slow
def test_the_pictures_are_current(generate):
    there = {path.name: path.read_bytes() for path in (TOP / "docs" / "pictures").iterdir()}
    assert there == generate.pictures(), "run `make pages`"


def test_every_key_of_a_specification_has_its_sentence():
    text = page("docs/specification.md")
    tables = (value for value in vars(keys).values() if isinstance(value, type) and issubclass(value, keys.Table))
    fields = {(table, name): field for table in tables for name, field in table.model_fields.items()}
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
