import io
import zipfile

import pytest
from hypothesis import given
from hypothesis import strategies as st

from boardgen.formats.fixed_zip import fixed_zip, unzipped


@given(st.dictionaries(st.from_regex(r"[a-z]{1,8}(/[a-z]{1,8})?", fullmatch=True), st.binary(max_size=300), max_size=5))
def test_comes_back_and_does_not_depend_on_order(files: dict[str, bytes]) -> None:
    made = fixed_zip(files)
    assert unzipped(made) == files
    assert fixed_zip(dict(reversed(files.items()))) == made


def test_has_one_date_and_sorted_names() -> None:
    with zipfile.ZipFile(io.BytesIO(fixed_zip({"b": b"2", "a": b"1"}))) as packed:
        assert packed.namelist() == ["a", "b"]
        assert {entry.date_time for entry in packed.infolist()} == {(1980, 1, 1, 0, 0, 0)}
        assert packed.testzip() is None


def test_what_is_no_archive_is_refused() -> None:
    with pytest.raises(zipfile.BadZipFile):
        unzipped(b"text")
