"""What the browser tests of scenes share: waiting until a scene rests, pulling with the mouse, and
random places of all controls."""

import numpy as np

from spinlab.panels.scene import Choice

SETTLED = (
    "() => document.querySelector('.scene .says')?.textContent && "
    "!document.querySelector('.settling')"
)


def value(page, name):
    return page.evaluate(f"scene.values[{name!r}]")


def middle(locator):
    box = locator.bounding_box()
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


def drag(page, start, end, steps=8):
    page.mouse.move(*start)
    page.mouse.down()
    page.mouse.move(*end, steps=steps)
    page.mouse.up()


def places(scene, count, seed):
    """Random places of all controls; seeded, so the same in every run."""
    rng = np.random.default_rng(seed)
    rows = []
    for _ in range(count):
        row = {}
        for control in scene.controls:
            if isinstance(control, Choice):
                row[control.name] = str(rng.choice(list(control.options)))
            else:
                row[control.name] = float(rng.uniform(control.low, control.high))
        rows.append(row)
    return rows
