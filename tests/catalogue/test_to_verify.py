from msgspec.structs import replace

from boardgen.catalogue import Catalogue
from boardgen.catalogue.to_verify import RUINS_FIRST, UncertainFigure, patterns_to_verify, to_verify, uncertain_figures
from boardgen.kinds import KIND
from boardgen.model.figure import Figure, Standing
from boardgen.model.part import Part
from tests.catalogue.shipped import CATALOGUE


def part(key: str, maker: str, *figures: tuple[str, Figure], verify: tuple[str, ...] = ()) -> Part:
    return Part(key, "relay", maker, "X-12", "a relay", "12 V", "read", "s", dict(figures), verify=verify)


def figure(value: float, unit: str, standing: Standing, low: float | None = None) -> Figure:
    return Figure(value, unit, standing, "source", low)


RELAY = part(
    "a",
    "Maker",
    ("coil", figure(1028, "ohm", "read")),
    ("power", figure(0.14, "W", "computed")),
    ("hold", figure(1.2, "V", "measured")),
    ("top", figure(70, "degC", "recalled")),
    ("capacitance", figure(1e-12, "F", "assumed", 0.5e-12)),
    verify=("Check the drawing.", "Check the drawing."),
)


def test_all_but_the_read_and_measured_the_least_certain_first() -> None:
    assert uncertain_figures([RELAY, RELAY]) == (
        UncertainFigure("Maker X-12", "capacitance", "1 pF (0.5 pF to 1 pF)", "assumed", "source"),
        UncertainFigure("Maker X-12", "top", "70 degC", "recalled", "source"),
        UncertainFigure("Maker X-12", "power", "140 mW", "computed", "source"),
    )


def test_sentences_name_their_part_once_and_a_pin_map_is_told_apart() -> None:
    anybody = part("b", "any", verify=("Measure it.",))
    proven = replace(RELAY, attributes={"meter test": "1 to 3"}, verify=("Prove the drawing.",))
    catalogue = Catalogue(parts={}, footprints={}, permeability={})
    found = to_verify([RELAY, RELAY, anybody, proven], catalogue)
    said = [str(check) for check in found if "ot known" not in check.sentence and "not read" not in check.sentence]
    assert said == [
        "Maker X-12: Check the drawing.",
        "X-12: Measure it.",
        "Maker X-12: Prove its pin map with a meter before soldering: 1 to 3.",
        "Maker X-12: Prove the drawing.",
    ]
    assert patterns_to_verify([RELAY, proven], catalogue) == (
        "Maker X-12: Prove its pin map with a meter before soldering: 1 to 3.",
    )


def test_what_can_ruin_the_board_comes_first_by_kind_or_by_what_it_is_about() -> None:
    wire = replace(RELAY, key="w", kind="resistor", maker="", verify=("Look it up.",))
    turned = replace(wire, key="t", attributes={"meter test": "1 to 3"}, verify=())
    found = to_verify([wire, RELAY, turned], Catalogue(parts={}, footprints={}, permeability={}))
    ranks = [(check.ruins_the_board, check.part.key) for check in found]
    assert ranks == sorted(ranks, key=lambda rank: not rank[0])
    assert {key for ruins, key in ranks if ruins} == {"a", "t"}
    assert set(RUINS_FIRST) <= set(KIND)
    core = replace(RELAY, key="c", kind="core")
    ruinous = to_verify([core, turned, RELAY], Catalogue(parts={}, footprints={}, permeability={}))
    assert list(dict.fromkeys(check.part.kind for check in ruinous if check.ruins_the_board))[:2] == ["relay", "core"]
    assert {check.sentence for check in found if not check.ruins_the_board} >= {"Look it up."}


def test_neither_parts_without_polarity_nor_own_patterns_have_a_drawing_to_check() -> None:
    """Of every part of the catalogue: only its own sentences and its figures are left."""
    catalogue = CATALOGUE
    listed = to_verify(catalogue.parts.values(), catalogue)
    about = {check.part.kind for check in listed if check.about == "pin map" and check.part.footprint}
    assert about == {"relay", "gas tube", "connector", "indicator", "jack"}
    for check in listed:
        footprint = catalogue.footprints.get(check.part.footprint)
        assert not (check.about != "part" and footprint is not None and footprint.own_pattern)
