"""A lesson as a clean page for the projector: no code, large text, keys to step through the prepared states.

The page is Voilà's with our own template, which fetches nothing from outside.  Page Down and Page Up (the keys of a
clicker), or the arrow keys while nothing is focused, step through the prepared states of the panel in view; the digits
choose one directly.
"""

from __future__ import annotations

import os
from pathlib import Path

from .wire import SETTING

STAGE = Path(__file__).parent / "stage"


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
            f"--Voila.{SETTING}", *([] if browser else ["--no-browser"])]


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
    from voila.app import Voila

    Voila.launch_instance(arguments)


if __name__ == "__main__":
    import argparse

    asked = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    asked.add_argument("notebook")
    asked.add_argument("--port", type=int, default=0)
    asked.add_argument("--theme", choices=["light", "dark"], default="light")
    asked.add_argument("--no-browser", action="store_false", dest="browser")
    present(**vars(asked.parse_args()))
