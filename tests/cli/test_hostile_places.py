"""Files, folders and streams that are not what one would wish."""

import json
import os
import pty
import re
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from boardgen.cli.app import main
from boardgen.spec.template import with_ways
from tests.cli.empty_folder import TITLES, User, tree

TITLE = TITLES["four-way"]
posix = pytest.mark.skipif(sys.platform == "win32", reason="pipes, limits and terminals of POSIX")
linux = pytest.mark.skipif(sys.platform != "linux", reason="device files and capabilities of Linux")


def child(user: User, *words: str, **more: object) -> subprocess.Popen[bytes]:
    command = [sys.executable, "-m", "boardgen", *words]
    return subprocess.Popen(command, cwd=user.here, env=user.environment(), stderr=subprocess.PIPE, **more)


def heed() -> None:
    """Signals as a terminal leaves them: a suite that runs in the background hands them on as ignored."""
    for number in (signal.SIGINT, signal.SIGTERM, signal.SIGHUP):
        signal.signal(number, signal.SIG_DFL)


def on_a_terminal(user: User, *words: str, **environment: str) -> str:
    """All that a command sends to a terminal."""
    ours, theirs = pty.openpty()
    command = [sys.executable, "-m", "boardgen", *words]
    with subprocess.Popen(
        command, cwd=user.here, env=user.environment(TERM="xterm", **environment), stdout=theirs, stderr=theirs
    ) as running:
        os.close(theirs)
        said = b""
        while chunk := _read(ours):
            said += chunk
        assert running.wait() == 0, said
    os.close(ours)
    return said.decode()


def _read(terminal: int) -> bytes:
    try:
        return os.read(terminal, 65536)
    except OSError:  # Linux says so when the other end is closed
        return b""


# the output folder


@pytest.mark.slow
def test_a_build_replaces_an_untouched_build(user):
    spec = user.start()
    user.good("build", "board.toml")
    before = user.built()
    spec.write_text(spec.read_text(encoding="utf-8").replace('"1.8 MHz" ', '"1.9 MHz" '), encoding="utf-8")
    user.good("build", "board.toml")
    assert user.built() != before
    assert user.built().keys() == before.keys()


@pytest.mark.slow
def test_a_build_never_replaces_somebodys_work(user):
    user.start()
    user.good("build", "board.toml")
    for name in ("bill.csv", "values.json", "notes.txt", "manifest.json"):
        file = user.here / "output" / TITLE / name
        before = file.read_bytes() if file.exists() else None
        file.write_bytes((before or b"") + b"mine")
        message = user.refused("build", "board.toml", "--lowest", "472 kHz")
        assert f"output/{TITLE}/{name}" in message
        if before is None:
            file.unlink()
        else:
            file.write_bytes(before)
    user.good("build", "board.toml", "--lowest", "472 kHz")


@pytest.mark.slow
@pytest.mark.parametrize("blocked", ["output", f"output/{TITLE}"])
def test_a_file_in_the_place_of_a_folder_is_refused(user, blocked):
    user.start()
    (user.here / blocked).parent.mkdir(exist_ok=True)
    (user.here / blocked).write_text("mine")
    assert "output" in user.refused("build", "board.toml")


@posix
@pytest.mark.parametrize("there", [True, False])
def test_a_link_in_the_place_of_the_folder_is_refused(user, there):
    user.start()
    (user.here / "output").mkdir()
    if there:
        (user.home / "elsewhere").mkdir()
    (user.here / "output" / TITLE).symlink_to(user.home / "elsewhere")
    assert "link" in user.refused("build", "board.toml")


@pytest.mark.slow
@posix
def test_a_link_to_another_disk_for_all_output_is_followed(user):
    user.start()
    (user.top / "other disk").mkdir()
    (user.here / "output").symlink_to(user.top / "other disk")
    user.good("build", "board.toml")
    assert (user.top / "other disk" / TITLE / "bill.csv").is_file()


@pytest.mark.slow
@linux
@pytest.mark.parametrize("command", [("build", "board.toml"), ("start", "new.toml")])
def test_a_folder_that_may_not_be_written_is_refused(user, command):
    user.start()
    user.here.chmod(0o555)
    message = user.refused(*command, limit="unprivileged")
    user.here.chmod(0o755)
    assert "Permission denied" in message


@pytest.mark.slow
@posix
@pytest.mark.parametrize("earlier", [False, True])
def test_a_write_that_fails_midway_changes_nothing(user, earlier):
    user.start()
    if earlier:
        user.good("build", "board.toml")
    message = user.refused("build", "board.toml", "--boards", "2", limit="12000")
    assert "File too large" in message
    assert user.run("build", "board.toml", "--boards", "2").returncode == 0


@posix
def test_a_start_that_fails_midway_leaves_no_file(user):
    assert "File too large" in user.refused("start", "board.toml", limit="100")


