"""How long from a key press to changed pixels: our panels against the usual way, in the same run.

    python tests/bench_panel.py [lab] [page] [presses] [usual] [toy] [name of a panel …]

Prints a table; asserts nothing on time.  The usual way is `ipywidgets.interactive_output` drawing a new figure of the toy's
look into an Output widget.  Panels stand on the page with those of the same lesson and are turned by their slowest knob.  A
press counts from the browser's own key event to the first task after the frame in which the new picture was drawn; "still"
are presses that changed no pixel within two seconds.  A key is held three seconds at thirty a second; an answer that leaves
every pixel as it was, because no number changed as far as it is told, is an answer and no picture.  A frame
is blank if all of its picture is of one colour; the height is the panel's while the key was held; the last value is right if
words and alternative text are those of the same panel turned in Python.
"""

import os
import statistics
import sys
import tempfile
import time
from itertools import groupby

import browser as b
import toy
from playwright.sync_api import TimeoutError as Timeout

from spinlab.show import panels
from spinlab.show.knobs import Knob

MADE = {"toy": toy.panel} | {make.__name__: make for make in panels.EVERY}
SOURCE = "import toy\nfrom IPython.display import display\nfrom spinlab.show import panels\n"
USUAL = """
import io, toy, ipywidgets
from IPython.display import Image, display
from spinlab.show.style import look, METRIC
angle = ipywidgets.IntSlider(30, 0, 90)
says = ipywidgets.HTML()
def show(angle):
    figure, draw = toy.build(look("talk"))
    result = toy.throw(speed=18.0, angle=angle * toy.deg)
    sentence = draw(result, METRIC)
    for artist in figure.findobj(lambda a: a.get_animated()):
        artist.set_animated(False)
    out = io.BytesIO()
    figure.savefig(out, format="png", bbox_inches="tight", dpi=75)
    display(Image(out.getvalue()))
    says.value = sentence
ipywidgets.VBox([angle, ipywidgets.interactive_output(show, {"angle": angle}), says])
"""

WATCH = """
window.stamps = []; window.presses = []; window.answers = 0;
const after = () => requestAnimationFrame(() => {
  const line = new MessageChannel();
  line.port1.onmessage = () => window.stamps.push(performance.now());
  line.port2.postMessage(0);
});
const put = CanvasRenderingContext2D.prototype.putImageData;
CanvasRenderingContext2D.prototype.putImageData = function (...all) { after(); return put.apply(this, all); };
const told = Element.prototype.setAttribute;
Element.prototype.setAttribute = function (name, ...all) {
  if (name === "aria-label" && this.tagName === "CANVAS") window.answers += 1;
  return told.call(this, name, ...all);
};
document.addEventListener("load", (event) => { if (event.target.tagName === "IMG") after(); }, true);
document.addEventListener("keydown", (event) => window.presses.push(event.timeStamp), true);
"""
LOOK = """root => {
  const canvas = root.querySelector('canvas'), small = new OffscreenCanvas(24, 16);
  const pen = small.getContext('2d', { willReadFrequently: true });
  window.seen = { heights: new Set(), frames: 0, blank: 0 }; window.looking = true; stamps.length = 0; window.answers = 0;
  const see = () => {
    seen.heights.add(Math.round(root.getBoundingClientRect().height)); seen.frames += 1;
    if (canvas) {
      pen.drawImage(canvas, 0, 0, 24, 16);
      const data = pen.getImageData(0, 0, 24, 16).data;
      if (data.every((v, k) => v === data[k % 4])) seen.blank += 1;
    }
    if (window.looking) requestAnimationFrame(see);
  };
  see();
}"""


def slowest(panel):
    """The number whose steps cost the kernel most, as a slider that moves asks for them."""
    cost = {}
    for name, knob in panel.knobs.items():
        if isinstance(knob, Knob):
            panel.reset()
            begin = time.process_time()
            for k in range(1, 5):
                value = knob.value - k * knob.step if knob.value + k * knob.step > knob.high else knob.value + k * knob.step
                panel._set(panel._values | {name: max(value, knob.low)}, compute=panel.quick)
            cost[name] = time.process_time() - begin
    panel.reset()
    return max(cost, key=cost.get)


class Walk:
    """Arrow keys that go up and down a slider of so many steps and always move it."""

    def __init__(self, at, steps):
        self.at, self.steps, self.up = at, steps, True

    def __call__(self):
        if self.at >= self.steps or self.at <= 0:
            self.up = self.at <= 0
        self.at += 1 if self.up else -1
        return "ArrowRight" if self.up else "ArrowLeft"


def pressed(page, walk, presses):
    """Milliseconds from each press to changed pixels, and how many presses changed none in two seconds."""
    times, still = [], 0
    for k in range(presses):
        page.evaluate("() => { stamps.length = 0; presses.length = 0 }")
        page.keyboard.press(walk())
        try:
            page.wait_for_function("() => stamps.length && presses.length", timeout=2000, polling=20)
        except Timeout:
            still += 1
            continue
        times.append(page.evaluate("() => stamps[0] - presses[0]"))
        time.sleep(0.2 + 0.011 * (k % 7))  # do not fall into step with anything
    return times, still


