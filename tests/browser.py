"""Helpers for tests that look at a real page: one JupyterLab, one presenting server, one headless browser.

The browser is Debian's or any Chromium that is at hand; where there is none the tests say so and skip.
"""

import json
import os
import re
import shutil
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from contextlib import contextmanager
from pathlib import Path
from urllib.parse import urlsplit

HERE = Path(__file__).parent
QUIET = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
         "--disable-component-update", "--disable-sync", "--disable-dev-shm-usage"]


def chromium():
    """Where a browser is, or None."""
    return next(filter(None, map(shutil.which, ("chromium", "chromium-browser", "google-chrome", "chrome"))), None)


def why_not():
    """Why no browser test can run here, or an empty string."""
    try:
        import playwright.sync_api  # noqa: F401
    except ImportError:
        return "playwright is not installed (pip install playwright)"
    return "" if chromium() else "no Chromium on this machine (Debian: apt install chromium)"


def notebook(path, *cells):
    """Write a notebook of code cells; a cell that starts with ``#`` and a blank is text."""
    made = []
    for k, source in enumerate(cells):
        kind = "markdown" if source.startswith("# ") else "code"
        made.append({"cell_type": kind, "id": f"cell-{k}", "metadata": {}, "source": source}
                    | ({"outputs": [], "execution_count": None} if kind == "code" else {}))
    kernel = {"name": "python3", "display_name": "Python 3", "language": "python"}
    whole = {"cells": made, "metadata": {"kernelspec": kernel}, "nbformat": 4, "nbformat_minor": 5}
    Path(path).write_text(json.dumps(whole), encoding="utf-8")
    return Path(path)


@contextmanager
def server(folder, *command, ready):
    """A server process in `folder`; yields its address once the pattern `ready` stands in its log and it answers."""
    room = Path(folder) / "settings"
    room.mkdir(exist_ok=True)
    places = {name: str(room) for name in ("JUPYTER_CONFIG_DIR", "JUPYTER_DATA_DIR", "JUPYTER_RUNTIME_DIR", "IPYTHONDIR")}
    path = os.pathsep.join([str(HERE.parent), str(HERE), os.environ.get("PYTHONPATH", "")])
    log = open(room / f"log-{time.monotonic_ns()}", "w+", encoding="utf-8")  # noqa: SIM115
    process = subprocess.Popen([sys.executable, *command], cwd=folder, env=os.environ | places | {"PYTHONPATH": path},
                               stdout=log, stderr=subprocess.STDOUT)
    try:
        yield _address(process, log, ready)
    finally:
        process.terminate()
        try:
            process.wait(10)
        except subprocess.TimeoutExpired:
            process.kill()
        log.close()


def _address(process, log, ready, patience=60):
    end = time.monotonic() + patience
    while time.monotonic() < end:
        told = Path(log.name).read_text(encoding="utf-8")
        found = re.search(ready, told)
        if found:
            address = found.group(0)
            try:
                place = urlsplit(address)  # knocked at only: to open the page would start a kernel each time
                socket.create_connection((place.hostname, place.port), timeout=2).close()
                return address
            except OSError:
                pass
        if process.poll() is not None:
            raise RuntimeError(f"the server ended at once:\n{told[-2000:]}")
        time.sleep(0.1)
    raise RuntimeError(f"the server did not answer in {patience} s:\n{Path(log.name).read_text(encoding='utf-8')[-2000:]}")


def refusal(asked, ask=urllib.request.urlopen):
    """The status with which a server refuses an address, or 0 if it does not.

    An error that a test merely looks at keeps its line open until some later test; here it is closed.
    """
    try:
        with ask(asked, timeout=30):
            return 0
    except urllib.error.HTTPError as refused:
        refused.close()
        return refused.code


def lab(folder):
    """JupyterLab in `folder`; a context that yields its address."""
    return server(folder, "-m", "jupyterlab", "--no-browser", "--port=0", "--ip=127.0.0.1", "--IdentityProvider.token=",
                  "--ServerApp.password=", "--ServerApp.root_dir=.", "--LabApp.news_url=None", "--allow-root",
                  "--ServerApp.disable_check_xsrf=True",
                  ready=r"http://127\.0\.0\.1:\d+/lab")


class Watched:
    """A page that notes every request to another machine and every error in its console."""

    def __init__(self, browser, *, width=1280, height=720, **options):
        self.context = browser.new_context(viewport={"width": width, "height": height}, **options)
        self.page = self.context.new_page()
        self.away, self.errors = [], []
        self.page.on("request", self._asked)
        self.page.on("console", lambda said: self.errors.append(said.text) if said.type == "error" else None)
        self.page.on("pageerror", lambda error: self.errors.append(str(error)))

    def _asked(self, request):
        host = request.url.split("/")[2].rsplit(":", 1)[0] if "://" in request.url else ""
        if request.url.startswith(("http", "ws")) and host not in ("127.0.0.1", "localhost", "[::1]"):
            self.away.append(request.url)

    def close(self):
        self.context.close()


@contextmanager
def browser():
    """A headless Chromium that asks nobody anything."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as play:
        opened = play.chromium.launch(executable_path=chromium(), args=QUIET)
        try:
            yield opened
        finally:
            opened.close()


def run_in_lab(page, address, path):
    """Open a notebook in JupyterLab and run all its cells."""
    page.goto(f"{address}/tree/{path}?reset" if "?" not in address else address)
    page.locator(".jp-Notebook .jp-Cell").first.wait_for(timeout=40000)
    page.get_by_text("Python 3").first.wait_for(timeout=20000)
    page.locator('[data-status="idle"]').first.wait_for(timeout=30000)
    page.get_by_role("menuitem", name="Run", exact=True).click()
    page.get_by_role("menuitem", name="Run All Cells", exact=True).click()


def presenting(folder, path, *options):
    """The presenting page of a notebook; a context that yields its address."""
    return server(folder, "-m", "spinlab.show.present", path, "--no-browser", *options,
                  ready=r"http://127\.0\.0\.1:\d+/\?token=\w+")