@pytest.mark.slow
@posix
def test_two_builds_at_once_leave_one_whole_build(user):
    user.start()
    running = [child(user, "build", "board.toml", "--boards", str(n), stdout=subprocess.DEVNULL) for n in (1, 2, 3)]
    said = [one.communicate()[1] for one in running]
    assert all(one.returncode in (0, 2) for one in running), said
    assert 0 in {one.returncode for one in running}
    assert b"Traceback" not in b"".join(said)
    assert {path.name for path in (user.here / "output").iterdir()} == {TITLE}
    assert user.run("build", "board.toml").returncode == 0


# the specification


@pytest.mark.parametrize("command", ["values", "build"])
@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("none.toml", "No such file"),
        ("folder", "not a regular file"),
        ("board.toml/board.toml", "Not a directory"),
        ("empty.toml", "band is absent"),
        ("huge.toml", "larger than 1 MiB"),
        ("latin.toml", "latin.toml:2: the file is not UTF-8"),
        ("broken.toml", "broken.toml:1"),
        pytest.param("/dev/zero", "not a regular file", marks=linux),
        pytest.param("pipe", "not a regular file", marks=posix),
        pytest.param("loop.toml", "Too many levels of symbolic links", marks=posix),
        ("x" * 5000, "File name too long"),
        ("", "not a regular file"),
    ],
)
def test_a_file_that_is_no_specification_is_refused(user, command, name, said):
    user.start()
    (user.here / "folder").mkdir()
    (user.here / "empty.toml").write_bytes(b"")
    with (user.here / "huge.toml").open("wb") as file:
        file.truncate(3_000_000)
    (user.here / "latin.toml").write_bytes(b'\ntitle = "S\xfcd"\n')
    (user.here / "broken.toml").write_bytes(b"[band\n")
    if name == "pipe":
        os.mkfifo(user.here / "pipe")
    if name == "loop.toml":
        (user.here / name).symlink_to(name)
    message = user.refused(command, name)
    assert said in message
    assert (name or ".") in message


@pytest.mark.parametrize("words", [("none.toml", "board.toml"), ("board.toml", "none.toml"), ("board.toml", ".")])
def test_compare_needs_two_specifications(user, words):
    user.start()
    assert words[words[0] == "board.toml"] in user.refused("compare", *words)


# streams


@pytest.mark.slow
@posix
@pytest.mark.parametrize("words", [("values",), ("values", "--json"), ("build",), ("build", "--json")])
def test_a_reader_who_leaves_early_is_no_fault(user, words):
    user.start()
    running = child(user, words[0], "board.toml", *words[1:], stdout=subprocess.PIPE)
    running.stdout.close()
    assert running.stderr.read() == b""
    running.stderr.close()
    assert running.wait() == 0
    assert (user.here / "output").exists() == (words[0] == "build")


@linux
@pytest.mark.parametrize("words", [("values", "board.toml"), ("values", "none.toml", "--json"), ("--help",)])
def test_a_full_disk_behind_the_output_is_told(user, words):
    user.start()
    with Path("/dev/full").open("wb") as full:
        running = child(user, *words, stdout=full)
        said = running.communicate()[1].decode()
    assert running.returncode == 2
    assert "No space left on device" in said
    assert "Traceback" not in said
    assert said.splitlines()[-1] == "standard output: No space left on device; the output is not complete"


@pytest.mark.slow
@posix
def test_a_closed_output_does_not_stop_a_build(user):
    user.start()
    done = user.run("build", "board.toml", limit="closed")
    assert (done.returncode, done.stdout, done.stderr) == (0, "", "")
    assert set(user.built()) > {"bill.csv", "netlist.net"}


@pytest.mark.slow
@posix
@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM, signal.SIGHUP])
def test_an_interrupted_build_leaves_nothing_and_no_traceback(user, number):
    user.start()
    before = tree(user.top)
    ours, theirs = pty.openpty()
    command = [sys.executable, "-m", "boardgen", "build", "board.toml"]
    with subprocess.Popen(
        command, cwd=user.here, env=user.environment(), stdout=theirs, stderr=theirs, preexec_fn=heed
    ) as running:
        os.close(theirs)
        said = b""
        while b"laying out ..." not in said:
            said += _read(ours)
        running.send_signal(number)
        while chunk := _read(ours):
            said += chunk
        assert running.wait() == 130
    os.close(ours)
    assert said.endswith(b"\r\x1b[Kstopped\r\n")
    assert tree(user.top) == before


STOPPED_WHILE_LOADING = """
import os, runpy, signal, sys
class Stop:
    def find_spec(self, name, path=None, target=None):
        if name == "cyclopts":
            os.kill(os.getpid(), signal.SIGINT)
sys.meta_path.insert(0, Stop())
sys.argv = ["boardgen", "values", "board.toml"]
runpy.run_module("boardgen", run_name="__main__")
"""


