"""Nobody gets in: real servers are started and knocked at as a stranger would.

What is expected of a notebook server (this machine only, a token, none but widget messages from a presented page) is common
practice, no source; the message format is that of the Jupyter messaging protocol 5 (M).
"""

import csv
import io
import json
import re
import urllib.error
import urllib.request
import uuid
from html.parser import HTMLParser

import browser as b
import psutil
import pytest
import websocket

LESSON = ("from pathlib import Path; Path('cell ran').touch()",)


class Visitor:
    """Somebody with a browser: knows an address, perhaps with its token, keeps cookies, speaks to a kernel."""

    def __init__(self, address):
        self.cookies = urllib.request.HTTPCookieProcessor()
        self.opener = urllib.request.build_opener(self.cookies)
        self.base = address.partition("?")[0]
        self.page = self.opener.open(address, timeout=60).read().decode("utf-8")

    def kernel(self):
        """The kernel of the page that was opened."""
        return re.search(r'"?kernelId"?: "([0-9a-f-]{36})"', self.page)[1]

    def line(self, kernel, *, origin=None, protocols=()):
        """A line to a kernel, as the page's script has one."""
        cookie = "; ".join(f"{c.name}={c.value}" for c in self.cookies.cookiejar)
        place = self.base.replace("http", "ws") + f"api/kernels/{kernel}/channels"
        return websocket.create_connection(place, cookie=cookie, timeout=20, subprotocols=list(protocols) or None,
                                           origin=origin or self.base.rstrip("/"))


def message(kind, **content):
    """A message of the Jupyter protocol."""
    header = {"msg_id": uuid.uuid4().hex, "msg_type": kind, "username": "", "session": "visitor", "version": "5.3",
              "date": "2026-05-04T10:00:00Z"}
    return {"header": header, "parent_header": {}, "metadata": {}, "content": content}


def as_text(told, channel):
    """The message as the older way of speaking sends it."""
    return json.dumps(told | {"channel": channel, "buffers": []})


def as_bytes(told, channel):
    """The message as the newer way of speaking (v1.kernel.websocket.jupyter.org) sends it."""
    fields = ("header", "parent_header", "metadata", "content")
    parts = [channel.encode(), *(json.dumps(told[field]).encode() for field in fields)]
    places = [8 * (len(parts) + 2)]
    for part in parts:
        places.append(places[-1] + len(part))
    return b"".join(number.to_bytes(8, "little") for number in (len(places), *places)) + b"".join(parts)


def answered(line, packed, channel="shell"):
    """Ask the kernel what it is, and wait until it says so: what was sent before has then been dealt with."""
    binary = packed is as_bytes
    line.send(packed(message("kernel_info_request"), channel), websocket.ABNF.OPCODE_BINARY if binary else 1)
    while True:
        told = line.recv()
        if "kernel_info_reply" in (told if isinstance(told, str) else told.decode("utf-8", "replace")):
            return True


def run_code(line, packed, mark):
    """Ask the kernel, in every way there is, to make a file."""
    code = f"open({str(mark)!r}, 'w').close()"
    wishes = [message("execute_request", code=code, silent=False, user_expressions={}, allow_stdin=False),
              message("execute_request", code="", silent=True, user_expressions={"x": code}),
              message("complete_request", code=code, cursor_pos=len(code)),
              message("inspect_request", code="x", cursor_pos=1), message("input_reply", value=code),
              message("debug_request", type="request", seq=1, command="evaluate", arguments={"expression": code}),
              message("comm_open", comm_id="a", target_name="execute", target_module="os", data={"code": code}),
              message("comm_msg", comm_id="a", data={"method": "custom", "content": {"code": code}})]
    for channel in ("shell", "control", "stdin"):
        for wish in wishes:
            line.send(packed(wish, channel), websocket.ABNF.OPCODE_BINARY if packed is as_bytes else 1)
    return answered(line, packed)


WAYS = pytest.mark.parametrize("packed, protocols", [(as_text, ()), (as_bytes, ("v1.kernel.websocket.jupyter.org",))],
                               ids=["text", "bytes"])


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    made = tmp_path_factory.mktemp("presented")
    b.notebook(made / "lesson.ipynb", *LESSON)
    b.notebook(made / "07_beside.ipynb", "# A lesson beside it")
    b.notebook(made / "private.ipynb", "# private")
    (made / "private.png").write_bytes(b"\x89PNG private")
    (made / "private.csv").write_text("private", encoding="utf-8")
    return made


@pytest.fixture(scope="module")
def address(folder):
    """The presenting page's address with its token."""
    with b.presenting(folder, "lesson.ipynb") as told:
        yield told


@pytest.fixture(scope="module")
def visitor(address):
    return Visitor(address)


@pytest.fixture(scope="module")
def open_server(tmp_path_factory):
    """A stock notebook server that its user opened to code: the same visitor gets through there."""
    where = tmp_path_factory.mktemp("stock")
    with b.server(where, "-m", "jupyter_server", "--no-browser", "--port=0", "--ip=127.0.0.1", "--IdentityProvider.token=",
                  "--ServerApp.password=", "--allow-root", "--ServerApp.disable_check_xsrf=True",
                  ready=r"http://127\.0\.0\.1:\d+/") as told:
        yield told


