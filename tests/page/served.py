"""A page that is served in a thread of the test, with processes or with what stands in for them."""

import http.client
import json
import threading
from contextlib import contextmanager
from http.cookies import SimpleCookie

from boardgen.page import room as rooms
from boardgen.page.desk import Beside
from boardgen.page.server import listening, server


class NoProcess:
    """Takes jobs and works none out."""

    def __init__(self, kind, told):
        self.jobs, self.told, self.kind = [], told, kind

    def ask(self, job):
        self.jobs.append(job)

    def close(self):
        pass


class Served:
    """The address of a page, and requests as its own script sends them."""

    def __init__(self, room, first, port):
        self.room, self.first, self.port = room, first, port
        entered = self.plain("GET", first.removeprefix(f"http://127.0.0.1:{port}"))
        self.code = entered.status
        held = SimpleCookie(entered.getheader("set-cookie"))
        self.cookie = "; ".join(f"{name}={one.value}" for name, one in held.items())
        self.cookie_line = entered.getheader("set-cookie")

    def plain(self, method, path, body=None, **headers):
        """Exactly this request; an absent Host is our own."""
        connection = http.client.HTTPConnection("127.0.0.1", self.port)
        connection.putrequest(method, path, skip_host=True, skip_accept_encoding=True)
        for name, value in {"Host": f"127.0.0.1:{self.port}", **headers}.items():
            connection.putheader(name.replace("_", "-"), value)
        if body is not None and "Content_Length" not in headers:
            connection.putheader("Content-Length", str(len(body)))
        connection.endheaders(body)
        answer = connection.getresponse()
        answer.content = answer.read()
        connection.close()
        return answer

    def get(self, path):
        return self.plain("GET", path, Cookie=self.cookie)

    def headers(self):
        """Those of a request from the page."""
        own = f"http://127.0.0.1:{self.port}"
        return {
            "Cookie": self.cookie,
            "Origin": own,
            "Content_Type": "application/json",
            "Sec_Fetch_Site": "same-origin",
        }

    def ask(self, what, **said):
        answer = self.plain("POST", f"/ask/{what}", json.dumps(said).encode(), **self.headers())
        return answer.status, json.loads(answer.content)


@contextmanager
def serving(folder, spec=None, process=NoProcess, out="output"):
    """A server of that folder until the block is left."""
    before = rooms.Process
    rooms.Process = process or before
    try:
        room = rooms.Room(folder, Beside(None, (), out), spec)
        with listening(0) as bound:
            ready = threading.Event()
            addresses = []

            def told(address):
                addresses.append(address)
                ready.set()

            made = server(room, bound, told)
            thread = threading.Thread(target=made.run, kwargs={"sockets": [bound]})
            thread.start()
            try:
                assert ready.wait()
                yield Served(room, addresses[0], bound.getsockname()[1])
            finally:
                made.should_exit = True
                thread.join()
    finally:
        rooms.Process = before
