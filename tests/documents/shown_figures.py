"""Which value each figure of a document shows, by its name in the page's data; and figures that have none."""

import ast
import re
from collections import defaultdict
from functools import cache
from html.parser import HTMLParser
from io import BytesIO
from pathlib import Path

import openpyxl

import boardgen
from boardgen.documents.build_summary import first_lines
from boardgen.documents.identity import named
from boardgen.documents.page.spelling import THIN
from boardgen.documents.response import target_rows

CODE = Path(boardgen.__file__).parent
PARTS = CODE.parent / "parts"
VOID = {"meta", "link", "input", "br", "img"}
UNSHOWN = {"style", "script", "title"}
FIGURE = re.compile(
    r"(?<![\w.])\d[\d.,]* ?(?:[kMG]?Hz|dB|[mkM]?V|[um]?A|[pnu]F|[mnu]?H|mW|W|[kmM]?ohm|mm2|cm2|mm|km|m|%|degC)(?!\w)"
)
NET = "0V"


def plain(words):
    """Words as they were before they were set: signs of units written out, a decimal point, plain spaces."""
    for sign, written in (
        (THIN, " "), ("Ω", "ohm"), ("µ", "u"), ("²", "2"), ("×", "x"), ("°C", "degC"), ("\N{MINUS SIGN}", "-"),
        ("±", "+-"), ("\N{EN DASH}", ".."), ("\n", " "),
    ):  # fmt: skip
        words = words.replace(sign, written)
    words = re.sub(r"(?<=\d) ?%", " %", words)
    words = re.sub(r"(?<=\d),(?=\d)", ".", words).replace("better than ", "> ")
    # inches and feet stand beside, where they are wanted
    return re.sub(r" \([\d. x]+ (?:in|ft)\)", "", words).strip().removeprefix("at most ").removeprefix("at least ")


class Shown(HTMLParser):
    """Texts of named values by their names, and the other texts of a page or drawing."""

    def __init__(self, text):
        super().__init__()
        self.open, self.values, self.others = [], [], []
        self.feed(text)

    def handle_starttag(self, tag, attributes):
        if tag not in VOID:
            given = dict(attributes)
            # codes and text of the user's own are no figures
            self.open.append((tag, given.get("data-value"), "code" in (given.get("class") or "").split()))

    def handle_startendtag(self, tag, attributes):
        pass

    def handle_endtag(self, tag):
        while self.open.pop()[0] != tag:
            pass

    def handle_data(self, data):
        tags, names, codes = zip(*self.open, strict=True) if self.open else ((), (), ())
        if not data.strip() or UNSHOWN & set(tags):
            return
        named_by = next((name for name in reversed(names) if name is not None), None)
        if named_by is not None:
            # a drawing in millimetres leaves the unit out at each hole
            bare = "svg" in tags and re.fullmatch(r"[\d.]+", data.strip())
            self.values.append((named_by, plain(f"{data} mm" if bare else data)))
        elif not any(codes):
            self.others.append(plain(data))


def of_workbook(content):
    """Named values of a bill's workbook: its lines, its windings, its figures."""
    book = openpyxl.load_workbook(BytesIO(content), data_only=True)
    for row in _rows(book["Windings"], "Designators"):
        for ref in str(row["Designators"]).split():
            for heading, pieces, unit in (
                ("Port turns", ("port turns",), " turns"), ("Board turns", ("board turns",), " turns"),
                ("Port wire mm", ("port winding", "wire"), " mm"), ("Board wire mm", ("board winding", "wire"), " mm"),
            ):  # fmt: skip
                if isinstance(row["Port turns"], int | float):
                    yield named(ref, *pieces), f"{row[heading]}{unit}"
    for row in _rows(book["Board"], "Designators"):
        for ref in str(row["Designators"] or "").split():
            # of what has no figure for a value, the board's documents tell what it is for
            if row["Fitted"] == "fitted" and FIGURE.fullmatch(plain(str(row["Value"]))):
                yield named(ref, "value"), plain(str(row["Value"]))
    for row in _rows(book["Assumptions"], "Checked"):
        if row["Value"]:
            part, _, figure = row["What"].rpartition(": ")
            yield named(part, figure), plain(row["Value"])
    for row in _rows(book["Order"], "Line"):
        if isinstance(row["Line"], int):
            name = " ".join(filter(None, (row["Maker"], str(row["Maker's number"]))))
            unit = "" if row["Unit"] == "piece" else f" {row['Unit']}"
            yield named(name, "ordered"), f"{row['Quantity enter']:g}{unit}"


def _rows(sheet, first):
    """Rows of the table whose heading begins so, by their headings."""
    rows = list(sheet.iter_rows(values_only=True))
    start = next(n for n, row in enumerate(rows) if row[0] == first)
    headings = [str(cell or "").replace("\n", " ") for cell in rows[start]]
    return [dict(zip(headings, row, strict=True)) for row in rows[start + 1 :] if row[0] is not None]


def of_terminal(made):
    """Named values of what a build prints: its targets, its edges, and the board's size."""
    for target, predicted, bound, wanted, _ in target_rows(made.prediction):
        if predicted:
            yield named("target", target, "predicted"), plain(predicted)
            yield named("target", target, "wanted"), plain(wanted)
        if bound:
            yield named("target", target, "bound"), plain(bound)
    for heading, words in first_lines(made, (), ""):
        if heading == "size" and made.layout:
            yield named("board", "size"), plain(words.partition(", ")[0])


def shown(files, made=None):
    """Every text under which a name is shown in pages, drawings, workbook and terminal of a build, with the files."""
    found = defaultdict(lambda: defaultdict(set))
    for name, words in of_terminal(made) if made else ():
        found[name][words].add("terminal")
    for file, content in files.items():
        if file.endswith((".html", ".svg")):
            values = [(name, words) for names, words in Shown(content.decode()).values for name in names.split()]
        elif file == "bill.xlsx":
            values = of_workbook(content)
        else:
            continue
        for name, words in values:
            found[name][words].add(file)
    return found


@cache
def written():
    """Figures that stand in the program's own words and in the data of parts, which are the same for every board."""
    texts = [path.read_text(encoding="utf-8") for path in sorted(PARTS.rglob("*")) if path.suffix in (".toml", ".csv")]
    for path in sorted(CODE.rglob("*.py")):
        texts += [
            node.value for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
            if isinstance(node, ast.Constant) and isinstance(node.value, str)
        ]  # fmt: skip
    return {figure for text in texts for figure in FIGURE.findall(plain(text))}


def unnamed(page, own):
    """Figures of a page that have no name and stand neither in the program's words nor in the user's."""
    found = [(figure, words) for words in Shown(page).others for figure in FIGURE.findall(words)]
    return [(f, words) for f, words in found if f != NET and f not in written() and not any(f in plain(w) for w in own)]
