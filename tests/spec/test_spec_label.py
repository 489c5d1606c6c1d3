"""Labels, titles, and the names made of them."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from boardgen.spec.label import ascii_name, folder_name, read_label, read_title
from boardgen.tables.fault import FieldError


@pytest.mark.parametrize(
    ("label", "name"),
    [
        ("north", "north"),
        ("North East", "North East"),
        ("north   east", "north east"),
        ("Süd-Öst", "Sud-Ost"),
        ("Ålesund", "Alesund"),
        ("nørd", "nord"),
        ("Straße", "Strasse"),
        ("Æsir œuvre", "AEsir oeuvre"),
        ("þorn Þing", "thorn Thing"),
        ("Łódź đ", "Lodz d"),
        ("a/b\\c:d", "a b c d"),
        ("say \"hi\" 'now' `ok`", "say hi now ok"),
        ("<script>alert(1)</script>", "script alert(1) script"),
        ("=1+1", "=1+1"),
        ("北", "antenna 3"),
        ("☃ ❄", "antenna 3"),
        ("---", "antenna 3"),
        ("北 2", "2"),
        ("ｎｏｒｔｈ", "north"),
        ("NUL", "antenna NUL"),
        ("end.", "end"),
    ],
)
def test_name_in_ascii(label, name):
    assert ascii_name(label, 3) == name


@pytest.mark.parametrize("label", ["=1+1", "<script>alert(1)</script>", "a/b", "Öst", "北", "☃", "x" * 60, "D:"])
def test_accepts_any_plain_text(label):
    assert read_label(f"  {label} ") == label


@pytest.mark.parametrize(
    "label", ["output", "BUS", "0v", "0V", "earth", "Coil Supply", "sélect", "select", "select x", "feed north"]
)
def test_refuses_names_of_the_board(label):
    with pytest.raises(FieldError, match="another part"):
        read_label(label)


@pytest.mark.parametrize(
    "text", ["a\nb", "a\rb", "a\tb", "a\x7fb", "a\x85b", "a\u2028b", "a\u202eb", "a\u2067b", "a\ud800b"]
)
def test_refuses_what_cannot_be_printed_by_its_code(text):
    for read in (read_label, read_title):
        with pytest.raises(FieldError, match=f"U\\+{ord(text[1]):04X}"):
            read(text)


@given(label=st.text(max_size=70), number=st.integers(1, 16))
def test_a_name_is_plain_ascii_whatever_the_label(label, number):
    name = ascii_name(label, number)
    assert name
    assert name.isascii()
    assert name.isprintable()
    assert not set(name) & set("\"'`\\/:*?<>|")
    assert name == " ".join(name.split())
    assert ascii_name(name, number) == name


@given(st.text(max_size=90))
def test_an_accepted_title_names_one_plain_folder(title):
    try:
        accepted = read_title(title)
    except FieldError:
        return
    folder = folder_name(accepted)
    assert folder
    assert folder not in (".", "..")
    assert not set(folder) & set('<>:"|?*/\\\x00')
    assert folder[-1] not in ". "
    assert len(folder.encode()) <= 200
    assert folder_name(folder) == folder


@pytest.mark.parametrize(
    ("title", "folder"),
    [("Saltmarsh four-way", "Saltmarsh four-way"), ("Øst: two?", "Øst two"), ("a  b.", "a b"), ("e\u0301", "é")],
)
def test_folder_of_a_title(title, folder):
    assert folder_name(read_title(title)) == folder


@pytest.mark.parametrize("title", ["CON", "con.txt", "Com1", "LPT9", "nul ", "aux.tar.gz", "COM¹", "CON ."])
def test_refuses_devices_as_title(title):
    with pytest.raises(FieldError, match="device"):
        read_title(title)


@pytest.mark.parametrize(
    "title", ["/etc", "~", "../x", "..", "C:\\", "c:/x", "\\\\host", "a/b", "a\\b", "", " ", ".", "x" * 81]
)
def test_refuses_titles_that_are_no_folder(title):
    with pytest.raises(FieldError):
        read_title(title)
