"""Every document of --json is as its schema says, and docs/schemas/ holds the schemas of this program."""

import json
from pathlib import Path

import pytest

from boardgen.documents.json.commands import Faults
from boardgen.documents.json.document import json_bytes, problems_of
from boardgen.documents.json.schemas import DOCUMENTS, schemas
from boardgen.model.problem import Place, Problem
from tests.cli.empty_folder import User
from tests.documents.json_schema import broken

FOLDER = Path(__file__).parents[2] / "docs" / "schemas"


@pytest.fixture(scope="module")
def said(tmp_path_factory) -> dict[str, object]:
    """What the commands say of the smallest board and a station, by name of the document."""
    user = User(tmp_path_factory.mktemp("json"))
    commands = {
        "start": ("start", "board.toml", "--template", "two-way"),
        "values": ("values", "board.toml"),
        "response": ("response", "board.toml", "--boards", "5"),
        "comparison": ("compare", "board.toml", "--lowest", "472 kHz"),
        "exploration": ("explore", "board.toml", "--over", "switching.idle=open"),
        "build": ("build", "board.toml"),
        "order": ("order", "board.toml", "--boards", "3"),
        "prove": ("prove", "output/Larkfield two-way"),
        "faults": ("values", "nowhere.toml"),
    }
    found = {name: json.loads(user.run(*words, "--json").stdout) for name, words in commands.items()}
    found["built values"] = json.loads((user.here / "output/Larkfield two-way/values.json").read_bytes())
    return found


def test_the_schemas_are_current():
    assert {path.name: path.read_bytes() for path in FOLDER.glob("*.json")} == schemas()


def test_there_is_a_schema_of_each_document_with_its_version():
    assert len(schemas()) == len(DOCUMENTS) == 13
    for name, content in schemas().items():
        schema = json.loads(content)
        assert schema["title"].split()[:2] == ["boardgen", name.split(".")[0]]
        own = schema["$defs"][schema["$ref"].rpartition("/")[2]]
        assert own["properties"]["schema"] == {"enum": [schema["title"]]}
        assert own["description"]


@pytest.mark.slow
def test_what_the_commands_say_is_as_the_schemas_say(said):
    for document in said.values():
        schema = json.loads(schemas()[f"{document['schema'].split()[1]}.schema.json"])
        assert broken(document, schema) == []


@pytest.mark.slow
def test_a_spoilt_document_is_not(said):
    schema = json.loads(schemas()["build.schema.json"])
    whole = said["build"]
    for spoilt in (
        {**whole, "more": 1},
        {**whole, "title": 3},
        {**whole, "board": {}},
        {**whole, "schema": "boardgen build 2"},
        {key: value for key, value in whole.items() if key != "bill"},
    ):
        assert broken(spoilt, schema) != []


def test_what_is_no_number_is_never_written():
    from boardgen.documents.json.values import Influence

    with pytest.raises(ValueError, match="not JSON compliant"):
        json_bytes(Influence("R1", "resistance", float("nan"), 0.0))


def test_the_same_bytes_twice():
    fault = Faults(problems_of([Problem("x", "error", Place("ä.toml", 3, "band"), "é", "w", "h")]))
    assert json_bytes(fault) == json_bytes(fault)
    assert "ä.toml" in json_bytes(fault).decode()