@WAYS
def test_the_presented_page_cannot_run_code(folder, visitor, packed, protocols):
    mark = folder / f"intruder {packed.__name__}"
    line = visitor.line(visitor.kernel(), protocols=protocols)
    assert (folder / "cell ran").exists() and answered(line, packed)
    assert run_code(line, packed, mark) and not mark.exists()
    line.close()


@WAYS
def test_the_same_attempt_gets_through_where_code_is_allowed(tmp_path, open_server, packed, protocols):
    """The attempt of the test above is a real one."""
    visitor = Visitor(open_server)
    asked = urllib.request.Request(open_server + "api/kernels", b'{"name": "python3"}', {"Content-Type": "application/json"})
    kernel = json.load(visitor.opener.open(asked, timeout=30))["id"]
    line, mark = visitor.line(kernel, protocols=protocols), tmp_path / "made by a visitor"
    assert answered(line, packed) and run_code(line, packed, mark) and mark.exists()
    line.close()


def test_without_its_token_the_presented_page_shows_a_login_only(address, visitor):
    base = address.partition("?")[0]
    for path in ("", "?token=wrong"):
        told = urllib.request.urlopen(base + path, timeout=30)
        page = told.read().decode("utf-8")
        assert "/login" in told.url and "kernelId" not in page and visitor.kernel() not in page
    assert b.refusal(f"{base}api/kernels/{visitor.kernel()}") == 403


def test_a_stranger_gets_no_line_to_the_kernel(visitor):
    stranger = Visitor(visitor.base)  # sees the login
    with pytest.raises(websocket.WebSocketException, match="403|/login"):
        stranger.line(visitor.kernel())


def test_another_site_in_the_same_browser_gets_no_line_to_the_kernel(visitor):
    with pytest.raises(websocket.WebSocketBadStatusException, match="403"):
        visitor.line(visitor.kernel(), origin="http://elsewhere.example")


@pytest.mark.parametrize("path", ["voila/files/private.png", "voila/files/private.csv", "voila/files/lesson.ipynb",
                                  "private.ipynb", "deeper/07_beside.ipynb", "%2e%2e/07_beside.ipynb", "08_none.ipynb",
                                  "voila/static/../../../../private.png",
                                  "voila/templates/lesson/static/%2e%2e/private.png"])
def test_the_presenting_server_hands_out_no_file_of_the_folder(visitor, path):
    assert b.refusal(visitor.base + path, visitor.opener.open) >= 400


DOORS = ["api/contents", "api/contents/private.csv", "api/terminals", "api/sessions", "api/kernels", "api/kernelspecs",
         "api/config/notebook", "api/nbconvert", "api/shutdown", "api/me", "files/private.csv", "terminals/1", "lab", "tree"]


@pytest.mark.parametrize("path", DOORS)
@pytest.mark.parametrize("method", ["GET", "POST", "PUT", "PATCH", "DELETE"])
def test_the_presenting_server_has_no_other_door(folder, visitor, path, method):
    """What a notebook server would offer: files to read and write, terminals, kernels of one's own."""
    token = next((c.value for c in visitor.cookies.cookiejar if c.name == "_xsrf"), "")
    body = json.dumps({"type": "file", "format": "text", "content": "x", "name": "python3", "path": "intruder.txt"})
    before = sorted(folder.iterdir())
    wish = urllib.request.Request(visitor.base + path, body.encode() if method in ("POST", "PUT", "PATCH") else None,
                                  {"X-XSRFToken": token, "Content-Type": "application/json"}, method=method)
    with pytest.raises(urllib.error.HTTPError) as refused:
        visitor.opener.open(wish, timeout=30)
    assert refused.value.code in (403, 404, 405) and sorted(folder.iterdir()) == before


def test_the_same_doors_are_open_where_a_user_opened_them(open_server):
    for path in ("api/contents", "api/terminals", "api/kernels", "api/kernelspecs"):
        assert urllib.request.urlopen(open_server + path, timeout=30).status == 200


def test_the_lessons_beside_it_are_presented_to_its_visitor_alone(address, visitor):
    base = address.partition("?")[0]
    assert "A lesson beside it" in visitor.opener.open(base + "07_beside.ipynb", timeout=60).read().decode("utf-8")
    stranger = urllib.request.urlopen(base + "07_beside.ipynb", timeout=30)
    assert "/login" in stranger.url and "A lesson beside it" not in stranger.read().decode("utf-8")


def test_the_servers_and_their_kernels_listen_to_this_machine_only(address, visitor, open_server):
    assert visitor.kernel()
    places = [place.laddr.ip for process in psutil.Process().children(recursive=True)
              for place in process.net_connections("inet") if place.status == psutil.CONN_LISTEN]
    assert len(places) > 5 and set(places) == {"127.0.0.1"}


