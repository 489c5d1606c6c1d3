"""The file is saved whole or not at all, and never over what somebody else wrote into it."""

import stat

import pytest

from boardgen.formats import saved_file
from boardgen.model.problem import InputError
from boardgen.page.history import SetKey, edited, undone
from boardgen.page.opened_file import OpenedFile
from boardgen.spec.template import with_ways

TEXT = with_ways("two-way", None)


@pytest.fixture
def opened(tmp_path):
    path = tmp_path / "mine.toml"
    path.write_bytes(TEXT.encode())
    return OpenedFile(path)


def lengthen(opened, value="7 m"):
    opened.history = edited(opened.history, SetKey(("control", "length"), value), opened.history.now.number)


def test_saving_writes_what_is_on_view(opened):
    opened.path.chmod(0o640)
    lengthen(opened)
    assert opened.path.read_text() == TEXT
    opened.save()
    assert opened.path.read_text() == opened.history.now.text != TEXT
    assert stat.S_IMODE(opened.path.stat().st_mode) == 0o640
    assert [path.name for path in opened.path.parent.iterdir()] == ["mine.toml"]
    assert not opened.look()


def test_marks_and_line_ends_of_the_file_are_kept(tmp_path):
    path = tmp_path / "mine.toml"
    path.write_bytes(b"\xef\xbb\xbf" + TEXT.replace("\n", "\r\n").encode())
    opened = OpenedFile(path)
    lengthen(opened)
    opened.save()
    content = path.read_bytes()
    assert content.startswith(b"\xef\xbb\xbf#")
    assert content.count(b"\n") == content.count(b"\r\n")
    assert b'"7 m"' in content


def test_an_outside_change_is_seen_before_it_is_saved_over(opened):
    lengthen(opened)
    opened.path.write_text(TEXT + "# theirs\n")
    with pytest.raises(InputError, match="put on top of it"):
        opened.save()
    opened.save()
    assert opened.path.read_text().endswith("# theirs\n")
    assert '"7 m"' in opened.path.read_text()


def test_a_broken_file_is_told_and_never_saved_over(opened):
    lengthen(opened)
    opened.path.write_text("control = [\n")
    assert opened.look()
    assert "broken outside the page in line" in opened.notice
    assert not opened.look()
    with pytest.raises(InputError, match="changed outside"):
        opened.save()
    assert opened.path.read_text() == "control = [\n"
    opened.path.write_text(TEXT)
    assert opened.look()
    assert opened.notice == ""
    opened.save()
    assert '"7 m"' in opened.path.read_text()


def test_a_file_that_is_gone_is_told(opened):
    opened.path.unlink()
    assert opened.look()
    assert "gone" in opened.notice


def test_where_writing_fails_the_file_is_as_it_was(opened, monkeypatch):
    lengthen(opened)

    def full(_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(saved_file.os, "fsync", full)
    with pytest.raises(InputError, match="No space left"):
        opened.save()
    assert opened.path.read_text() == TEXT
    assert [path.name for path in opened.path.parent.iterdir()] == ["mine.toml"]


def test_what_is_not_saved_is_there_again_after_the_page_was_ended(opened):
    opened.save()
    lengthen(opened, "6 m")
    lengthen(opened, "7 m")
    opened.keep_draft()
    again = OpenedFile(opened.path)
    assert opened.path.read_text() == TEXT
    assert again.history.now == opened.history.now
    assert "not saved: here they are again" in again.notice
    assert '"6 m"' in undone(again.history).now.text
    assert undone(undone(again.history)).now.text == TEXT
    again.save()
    again.keep_draft()
    assert [path.name for path in opened.path.parent.iterdir()] == ["mine.toml"]


def test_a_draft_is_put_on_top_of_what_an_editor_wrote_meanwhile(opened):
    lengthen(opened)
    opened.keep_draft()
    opened.path.write_text(TEXT + "# theirs\n")
    again = OpenedFile(opened.path)
    assert again.history.now.text.endswith("# theirs\n")
    assert '"7 m"' in again.history.now.text
    assert "put on top of it" in again.notice


@pytest.mark.parametrize("content", [b"", b"{}", b'{"states": [], "at": 0, "saved": 0, "saved_text": ""}'])
def test_a_broken_draft_is_none(opened, content):
    opened.path.with_name(".mine.toml.unsaved").write_bytes(content)
    again = OpenedFile(opened.path)
    assert again.history.now.text == TEXT
    assert again.notice == ""


def test_where_no_draft_can_be_kept_the_page_goes_on(opened):
    lengthen(opened)
    opened.path.with_name(".mine.toml.unsaved").mkdir()
    opened.keep_draft()
    assert OpenedFile(opened.path).history.now.text == TEXT