@posix
def test_ctrl_c_while_modules_load_is_one_line():
    command = [sys.executable, "-c", STOPPED_WHILE_LOADING]
    done = subprocess.run(command, capture_output=True, text=True, check=False, preexec_fn=heed)
    assert (done.returncode, done.stdout, done.stderr) == (130, "", "stopped\n")


@posix
@pytest.mark.parametrize("words", [("order", "board.toml", "--prices", "p.csv"), ("prove", "built")])
def test_no_control_character_of_a_file_reaches_the_terminal(tmp_path, monkeypatch, capsys, words):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "board.toml").write_text(with_ways("two-way", None), encoding="utf-8")
    steer = "\x1b[31m\x1b]0;mine\x07\x9b2J\u202e"
    heading = f"part,supplier,order_code,currency,quantity,unit_price,as_of,source,{steer}"
    rows = [
        f"relay-tq2-12,Shop{steer},{steer}7,CAD,1,3.00,2026-11-01,seen,1",
        f"{steer},S,1,CAD,1,x{steer},2026-11-01,s,1",
    ]
    (tmp_path / "p.csv").write_text("\n".join([heading, *rows]), encoding="utf-8")
    (tmp_path / "built" / "fabrication").mkdir(parents=True)
    (tmp_path / "built" / "netlist.net").write_text("")
    (tmp_path / "built" / f"a{steer}b".replace("/", "")).write_text("")
    for more in ((), ("--json",)):
        assert main([*words, *more]) in (1, 2)
        said = "".join(capsys.readouterr())
        assert "\\u001b" in said
        assert {c for c in said if not c.isprintable()} <= {"\n"}


@pytest.mark.slow
@posix
def test_progress_is_shown_on_a_terminal_only(user):
    user.start()
    said = on_a_terminal(user, "build", "board.toml")
    assert all(
        f"\r{step} ...\x1b[K" in said
        for step in ("reading", "sizing", "wiring", "laying out", "predicting", "pricing", "writing")
    )
    assert "\x1b[K" in said.rsplit(" ...", 1)[1].split("Larkfield")[0]
    assert on_a_terminal(user, "build", "board.toml", "--quiet") == ""


@posix
@pytest.mark.parametrize("words", [("--help",), ("build", "--help"), ("values", "board.toml")])
def test_no_color_is_honoured(user, words):
    user.start()
    said = on_a_terminal(user, *words, NO_COLOR="1")
    assert "board" in said
    assert not re.search(r"\x1b\[[0-9;]*3[0-7][0-9;]*m", said)


# letters


@pytest.mark.slow
@pytest.mark.parametrize("locale", [{"LC_ALL": "C"}, {"LANG": "C"}, {"LANG": "C", "PYTHONIOENCODING": "ascii"}])
def test_letters_beyond_ascii_do_not_need_a_locale(user, locale):
    spec = user.start()
    text = spec.read_text(encoding="utf-8").replace("Larkfield four-way", "Süd–Öst 北 μ")
    spec.write_text(text.replace('"north-east"', '"Ñandú ☂"').replace('"south-east"', '"北"'), encoding="utf-8")
    for command in ("values", "build"):
        done = user.run(command, "board.toml", **locale)
        assert done.returncode == 0, done.stderr
        assert "Süd–Öst 北 μ" in done.stdout
    assert json.loads(user.run("values", "board.toml", "--json", **locale).stdout)["title"] == "Süd–Öst 北 μ"
    netlist = (user.here / "output" / "Süd–Öst 北 μ" / "netlist.net").read_text(encoding="utf-8")
    assert all(name.isascii() for name in re.findall(r'\(net \(code "\d+"\) \(name "(.*?)"\)', netlist))


@pytest.mark.slow
@linux
def test_a_title_that_no_file_name_can_hold_is_refused(user):
    spec = user.start()
    spec.write_text(spec.read_text(encoding="utf-8").replace("Larkfield", "Süd"), encoding="utf-8")
    message = user.refused("build", "board.toml", LC_ALL="C", PYTHONUTF8="0", PYTHONCOERCECLOCALE="0")
    assert "file names cannot hold" in message


@pytest.mark.slow
@linux
def test_a_file_name_that_is_no_text_can_be_used(user):
    name = os.fsdecode(b"b\xff.toml")
    user.start(name=name)
    assert user.run("build", name).returncode == 0
    assert json.loads(user.built()["manifest.json"])["inputs"]["specification"]["name"] == "b?.toml"


@pytest.mark.parametrize("name", ["-board.toml", "a b.toml", "--", "@x", "--json"])
def test_odd_file_names_are_names(user, name):
    assert "next: boardgen values" in user.good("start", "--", name)
    assert [path.name for path in user.here.iterdir()] == [name]
