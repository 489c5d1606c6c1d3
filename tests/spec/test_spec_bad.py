"""Every bad specification is refused at its key with a sentence that helps."""

import pytest

from boardgen.model.problem import InputError
from boardgen.spec.load import read_text
from tests.spec import bad


@pytest.mark.parametrize(("text", "key", "word"), [case[1:] for case in bad.CASES], ids=[case[0] for case in bad.CASES])
def test_bad_specification_is_refused_at_its_key(text, key, word):
    with pytest.raises(InputError) as caught:
        read_text(text, "board.toml")
    sentences = [p.sentence for p in caught.value.problems if p.place.key == key]
    assert any(word in sentence for sentence in sentences), caught.value


def test_names_of_cases_are_unique_and_there_are_many():
    names = [case[0] for case in bad.CASES]
    assert len(set(names)) == len(names) >= 100


@pytest.mark.parametrize("text", [case[1] for case in bad.CASES], ids=[case[0] for case in bad.CASES])
def test_every_problem_is_complete_and_printable(text):
    with pytest.raises(InputError) as caught:
        read_text(text, "board.toml")
    for problem in caught.value.problems:
        assert problem.severity == "error"
        assert problem.found
        assert problem.place.file == "board.toml"
        assert problem.sentence.isprintable()
        assert problem.place.key.isprintable()
        assert len(problem.sentence) < 600


def test_the_good_parts_of_the_table_are_good():
    assert read_text(bad.GOOD).antenna[0].label == "north"
    assert len(read_text(bad.TWO).antenna) == 2