def held(page, root, walk):
    """Pictures and answers a second while a key is held, and what was seen: heights, frames, blank ones."""
    time.sleep(0.6)
    page.evaluate(LOOK, root.element_handle())
    start = time.monotonic()
    for k in range(90):
        page.keyboard.down(walk())
        time.sleep(max(0.0, start + (k + 1) / 30 - time.monotonic()))
    counts, lasted = page.evaluate("() => [stamps.length, answers]"), time.monotonic() - start
    page.keyboard.up("ArrowRight")
    page.keyboard.up("ArrowLeft")
    seen = page.evaluate("() => { window.looking = false; return { ...seen, heights: [...seen.heights] } }")
    return [count / lasted for count in counts], seen


def walking(slider):
    """Where a slider stands and how many steps it has."""
    told = slider.evaluate("s => [s.valueAsNumber ?? NaN, +s.min, +s.max, +s.step]")
    return Walk(*(round((x - told[1]) / told[3]) for x in (told[0], told[2])))


def measure_panel(page, front, name, presses):
    """One panel by its slowest knob; returns the median."""
    twin = MADE[name]()
    knob = slowest(twin)
    root = page.get_by_role("region", name=twin.title, exact=True)
    root.scroll_into_view_if_needed()
    page.wait_for_function("root => root.querySelector('canvas').width > 8", arg=root.element_handle(), timeout=30000)
    slider = root.locator(f"input[id$='-{knob}-slider']")
    slider.focus()
    time.sleep(0.5)
    walk = walking(slider)
    times, still = pressed(page, walk, presses)
    rate, seen = held(page, root, walk)
    time.sleep(1.5)
    twin.set(**{knob: twin.knobs[knob].read(slider.evaluate("s => s.valueAsNumber"), "metric")})
    told = root.locator(".spin-sentence").inner_text(), root.locator("canvas").get_attribute("aria-label")
    return told_row(front, f"{name}: {knob}", times, still, rate, seen, told == (twin.sentence, twin.sentence))


def measure_usual(page, presses):
    """The toy drawn the usual way."""
    from spinlab.show.style import METRIC

    slider = page.get_by_role("slider").first
    slider.focus()
    walk = Walk(30, 90)
    times, still = pressed(page, walk, presses)
    rate, seen = held(page, page.locator(".widget-output, .jupyter-widgets-output-area").first, walk)
    time.sleep(4)
    said = slider.get_attribute("aria-valuenow") or page.locator(".widget-readout").first.inner_text()
    wanted = METRIC.say("distance", toy.throw(speed=18.0, angle=float(said) * toy.deg).carry, 1)
    return times, still, rate, seen, page.get_by_text(f"carries {wanted}").count() > 0


def told_row(front, what, times, still, rate, seen, right):
    """Print a row; returns the median."""
    middle, p95, tall = statistics.median(times), statistics.quantiles(times, n=20)[-1], seen["heights"]
    print(f"{front:5} {what:28} {middle:6.0f} {p95:6.0f} {max(times):6.0f} {still:5} {rate[0]:10.1f} {rate[1]:9.1f} "
          f"{seen['blank']:4} of {seen['frames']:3} {min(tall):5}…{max(tall):<5} {'right' if right else 'WRONG'}",
          flush=True)
    return middle


def opened(chrome, front, folder, source):
    """A page that shows what `source` makes."""
    path = b.notebook(f"{folder}/bench.ipynb", "# Bench", source)
    with b.lab(folder) if front == "lab" else b.presenting(folder, path.name) as address:
        seen = b.Watched(chrome)
        seen.page.add_init_script(WATCH)
        if front == "lab":
            b.run_in_lab(seen.page, address, path.name)
        else:
            seen.page.goto(address, timeout=120000)
        yield seen.page
        seen.close()


def main(fronts, presses, names):
    load = os.getloadavg()[0]
    print(f"load before: {load:.2f} on {os.cpu_count()} cores; {presses} presses; key held 3 s at 30 a second")
    print(f"{'front':5} {'panel: knob':28} {'median':>6} {'p95':>6} {'worst':>6} {'still':>5} {'pictures/s':>10} "
          f"{'answers/s':>9} {'blank':>11} {'height [px]':>11} last")
    with tempfile.TemporaryDirectory() as folder, b.browser() as chrome:
        for front in fronts:
            usual = 0.0
            if "usual" in names:
                for page in opened(chrome, front, folder, USUAL):
                    page.locator(".jupyter-widgets img, .jp-OutputArea img").first.wait_for(timeout=60000)
                    time.sleep(3)
                    usual = told_row(front, "the usual way: angle", *measure_usual(page, min(presses, 20)))
            for _, lesson in groupby((name for name in names if name in MADE), key=lambda name: MADE[name].__module__):
                shown = list(lesson)
                source = SOURCE + "".join(f"display({'toy.panel' if n == 'toy' else f'panels.{n}'}())\n" for n in shown)
                for page in opened(chrome, front, folder, source):
                    page.locator(".spin-panel").nth(len(shown) - 1).wait_for(timeout=120000)
                    time.sleep(3)
                    for name in shown:
                        middle = measure_panel(page, front, name, presses)
                        if name == "toy" and usual:
                            print(f"{front:5} the toy is {usual / middle:.1f} times as quick as the usual way")
    print(f"load after: {os.getloadavg()[0]:.2f}")


if __name__ == "__main__":
    asked = sys.argv[1:]
    main([a for a in asked if a in ("lab", "page")] or ["lab", "page"], next((int(a) for a in asked if a.isdigit()), 30),
         [a for a in asked if a == "usual" or a in MADE] or ["usual", *MADE])
