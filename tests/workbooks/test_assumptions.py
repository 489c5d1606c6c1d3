from boardgen.model.figure import Figure, Standing
from boardgen.model.part import Part
from boardgen.workbooks.assumptions import assumption_rows, sentences_to_verify
from boardgen.workbooks.shared_sheets import AssumptionRow


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
    assert assumption_rows([RELAY, RELAY]) == (
        AssumptionRow("Maker X-12", "capacitance", "1 pF (0.5 pF to 1 pF)", "assumed", "source"),
        AssumptionRow("Maker X-12", "top", "70 degC", "recalled", "source"),
        AssumptionRow("Maker X-12", "power", "140 mW", "computed", "source"),
    )


def test_sentences_name_their_part_once() -> None:
    anybody = part("b", "any", verify=("Measure it.",))
    assert sentences_to_verify([RELAY, anybody]) == ("Maker X-12: Check the drawing.", "X-12: Measure it.")
