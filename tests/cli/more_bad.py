"""More bad specifications than the table of the specification's own tests: what a whole command makes of them."""

GOOD = """
[band]
lowest = "1.8 MHz"
highest = "10.15 MHz"
[[antenna]]
label = "north"
[[antenna]]
label = "east"
"""

FORMULAS = ("=1+1", "=HYPERLINK(0)", "@SUM(A1)", "+1", "-1", "=cmd|' /C calc'!A0")


def under(table: str, line: str) -> str:
    return f"{GOOD}[{table}]\n{line}\n"


def labelled(label: str) -> str:
    return GOOD.replace('"east"', label)


def titled(title: str) -> str:
    return f"title = {title}\n{GOOD}"


BROKEN = (
    "title", "title = ", "= 1", "[]", "[band", "[[antenna]", "]", "title = 'a", 'title = """a', "title = a b", "\x00",
    "\x1b[31m", "a = 1 b = 2", "a.b = 1\na = 2", "[band]\n[band]", "x = 1979-99-99", "x = 01", "x = 1__0", "x = .5",
    "x = 5.", "x = +-1", "x = TRUE", "x = {a = 1,, b = 2}", "x = [1, , 2]", "{}", '{"band": {}}', "<xml/>", "- a: 1",
    "\\", "x = 0xZZ", "x = '\n'", "title: board", "title = board", "lowest : 1.8 MHz",
)  # fmt: skip
"""Text that is no TOML; the fault has no key."""

CASES: list[tuple[str, str, str]] = [
    *((f"text {n}", text, "") for n, text in enumerate(BROKEN)),
    *(
        (f"{key} of {value!r:.20}", under(key.split(".")[0], f"{key.split('.')[1]} = {value}"), key)
        for key in ("control.length", "control.supply", "order.boards", "targets.isolation", "switching.idle")
        for value in ("nan", "-inf", "-1", '""', "[]", "{}", "1979-05-27T07:32:00Z", '"\\u0000"', "'= 1'")
    ),
    *(
        (f"lowest of {value!r:.20}", GOOD.replace('"1.8 MHz"', value), "band.lowest")
        for value in ("{}", "[[]]", '"1.8 MHz\\u200b"', '"1.8\\u00a0MHz MHz"', '"١ MHz"', '"1e999 MHz"', '"1/0 MHz"')
    ),
    *((f"title {title!r:.20}", titled(title), "title") for title in ('"../x"', '"/x"', '"a/b"', "'C:\\x'", '"~x"')),
    *((f"title {t!r:.20}", titled(t), "title") for t in ('"nul"', '"."', '"\\u0007"', '"' + "x" * 5000 + '"', "[1]")),
    *(
        (f"label {label!r:.20}", labelled(label), "antenna[2].label")
        for label in (
            '"NORTH"', '" north "', '"../../x"', '"\\u202e"', '"\\ud7ff\\u0000"', '"' + "y" * 5000 + '"', '"earth"',
            '"output"', '"feed north"', "12", "true", '"\\u2028"', '"\\ufeff"',
        )
    ),
    *(
        (f"parts.{key} a path", under("parts", f'{key} = "../{key}\\u0000"'), f"parts.{key}")
        for key in ("relay", "core", "keep")
    ),
]  # fmt: skip
"""A name, the text, and the key that a fault must be placed at, "" for the file as a whole."""

PINNED = (
    "relay", "core", "output_core", "wire", "choke", "supply_choke", "bifilar_choke", "blocking_capacitor",
    "rail_capacitor", "surge_tube", "line_suppressor", "earth_tube", "flyback_diode", "series_diode", "terminal",
    "fuse", "indicator", "connector",
)  # fmt: skip
PINS = [(f"parts.{key} unknown", under("parts", f'{key} = "nothing-like-it"'), f"parts.{key}") for key in PINNED]
"""Parts that are not in the catalogue, also where this board has no use for them."""
PINS += [
    (f"parts.{key} of another kind", under("parts", f'{key} = "relay-tq2-12"'), f"parts.{key}")
    for key in ("core", "wire", "choke", "surge_tube", "fuse")
]

OVERRIDES = [
    ("--lowest", "1,500 kHz", "band.lowest"),
    ("--lowest", "1.8 mHz", "band.lowest"),
    ("--lowest", "", "band.lowest"),
    ("--lowest", "20 MHz", "band.lowest"),
    ("--highest", "1800000", "band.highest"),
    ("--highest", "6 m", "band.highest"),
    ("--impedance", "75", "band.impedance"),
    ("--impedance", "0 ohm", "band.impedance"),
    ("--region", "4", "band.region"),
    ("--region", "two", "band.region"),
    ("--boards", "0", "order.boards"),
    ("--boards", "-1", "order.boards"),
    ("--boards", "1.5", "order.boards"),
    ("--boards", "9" * 30, "order.boards"),
    ("--spares", "10", "order.spares"),
    ("--spares", "200 %", "order.spares"),
    ("--currency", "cad", "order.currency"),
    ("--currency", "=1+1", "order.currency"),
]
