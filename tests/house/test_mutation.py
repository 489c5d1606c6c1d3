"""What sizes a board is within reach of `make mutation`."""

from __future__ import annotations

from tests import mutation


def test_every_module_of_sizing_is_changed_and_has_tests_that_exist() -> None:
    modules = {f"sizing.{path.stem}" for path in (mutation.ROOT / "boardgen" / "sizing").glob("*.py")}
    no_numbers = {"sizing.__init__", "sizing.exchanged", "sizing.pins", "sizing.cable_places", "sizing.size"}
    assert {name for name in mutation.ELSEWHERE if name.startswith("sizing.")} == modules - no_numbers
    for tests in mutation.ELSEWHERE.values():
        assert all((mutation.ROOT / test).is_file() for test in tests)


def test_a_number_of_a_rule_is_changed_and_digits_of_words_are_not() -> None:
    changed = list(mutation.changes("sizing.diode"))
    assert {change.old for change in changed} == {0.7, 1.5}
    assert len(changed) == 4
