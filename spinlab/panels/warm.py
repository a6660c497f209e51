"""Compile the physics and every scene's own sums once, so that no lesson waits for a compiler:
``python -m spinlab.panels.warm``."""

from __future__ import annotations

import time

from ..kernel import compiled
from ..physics import warm
from .every import SCENES


def main() -> None:
    """Ask the physics and each scene once, and say how long it took."""
    if compiled.PLAIN or compiled.CACHE is None:
        return
    start = time.monotonic()
    warm.main()
    for make in SCENES.values():
        scene = make()
        scene.answer(scene.start)
    print(
        f"Compiled, scenes and all, in {time.monotonic() - start:.0f} s; kept for every later start."
    )


if __name__ == "__main__":
    main()
