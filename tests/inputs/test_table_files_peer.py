"""Price tables that LibreOffice saves in the formats of three languages give the same offers, digit by digit."""

import csv
import os
import shutil
import subprocess
from datetime import date
from pathlib import Path

import pytest
from msgspec.structs import replace
from openpyxl import Workbook

from boardgen.catalogue.load import parts_folder
from boardgen.inputs.table_files import read_tables
from boardgen.model.problem import Place
from boardgen.purchasing.price_tables import read_offers

pytestmark = pytest.mark.peer
PRICES = parts_folder() / "prices" / "demo-cad.csv"
PROFILE = """<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry"><item oor:path="/org.openoffice.Setup/L10N">
<prop oor:name="ooSetupSystemLocale" oor:op="fuse"><value>{}</value></prop></item></oor:items>
"""
NUMBERS = {"quantity", "unit_price", "minimum", "multiple", "stock", "lead_days"}


def workbook(path: Path) -> Path:
    """The demonstration prices with numbers and days as a spreadsheet holds them."""
    heading, *rows = csv.reader(PRICES.read_text(encoding="utf-8").splitlines())
    book = Workbook()
    book.active.append(heading)
    for row in rows:
        cells: list[object] = []
        for name, text in zip(heading, row, strict=True):
            number = float(text) if name in NUMBERS and text else text
            cells.append(date.fromisoformat(text) if name == "as_of" else number)
        book.active.append(cells)
    book.save(path)
    return path


@pytest.mark.parametrize(
    ("language", "separator", "read_as"),
    [
        ("de-DE", ";", "separated by semicolons, numbers with a decimal comma"),
        ("fr-FR", "\t", "separated by tabs, numbers with a decimal comma"),
        ("de-DE", ",", "separated by commas, numbers with a decimal comma"),
        ("en-US", ",", ""),
    ],
)
def test_tables_of_three_languages_are_the_same(tmp_path: Path, language: str, separator: str, read_as: str) -> None:
    office = shutil.which("soffice")
    if office is None:
        reason = "NOT CHECKED: no table was saved by LibreOffice, because it (soffice) is not installed"
        (pytest.fail if os.environ.get("CI") else pytest.skip)(reason)
    (tmp_path / "profile" / "user").mkdir(parents=True)
    settings = tmp_path / "profile" / "user" / "registrymodifications.xcu"
    settings.write_text(PROFILE.format(language), encoding="utf-8")
    form = f"csv:Text - txt - csv (StarCalc):{ord(separator)},34,76,1,,0,false,true,false"
    profile = f"-env:UserInstallation={(tmp_path / 'profile').as_uri()}"
    made = workbook(tmp_path / "prices.xlsx")
    command = [str(office), profile, "--headless", "--convert-to", form, "--outdir", "done", made.name]
    subprocess.run(command, cwd=tmp_path, check=True, capture_output=True)
    wanted, _ = read_offers(read_tables([PRICES]))
    for path in (made, tmp_path / "done" / "prices.csv"):
        offers, problems = read_offers(read_tables([path]))
        assert [replace(o, place=Place()) for o in offers] == [replace(o, place=Place()) for o in wanted]
        said = [p.found for p in problems if p.id == "price-read"]
        assert said == ([f"read as columns {read_as}"] if read_as and path is not made else [])
