"""Runs calls of a translated module in any browser, without a driver.

A browser opens one page of a local server; the page does its work and posts the answers back.
"""

import contextlib
import json
import os
import queue
import shutil
import signal
import subprocess
import tempfile
import threading
from functools import partial
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

import browser
import javascript as js

PAGE = """<!doctype html>
<meta charset="utf-8">
<title>Calls of the kernel</title>
<script type="module">
async function work() {
  const { answers, shortest } = await import("/calls.mjs");
  const module = await import("/module.mjs");
  const { calls, rounds } = await (await fetch("/calls.json")).json();
  return { answers: answers(module, calls), shortest: shortest(module, calls, rounds) };
}
const result = await work().catch((error) => ({ error: `${error}` }));
await fetch("/result", { method: "POST", body: JSON.stringify(result) });
</script>
"""
KINDS = {"/": "text/html", "/calls.json": "application/json"}

FIREFOX = """
user_pref("app.normandy.enabled", false);
user_pref("app.update.enabled", false);
user_pref("browser.aboutwelcome.enabled", false);
user_pref("browser.safebrowsing.downloads.remote.enabled", false);
user_pref("browser.safebrowsing.malware.enabled", false);
user_pref("browser.safebrowsing.phishing.enabled", false);
user_pref("browser.shell.checkDefaultBrowser", false);
user_pref("browser.startup.homepage_override.mstone", "ignore");
user_pref("datareporting.policy.dataSubmissionEnabled", false);
user_pref("extensions.update.enabled", false);
user_pref("media.gmp-manager.url", "");
user_pref("network.captive-portal-service.enabled", false);
user_pref("network.connectivity-service.enabled", false);
user_pref("services.settings.server", "");
user_pref("toolkit.telemetry.enabled", false);
"""


def chromium(folder):
    """The command that opens a page in Chromium; None where it is absent."""
    found = browser.chromium()
    return found and [found, "--headless", *browser.QUIET, f"--user-data-dir={folder}"]


def firefox(folder):
    """The command that opens a page in Firefox; None where it is absent."""
    found = shutil.which("firefox-esr") or shutil.which("firefox")
    (Path(folder) / "user.js").write_text(FIREFOX, encoding="utf-8")
    return found and [found, "--headless", "--no-remote", "--profile", folder]


def webkit(folder):
    """The command that opens a page in WebKit's small browser; None where it is absent."""
    found = sorted(Path("/usr/lib").glob("*/webkit2gtk-4*/MiniBrowser"))
    screen = shutil.which("xvfb-run")
    return [screen, "-a", str(found[-1]), "--private"] if found and screen else None


BROWSERS = {"Chromium": chromium, "Firefox": firefox, "WebKit": webkit}


class _Answer(BaseHTTPRequestHandler):
    """Serves the page and its files, and takes the result."""

    def __init__(self, files, results, *rest):
        self.files = files
        self.results = results
        super().__init__(*rest)

    def do_GET(self):
        body = self.files.get(self.path)
        self.send_response(404 if body is None else 200)
        self.send_header("Content-Type", KINDS.get(self.path, "text/javascript"))
        self.end_headers()
        self.wfile.write(body or b"")

    def do_POST(self):
        self.results.put(self.rfile.read(int(self.headers["Content-Length"])))
        self.send_response(204)
        self.end_headers()

    def log_message(self, *_):
        pass


@contextlib.contextmanager
def _serving(files, results):
    server = ThreadingHTTPServer(("127.0.0.1", 0), partial(_Answer, files, results))
    threading.Thread(target=server.serve_forever, daemon=True).start()
    try:
        yield f"http://127.0.0.1:{server.server_port}/"
    finally:
        server.shutdown()
        server.server_close()


@contextlib.contextmanager
def _opened(command, folder, address):
    home = {"HOME": folder, "XDG_RUNTIME_DIR": folder}
    process = subprocess.Popen([*command, address], env=os.environ | home, start_new_session=True,
                               stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    try:
        yield
    finally:
        with contextlib.suppress(ProcessLookupError):
            os.killpg(process.pid, signal.SIGTERM)
        try:
            process.wait(10)
        except subprocess.TimeoutExpired:
            os.killpg(process.pid, signal.SIGKILL)
            process.wait()


def present(name):
    """Whether a browser of `BROWSERS` is on this machine."""
    with tempfile.TemporaryDirectory() as folder:
        return BROWSERS[name](folder) is not None


def in_browser(name, text, calls, rounds=1, patience=120):
    """Results and arrays of the calls as `javascript.in_node` gives them, and the shortest time [s]
    of some rounds through all calls."""
    given = [[function, [js.sent(value) for value in values]] for function, values in calls]
    files = {"/": PAGE, "/module.mjs": text, "/calls.mjs": js.CALLS.read_text(encoding="utf-8"),
             "/calls.json": json.dumps({"calls": given, "rounds": rounds})}
    results = queue.Queue()
    with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as folder:
        encoded = {path: body.encode() for path, body in files.items()}
        command = BROWSERS[name](folder)
        with _serving(encoded, results) as address, _opened(command, folder, address):
            try:
                result = json.loads(results.get(timeout=patience))
            except queue.Empty:
                raise RuntimeError(f"{name} did not answer in {patience} s") from None
    if "error" in result:
        raise RuntimeError(f"{name}: {result['error']}")
    return js.got(result["answers"]), result["shortest"] / 1e3
