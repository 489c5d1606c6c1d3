"""Whoever is not the page itself is refused, and changes nothing."""

import concurrent.futures
import json
import socket

import pytest

from boardgen.page import guard
from boardgen.spec.template import with_ways
from tests.page.served import serving

TEXT = with_ways("two-way", None)
CHANGE = json.dumps({"key": ["control", "length"], "words": "7 m", "seen": 0}).encode()


@pytest.fixture(scope="module")
def served(tmp_path_factory):
    folder = tmp_path_factory.mktemp("page")
    (folder / "mine.toml").write_text(TEXT)
    (folder / "secret.txt").write_text("secret")
    with serving(folder, folder / "mine.toml") as page:
        yield page


HOSTILE = {
    "another name for this address": (421, {"Host": "evil.example"}),
    "another port": (421, {"Host": "127.0.0.1:1"}),
    "no cookie": (403, {"Cookie": ""}),
    "a wrong cookie": (403, {"Cookie": "boardgen-{port}=x"}),
    "a cookie that is none": (403, {"Cookie": "\x01=\x02; boardgen-{port}=é"}),
    "another origin": (403, {"Origin": "http://evil.example"}),
    "an origin of another port": (403, {"Origin": "http://127.0.0.1:1"}),
    "no origin": (403, {"Origin": ""}),
    "the null origin": (403, {"Origin": "null"}),
    "another site": (403, {"Sec_Fetch_Site": "cross-site"}),
    "a site beside": (403, {"Sec_Fetch_Site": "same-site"}),
    "a form": (415, {"Content_Type": "application/x-www-form-urlencoded"}),
    "plain text": (415, {"Content_Type": "text/plain"}),
    "a length that is none": (400, {"Content_Length": "x"}),
    "a length beyond bounds": (413, {"Content_Length": str(10**9)}),
}


@pytest.mark.parametrize("who", HOSTILE)
def test_hostile_changes_are_refused(served, who):
    code, headers = HOSTILE[who]
    given = {name: value.format(port=served.port) for name, value in headers.items()}
    answer = served.plain("POST", "/ask/set", CHANGE, **{**served.headers(), **given})
    assert answer.status == code
    assert b"Traceback" not in answer.content
    assert served.room.desk.file.history.now.number == 0


@pytest.mark.parametrize("path", ["/?token=wrong", "/?token=", "/?x", "/?token=%C3%A9"])
def test_a_wrong_token_opens_nothing(served, path):
    answer = served.plain("GET", path)
    assert answer.status == 403
    assert answer.getheader("set-cookie") is None


def test_the_token_becomes_a_cookie_for_this_page_alone(served):
    assert served.code == 303
    assert "HttpOnly" in served.cookie_line
    assert "SameSite=strict" in served.cookie_line
    assert served.first.partition("token=")[2] not in served.cookie_line


@pytest.mark.parametrize(
    "path",
    [
        "/static/../secret.txt",
        "/static/..%2f..%2fserver.py",
        "/static/form.html",
        "/written/../secret.txt",
        "/written/%2e%2e/secret.txt",
        "/written//etc/passwd",
        "/secret.txt",
        "/ask/set",
        "/openapi.json",
    ],
)
def test_no_path_leads_outside(served, path):
    answer = served.get(path)
    assert answer.status in (404, 405)
    assert b"secret" not in answer.content.replace(path.encode(), b"").replace(b"secret.txt", b"")


@pytest.mark.parametrize("method", ["PUT", "DELETE", "PATCH", "OPTIONS", "TRACE", "CONNECT"])
def test_other_methods_are_refused(served, method):
    assert served.plain(method, "/ask/set", **served.headers()).status in (400, 404, 405)


