"""Every panel of the lessons in a real browser, knob by knob, against the same panel turned in Python.

One page holds them all.  After each turn by key, mouse, button or box the words, the alternative text and, block by block,
the picture must be those of a second panel that never saw a browser.
"""

import time

import browser as b
import numpy as np
import pytest

from spinlab.show import panels
from spinlab.show.knobs import Choice, Knob
from spinlab.show.panel import Panel

pytestmark = pytest.mark.skipif(bool(b.why_not()), reason=b.why_not() or "a browser is here")

ALL = """from IPython.display import display
from spinlab.show import panels
for make in panels.EVERY:
    display(make())"""
SOME = """from IPython.display import display
from spinlab.show import panels
for make in (panels.first_look, panels.dry_and_wet, panels.low_or_high):
    display(make())"""
SHOWS = """async ([root, words]) => {
    const canvas = root.querySelector('canvas'), sentence = root.querySelector('.spin-sentence'), begin = performance.now();
    while (sentence.textContent !== words || canvas.getAttribute('aria-label') !== words)
        if (performance.now() - begin > 10000) return [];
        else await new Promise(resolve => setTimeout(resolve, 40));
    const { width, height } = canvas, all = canvas.getContext('2d').getImageData(0, 0, width, height).data;
    const sums = new Array(384).fill(0);
    for (let y = 0, k = 0; y < height; y += 1) for (let x = 0; x < width; x += 1, k += 4)
        sums[24 * Math.floor(16 * y / height) + Math.floor(24 * x / width)] += all[k] + all[k + 1] + all[k + 2];
    return sums; }"""


def blocks(pixels):
    """Sums of the three colours in 16 rows of 24 blocks, and how many numbers a block has."""
    high, wide = pixels.shape[:2]
    row, column = np.arange(high) * 16 // high, np.arange(wide) * 24 // wide
    place = (24 * row[:, None] + column).ravel()
    return np.bincount(place, pixels[..., :3].sum(axis=2).ravel(), 384), 3 * np.bincount(place, minlength=384)


class Shown:
    """One panel on the page and its twin in Python."""

    def __init__(self, page, make):
        self.page, self.twin = page, make()
        named = page.get_by_role("region", name=self.twin.title, exact=True)
        named.evaluate("(panel, title) => { panel.dataset.shown = title }", self.twin.title)
        # once found by its name: to look for it each time would work out the names of everything on the page
        self.root = page.locator(f'[data-shown="{self.twin.title}"]')
        self.root.scroll_into_view_if_needed()
        self.canvas = self.root.locator("canvas")
        page.wait_for_function("canvas => canvas.width > 8", arg=self.canvas.element_handle(), timeout=30000)
        self.greet()

    def greet(self, theme="light"):
        """The twin learns how wide the picture is and in which look."""
        wide = self.canvas.evaluate("canvas => canvas.width")
        self.twin._met({"narrow": False, "theme": theme, "width": wide})

    def check(self):
        """Words, alternative text and picture become the twin's; the same words may stand under two pictures, so it waits.

        A text that moves keeps its pixels and may stand one of them off, by where it came from: 8 in 255 of a block.
        """
        wanted, count = blocks(self.twin._picture.pixels)
        end = time.monotonic() + 10
        while True:
            shown = np.array(self.page.evaluate(SHOWS, [self.root.element_handle(), self.twin.sentence]))
            said = self.root.locator(".spin-sentence").inner_text()
            assert len(shown), f"{self.twin.values}\nwanted: {self.twin.sentence}\nshown:  {said}"
            away = np.abs((shown - wanted) / count).max()
            if away < 8 or time.monotonic() > end:
                break
            self.page.wait_for_timeout(40)
        assert away < 8, f"another picture at {self.twin.values}"
        assert self.root.get_by_role("alert").inner_text() == ""

    def turned(self, name, wanted=None):
        """The twin follows the slider on the page, which must stand where it is wanted."""
        at = self.slider(name).evaluate("slider => slider.valueAsNumber")
        assert wanted is None or at == pytest.approx(wanted, abs=1e-9)
        self.twin.set(**{name: self.twin.knobs[name].read(at, self.twin.units)})
        self.check()
        return at

    def slider(self, name):
        return self.root.locator(f"input[id$='-{name}-slider']")

    def described(self, name):
        return self.twin.knobs[name].described(self.twin.units)

    def reset(self):
        self.root.get_by_role("button", name="Reset").click()
        self.twin.reset()
        self.check()


@pytest.fixture(scope="module")
def page(chrome, tmp_path_factory):
    """All panels on one presenting page; at the end nothing has left the machine and no error stands in the console."""
    folder = tmp_path_factory.mktemp("all")
    b.notebook(folder / "all.ipynb", ALL)
    with b.presenting(folder, "all.ipynb") as address:
        seen = b.Watched(chrome, width=900, height=700)  # small pictures: all of them are looked at
        try:
            seen.page.goto(address, timeout=120000)
            seen.page.locator(".spin-panel").nth(len(panels.EVERY) - 1).wait_for(timeout=90000)
            yield seen.page
            assert seen.away == []
            assert seen.errors == []
        finally:
            seen.close()


