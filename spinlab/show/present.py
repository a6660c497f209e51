"""A lesson as a clean page for the projector: no code, large text, keys to step through the prepared states.

The page is Voilà's with our own template, which fetches nothing from outside.  Page Down and Page Up (the keys of a
clicker), or the arrow keys while nothing is focused, step through the prepared states of the panel in view; the digits
choose one directly.

A lesson's links lead to the other lessons beside it, each presented the same way.

Nobody else gets in: the server listens to this machine only, behind a token made afresh at each start, hands out no file of
the folder, and passes none but the widgets' own messages to the kernel, so that a page cannot run code of its own.
"""

from __future__ import annotations

import html
import os
import threading
import webbrowser
from pathlib import Path

from . import kernels

STAGE = Path(__file__).parent / "stage"
NO_FILE = r"\b\B"
"""The pattern of the files that are handed out: none.  By itself Voilà hands out pictures without asking for a token."""
ENDED_IS_ENDED = ("KernelRestarter.restart_limit=0", "KernelRestarter.time_to_dead=1.0")
"""A kernel that died is not replaced: a new one would know nothing of the page.  The page asks for its own and says so."""
BESIDE = r"/(\d\d_\w+\.ipynb)"
"""The pattern of the addresses of the other lessons: a lesson's name in the same folder, nothing deeper or higher."""


def command(notebook, *, port: int = 0, theme: str = "light", browser: bool = True) -> list[str]:
    """The arguments Voilà is started with.

    `port` 0 lets the system choose a free one; `theme` is ``"light"`` or ``"dark"``; `browser` opens the page by itself.
    """
    notebook = Path(notebook)
    if notebook.suffix != ".ipynb" or not notebook.is_file():
        raise ValueError(f"notebook must be the path of a lesson (.ipynb), got {str(notebook)!r}; is it in this folder?")
    if theme not in ("light", "dark"):
        raise ValueError(f"theme must be light or dark, got {theme!r}")
    return [str(notebook), "--template=lesson", f"--theme={theme}", f"--port={port or free_port()}", "--Voila.ip=127.0.0.1",
            "--token", "--VoilaConfiguration.file_allowlist", NO_FILE, "--VoilaConfiguration.allow_template_override=NO",
            f"--VoilaConfiguration.multi_kernel_manager_class={kernels.CLASS}",
            *(f"--{setting}" for setting in (*kernels.SETTINGS, *ENDED_IS_ENDED)), *([] if browser else ["--no-browser"])]


def free_port() -> int:
    """A port of this machine that nobody listens on."""
    import socket

    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


def present(notebook, *, port: int = 0, theme: str = "light", browser: bool = True) -> None:
    """Show a lesson as a presentation until it is stopped with Ctrl-C."""
    arguments = command(notebook, port=port, theme=theme, browser=browser)
    # Voilà looks for templates where Jupyter keeps its data; ours is one more such place
    os.environ["JUPYTER_PATH"] = os.pathsep.join(filter(None, [str(STAGE), os.environ.get("JUPYTER_PATH")]))
    _server().launch_instance(arguments)


def _server():
    """Voilà, made when it is started: it is heavy."""
    from voila.app import Voila
    from voila.shutdown_kernel_handler import VoilaShutdownKernelHandler
    from voila.tornado.handler import TornadoVoilaHandler

    class Leaving(VoilaShutdownKernelHandler):
        def check_xsrf_cookie(self):
            """A page that is left ends its kernel, but cannot send the mark that is asked for here.  The visitor must be
            known all the same, and no other site knows a kernel's name."""

    class Stage(Voila):
        def init_handlers(self):
            """Voilà presents one notebook; the lessons it links to are presented, too."""
            *before, one = super().init_handlers()
            before = [(way, Leaving if kind is VoilaShutdownKernelHandler else kind, *more) for way, kind, *more in before]
            same = {name: value for name, value in one[2].items() if name != "notebook_path"}
            return [*before, (BESIDE, TornadoVoilaHandler, same), one]

        def launch_browser(self):
            """Open the page with its token.  The address goes through a file that no other user can read, not through a
            command line, which all can."""
            page = Path(self.connection_dir) / "open.html"
            page.write_text(f'<meta http-equiv="refresh" content="0;url={html.escape(self.display_url)}">', encoding="utf-8")
            threading.Thread(target=webbrowser.open, args=(page.as_uri(),), daemon=True).start()

    return Stage


if __name__ == "__main__":
    import argparse

    asked = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    asked.add_argument("notebook")
    asked.add_argument("--port", type=int, default=0)
    asked.add_argument("--theme", choices=["light", "dark"], default="light")
    asked.add_argument("--no-browser", action="store_false", dest="browser")
    present(**vars(asked.parse_args()))