def test_each_start_has_a_token_of_its_own(address, tmp_path):
    b.notebook(tmp_path / "lesson.ipynb", "print(1)")
    with b.presenting(tmp_path, "lesson.ipynb") as other:
        assert other.partition("token=")[2] != address.partition("token=")[2]
        assert len(other.partition("token=")[2]) >= 32


def test_the_browser_is_opened_without_the_token_on_a_command_line(monkeypatch, tmp_path):
    from spinlab.show import present

    opened, stage = [], present._server()()
    monkeypatch.setattr("webbrowser.open", opened.append)
    monkeypatch.setattr(present.threading, "Thread", lambda target, args, daemon: type("Now", (), {
        "start": lambda self: target(*args)})())
    stage.connection_dir = str(tmp_path)
    monkeypatch.setattr(type(stage), "display_url", "http://127.0.0.1:1/?token=secret&x=1")
    stage.launch_browser()
    assert "secret" not in opened[0] and opened[0].startswith("file://")
    assert "token=secret&amp;x=1" in (tmp_path / "open.html").read_text(encoding="utf-8")


# -- what a table says stays words ------------------------------------------------------------------------------------

EVIL = ['<script>alert(1)</script>', '"><img src=x onerror=alert(1)>', "{{ 7*7 }}", "=cmd|' /C calc'!A0", "=1+1", "@SUM(1)",
        "+1+1", "-2+3", "../../../etc/passwd", "$(touch intruder)", "; touch intruder", "$\\mathrm{x}$ $", "C:\\con",
        "\u202etxt.exe"]
MARKUP = "<b onclick=alert(1)>wet</b> $x$ {{ 7*7 }}"


@pytest.fixture(scope="module")
def evil_table(tmp_path_factory):
    """A table whose every word is hostile, its name too."""
    path = tmp_path_factory.mktemp("evil") / "$(touch intruder); &amp; {{ 7*7 }}.csv"
    with path.open("w", newline="", encoding="utf-8") as file:
        write = csv.writer(file)
        write.writerow(["player", "condition", "note", *EVIL, "spin rate [rpm]", "launch angle [°]", "dynamic loft [°]"])
        for k, word in enumerate(EVIL):
            condition = MARKUP if k % 2 else "dry"
            write.writerow([word, condition, word, *EVIL, 6000 + 37 * k + 900 * (k % 2), 28 + 0.1 * k, 44])
    return path


class Page(HTMLParser):
    """A page's words and tags, as a browser takes them."""

    def __init__(self, page):
        super().__init__()
        self.words, self.tags = [], []
        self.feed(page)

    def handle_data(self, data):
        self.words.append(data)

    def handle_starttag(self, tag, attributes):
        self.tags.append((tag, dict(attributes)))


def test_a_hostile_table_makes_a_handout_of_words_and_writes_beside_you_only(evil_table, tmp_path, monkeypatch):
    from spinlab import shell

    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv(shell.READY, "1")
    before = sorted(evil_table.parent.iterdir())
    assert shell.run(["report", str(evil_table), "--baseline", "dry", "--other", MARKUP, "--coach", EVIL[0]]) == 0
    assert sorted(evil_table.parent.iterdir()) == before
    written = list(tmp_path.iterdir())
    assert [path.suffix for path in written] == [".html"]
    page = Page(written[0].read_text(encoding="utf-8"))
    assert MARKUP in "".join(page.words) and EVIL[0] in "".join(page.words), "words are shown as they were written"
    assert not [tag for tag, _ in page.tags if tag in ("script", "iframe", "object", "b")]
    assert not [name for _, attributes in page.tags for name in attributes if name.startswith("on")]
    assert not [about for _, about in page.tags if not about.get("src", "data:").startswith("data:")]


def test_words_of_a_session_stay_words_in_a_spreadsheet(tmp_path):
    """A spreadsheet runs cells that begin with = + - @ (common practice, no source: they get an apostrophe)."""
    from spinlab.show.entry import Entry

    entry = Entry(tmp_path / "a.journal", columns=("condition", "spin_rate", "note"), conditions=("dry",))
    for word in EVIL:
        entry.add(spin_rate="6000", note=word)
    rows = list(csv.reader(io.StringIO(entry.table)))[1:]
    assert len(rows) == len(EVIL)
    for row, word in zip(rows, EVIL):
        assert row[-1].lstrip("'") == word.lstrip("'").replace("\u202e", " ").strip(), "only what turns the direction goes"
        assert not re.match(r"[=+@]|-(?!\d+(\.\d+)?$)", row[-1]), row[-1]


@pytest.mark.parametrize("name", ["../../out", "/etc/passwd", "..\\..\\x", "C:\\x", "a\0b", "x" * 500, "é" * 500, "con", "",
                                  ".", "..", "%2e%2e/x"])
def test_a_session_is_kept_in_its_folder_whatever_its_name(tmp_path, name):
    from spinlab.evidence.journal import new_path

    path = new_path(tmp_path / "sessions", name)
    assert path.parent == tmp_path / "sessions" and re.fullmatch(r"[\w ]+( \(\d+\))?\.journal|[-\w ]+\.journal", path.name)
    assert len(path.name.encode("utf-8")) <= 255