@pytest.fixture(scope="module", params=panels.EVERY, ids=[make.__name__ for make in panels.EVERY])
def shown(request, page):
    return Shown(page, request.param)


def drag(shown, name, share):
    """Take the slider's ball where it lies and lead it to a share of the way."""
    slider = shown.slider(name)
    slider.scroll_into_view_if_needed()
    box = slider.bounding_box()
    told, now = shown.described(name), slider.evaluate("slider => slider.valueAsNumber")
    ball = 1.6 * slider.evaluate("slider => parseFloat(getComputedStyle(slider).fontSize)")
    x = box["x"] + 0.5 * ball + (now - told["min"]) / (told["max"] - told["min"]) * (box["width"] - ball)
    y = box["y"] + box["height"] / 2
    shown.page.mouse.move(x, y)
    shown.page.mouse.down()
    shown.page.mouse.move(box["x"] - 9 + share * (box["width"] + 18), y, steps=5)
    shown.page.mouse.up()


def knobs_of(shown):
    return [name for name, knob in shown.twin.knobs.items() if isinstance(knob, Knob)]


def through_its_range(shown, name):
    """By key to the upper end, by mouse to the lower end and the middle, by keys in one go to the start, a leap and back."""
    told, slider = shown.described(name), shown.slider(name)
    slider.focus()
    shown.page.keyboard.press("End")
    shown.turned(name, told["max"])
    drag(shown, name, 0.0)
    shown.turned(name, told["min"])
    drag(shown, name, 0.5)
    middle = shown.turned(name)
    assert abs(middle - 0.5 * (told["min"] + told["max"])) <= 0.02 * (told["max"] - told["min"]) + told["step"]
    for key in ("Home", "PageUp", "ArrowLeft"):
        shown.page.keyboard.press(key)
    assert told["min"] <= shown.turned(name) < middle


def test_every_knob_goes_through_its_range_by_key_and_by_mouse(shown):
    for name in knobs_of(shown):
        through_its_range(shown, name)


def test_every_choice_and_every_prepared_state(shown):
    shown.reset()
    for name, knob in shown.twin.knobs.items():
        for option in knob.options if isinstance(knob, Choice) else ():
            shown.root.locator(f"select[id$='-{name}-choice']").select_option(option)
            shown.twin.set(**{name: option})
            shown.check()
    for state in shown.twin.states:
        shown.root.locator(".spin-states").get_by_role("button", name=state, exact=True).click()
        shown.twin.go(state)
        shown.root.get_by_role("button", name=state, exact=True, pressed=True).wait_for()
        shown.check()


def test_an_exact_value_keeping_a_curve_and_back_to_the_start(shown):
    shown.reset()
    shown.root.get_by_role("button", name="Keep this curve").click()
    shown.twin.keep()
    shown.root.get_by_text("Kept: 1", exact=True).wait_for()
    for name in knobs_of(shown)[:1]:
        told = shown.described(name)
        exact = round(told["min"] + 0.3137 * (told["max"] - told["min"]), 3)
        box = shown.root.locator(f".spin-knob:has(input[id$='-{name}-slider']) input[type=number]")
        box.fill(str(exact))
        box.press("Enter")
        shown.twin.set(**{name: shown.twin.knobs[name].read(exact, shown.twin.units)})
        shown.check()
        box.fill("1e9")
        box.press("Enter")
        shown.root.get_by_role("alert").get_by_text("must").wait_for()
    shown.reset()
    shown.root.get_by_text("Kept: 0", exact=True).wait_for()


def test_units_turn_every_panel_at_once(page):
    every = [Shown(page, make) for make in panels.EVERY]
    for units in ("yards", "metric"):
        every[0].root.get_by_label("Units").select_option(units)
        Panel.units.fset(every[0].twin, units)
        for shown in every:
            shown.check()
            assert shown.root.get_by_label("Units").input_value() == units


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_axe_finds_nothing_in_any_panel(page, theme):
    """axe-core with its WCAG 2.0 … 2.2 A and AA rules and its best practices."""
    axe = pytest.importorskip("axe_playwright_python.sync_playwright", reason="axe-playwright-python is not installed")
    page.evaluate("theme => document.body.dataset.jpThemeLight = String(theme === 'light')", theme)
    page.wait_for_function("""theme => [...document.querySelectorAll('.spin-panel')]
        .every(panel => panel.style.colorScheme === theme)""", arg=theme, timeout=30000)
    found = axe.Axe().run(page, context=".spin-panel").response
    assert len(found["passes"]) > 12
    assert [(v["id"], [node["html"][:120] for node in v["nodes"]]) for v in found["violations"]] == []


def test_some_panels_in_jupyterlab(chrome, tmp_path):
    b.notebook(tmp_path / "some.ipynb", SOME)
    with b.lab(tmp_path) as address:
        seen = b.Watched(chrome)
        try:
            b.run_in_lab(seen.page, address, "some.ipynb")
            seen.page.locator(".spin-panel").nth(2).wait_for(timeout=60000)
            for make in (panels.first_look, panels.dry_and_wet, panels.low_or_high):
                shown = Shown(seen.page, make)
                shown.reset()
                through_its_range(shown, knobs_of(shown)[0])
            assert seen.away == []
            assert seen.errors == []
        finally:
            seen.close()