@pytest.mark.parametrize(
    ("what", "said"),
    [
        ("set", {"key": ["control", "length"], "words": "7 m"}),
        ("set", {"key": ["control", "length"], "words": 7, "seen": 0}),
        ("set", {"key": ["control", "length"], "words": "x" * 501, "seen": 0}),
        ("set", {"key": [], "words": "7 m", "seen": 0}),
        ("set", {"key": ["control", "length"], "words": "7 m", "seen": 0, "more": 1}),
        ("rows", {"table": "antenna", "seen": 0, "at": -1}),
        ("rows", {"table": "antenna", "seen": 0, "at": 10**30}),
        ("begin", {"template": "four-way", "name": ""}),
    ],
)
def test_what_is_not_asked_for_rightly_is_refused(served, what, said):
    code, answer = served.ask(what, **said)
    assert code == 400
    assert "not what the page sends" in answer["refused"]


@pytest.mark.parametrize(
    "key",
    [
        ["control"],
        ["antenna"],
        ["nothing", "here"],
        ["antenna", "x", "label"],
        ["control", 0],
        ["band", "__class__"],
        [""],
    ],
)
def test_what_is_no_key_is_refused(served, key):
    for what, said in (("set", {"key": key, "words": "7"}), ("remedy", {"keys": [[key, "7"]]})):
        code, answer = served.ask(what, seen=0, **said)
        assert code == 409
        assert "no such key" in answer["refused"]


@pytest.mark.parametrize("name", ["../x", "/tmp/x", "a/b.toml", "..", ".hidden", "C:\\x", "mine.toml"])
def test_no_file_is_begun_outside_the_folder_or_over_another(served, name):
    before = sorted(path.name for path in served.room.folder.parent.rglob("*"))
    code, _ = served.ask("begin", template="two-way", name=name)
    if "\\" not in name:
        assert code == 409
        assert sorted(path.name for path in served.room.folder.parent.rglob("*")) == before


@pytest.mark.parametrize("name", ["../mine.toml", "/etc/passwd", "secret.txt", "absent.toml"])
def test_no_other_file_is_opened(served, name):
    assert served.ask("open", name=name)[0] == 409


def test_every_answer_is_held_to_a_strict_policy(served):
    for path in ("/", "/static/page.js", "/nowhere"):
        answer = served.get(path)
        policy = answer.getheader("content-security-policy")
        assert "default-src 'none'" in policy
        assert "unsafe" not in policy
        assert "frame-ancestors 'none'" in policy
        assert answer.getheader("x-content-type-options") == "nosniff"
        assert answer.getheader("cache-control") == "no-store"


def test_a_body_that_grows_beyond_bounds_is_refused(served):
    with socket.create_connection(("127.0.0.1", served.port)) as line:
        said = "".join(f"{name.replace('_', '-')}: {value}\r\n" for name, value in served.headers().items())
        head = f"POST /ask/set HTTP/1.1\r\nHost: 127.0.0.1:{served.port}\r\n{said}Transfer-Encoding: chunked\r\n\r\n"
        line.sendall(head.encode())
        piece = b"8000\r\n" + b"x" * 0x8000 + b"\r\n"
        line.sendall(piece * 3)
        assert b" 413 " in line.recv(100)


def test_a_slow_client_is_let_go(served, monkeypatch):
    monkeypatch.setattr(guard, "BODY_SECONDS", 0.05)
    with socket.create_connection(("127.0.0.1", served.port)) as line:
        said = "".join(f"{name.replace('_', '-')}: {value}\r\n" for name, value in served.headers().items())
        head = f"POST /ask/set HTTP/1.1\r\nHost: 127.0.0.1:{served.port}\r\n{said}Content-Length: 9\r\n\r\n{{"
        line.sendall(head.encode())
        assert b" 408 " in line.recv(100)


def test_two_hundred_at_once_are_answered_or_refused(served):
    def code(_):
        try:
            return served.get("/static/page.css").status
        except OSError:
            return 0

    with concurrent.futures.ThreadPoolExecutor(200) as pool:
        codes = list(pool.map(code, range(200)))
    assert set(codes) <= {200, 503, 0}
    assert codes.count(200) > 0
    assert served.get("/").status == 200
