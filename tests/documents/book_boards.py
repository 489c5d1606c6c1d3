"""Six boards whose books a browser opens: from one way to sixteen, hostile, long and foreign labels, every option."""

from functools import cache

from boardgen.design import make_design
from boardgen.documents.build_files import build_files
from boardgen.request import Request
from boardgen.spec.load import read_text
from tests.catalogue.shipped import CATALOGUE

FED = 'feed = "12 V 60 mA"'


def text(title, labels, feeds=(), switching="", protection="", output="", control="", documents=""):
    """A specification with these lines in each table; the antennas of `feeds`, by number, have a feed."""
    rows = "\n".join(
        f"[[antenna]]\nlabel = {label!r}\n{FED if n in feeds else ''}" for n, label in enumerate(labels, 1)
    )
    return (
        f"title = {title!r}\n[band]\nlowest = '1.8 MHz'\nhighest = '10.15 MHz'\n{rows}\n[output]\n{output}\n"
        f"[switching]\n{switching}\n[protection]\n{protection}\n[control]\nlength = '80 m'\nreturns = 2\n{control}\n"
        f"[documents]\n{documents}\n"
    )


HOSTILE = ("<script>alert(1)</script>", "=1+1", '"; } </style><b>', "{{ 7 * 7 }}", "a&amp;b")
LONG = ("north-north-east beverage over the meadow behind the barn", "Süd-Südwest, 300 m, über die Straße hinweg")
FOREIGN = ("Żółta łąka", "Ελληνικά", "Юг", "東の森", "3.5 MHz loop")
BOARDS = {
    "one way": text("One way", ["only"], control="entry = 'studs'", protection="surge = false"),
    "hostile": text(
        "<img src=x onerror=alert(2)>", HOSTILE, feeds=(1, 3), control="cables = 2\nindicators = true",
        documents="[house]\nentry_panel = true\n[amplifier]\nplace = 'box'\ngain = '15 dB'\nnoise_figure = '4 dB'\n"
        "intercept = '40 dBm'\n[[transmitter]]\nlabel = '<script>alert(3)</script>'\nfrequency = '6.1 MHz'\n"
        "power = '50 kW'\ndistance = '80 km'\n[[transmitter]]\nlabel = '{{ 3 * 7 }}'\nfrequency = '5.2 MHz'\n"
        "power = '100 W'\ndistance = '3 km'\n[[in_hand]]\npart = 'relay-az850-12'\npieces = 3\n[[in_hand]]\n"
        "part = 'wire-awg28'\n",
    ),
    "foreign": text(
        "Прибор 2.5", [*LONG, *FOREIGN, *(f"way {n}" for n in range(8, 17))], control="cables = 3",
        documents="decimal = 'comma'\npaper = 'Letter'\ndimensions = 'inch beside'",
    ),
    "cascaded, low side": text(
        "Two in series", ["north", "south"], feeds=(2,), switching="relays_in_series = 2\nidle = 'open'",
        control="drive = 'low side'\ncables = 2", documents="[box]\nmounting = 'lid'",
    ),
    "jack": text(
        "Jacks", ["a", "b", "c"], feeds=(1,), output=FED, control="entry = 'jack'\ncables = 2",
        switching="feed_arrangement = 'common-mode choked'\nbus_braid = 'floating'",
        documents="[house]\nentry_panel = true",
    ),
    "no breakers": text(
        "No breakers", ["a", "b", "c", "d"], feeds=(1, 2), switching="braid_breakers = 'none'\nfeed_lines = 'shared'",
        protection="earth_to_0v = 'linked'", control="cables = 2",
    ),
}  # fmt: skip


@cache
def design(name):
    """The board of that name, sized, predicted and laid out."""
    return make_design(Request(read_text(BOARDS[name]), CATALOGUE), predicted=True, laid_out=True)


@cache
def files(name):
    """What a build writes."""
    return build_files(design(name), {}, "2026-01-02")


PAGES = ("book.html", "appendix.html")


def page(name, file="book.html"):
    """The text of its book, or of the appendix to it."""
    return files(name)[file].decode()
