"""How long from a key press to changed pixels: our panel against the usual way, in the same run.

    python tests/bench_panel.py [lab] [page] [presses]

Prints a table; asserts nothing on time.  The usual way is `ipywidgets.interactive_output` drawing a new figure of the same
look into an Output widget.  A press counts from the browser's own key event to the first task after the frame in which the
new picture was drawn.
"""

import os
import statistics
import sys
import tempfile
import time

import browser as b

PANEL = "import toy\ntoy.panel()"
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
window.stamps = []; window.presses = []; window.heights = new Set();
const after = () => requestAnimationFrame(() => {
  const line = new MessageChannel();
  line.port1.onmessage = () => window.stamps.push(performance.now());
  line.port2.postMessage(0);
});
const put = CanvasRenderingContext2D.prototype.putImageData;
CanvasRenderingContext2D.prototype.putImageData = function (...all) { after(); return put.apply(this, all); };
document.addEventListener("load", (event) => { if (event.target.tagName === "IMG") after(); }, true);
document.addEventListener("keydown", (event) => window.presses.push(event.timeStamp), true);
"""
BOX = {"panel": ".spin-panel", "usual": ".widget-output, .jupyter-widgets-output-area"}
TALL = "box => { const e = document.querySelector(box); return e ? Math.round(e.getBoundingClientRect().height) : 0 }"


def measure(page, way, presses):
    """Latencies [ms], pictures a second, heights seen and whether the last value is right."""
    slider = page.get_by_role("slider").nth(1 if way == "panel" else 0)
    slider.focus()
    times = []
    for k in range(presses):
        page.evaluate("() => { stamps.length = 0; presses.length = 0 }")
        page.keyboard.press("ArrowRight" if k % 60 < 30 else "ArrowLeft")
        try:
            page.wait_for_function("() => stamps.length && presses.length", timeout=4000, polling=20)
        except Exception:
            times.append(4000.0)
            continue
        times.append(page.evaluate("() => stamps[0] - presses[0]"))
        time.sleep(0.12 + 0.011 * (k % 7))  # do not fall into step with anything
    time.sleep(0.6)
    page.evaluate("""box => { heights.clear(); window.looking = true; const see = () => {
        const e = document.querySelector(box);
        if (e) heights.add(Math.round(e.getBoundingClientRect().height));
        if (window.looking) requestAnimationFrame(see); }; see(); stamps.length = 0 }""", BOX[way])
    start = time.monotonic()
    for k in range(90):
        page.keyboard.down("ArrowRight" if k < 45 else "ArrowLeft")
        time.sleep(max(0.0, start + (k + 1) / 30 - time.monotonic()))
    held = time.monotonic() - start
    count = page.evaluate("() => stamps.length")
    page.keyboard.up("ArrowRight")
    page.keyboard.up("ArrowLeft")
    time.sleep(1.5 if way == "panel" else 4)
    heights = page.evaluate("() => { window.looking = false; return [...heights] }")
    return times, count / held, heights, right(page, slider, way)


def right(page, slider, way):
    """Does the sentence belong to the angle the slider stands at?"""
    import toy

    from spinlab.show.style import METRIC

    said = slider.input_value() if way == "panel" else slider.get_attribute("aria-valuenow")
    if said is None:
        said = page.locator(".widget-readout").first.inner_text()
    wanted = METRIC.say("distance", toy.throw(speed=18.0, angle=float(said) * toy.deg).carry, 1)
    return page.get_by_text(f"carries {wanted}").count() > 0


def main(fronts, presses):
    print(f"load before: {os.getloadavg()[0]:.2f} on {os.cpu_count()} cores; {presses} presses; key held 3 s at 30 a second")
    print(f"{'front end':10} {'way':6} {'median':>7} {'p95':>7} {'worst':>7} {'pictures/s':>11} {'height [px]':>12} last")
    with tempfile.TemporaryDirectory() as folder, b.browser() as opened:
        files = {way: b.notebook(f"{folder}/{way}.ipynb", f"# {way}", source)
                 for way, source in (("panel", PANEL), ("usual", USUAL))}
        for front in fronts:
            medians = {}
            for way, path in files.items():
                place = b.lab(folder) if front == "lab" else b.presenting(folder, path.name)
                with place as address:
                    seen = b.Watched(opened)
                    seen.page.add_init_script(WATCH)
                    if front == "lab":
                        b.run_in_lab(seen.page, address, path.name)
                    else:
                        seen.page.goto(address)
                    seen.page.get_by_role("slider").first.wait_for(timeout=40000)
                    time.sleep(3)
                    times, rate, heights, final = measure(seen.page, way, presses)
                    medians[way] = statistics.median(times)
                    p95 = statistics.quantiles(times, n=20)[-1]
                    tall = f"{min(heights)}…{max(heights)}" if heights else "?"
                    print(f"{front:10} {way:6} {medians[way]:7.0f} {p95:7.0f} {max(times):7.0f} {rate:11.1f} {tall:>12} "
                          f"{'right' if final else 'WRONG'}", flush=True)
                    seen.close()
            print(f"{front:10} the panel is {medians['usual'] / medians['panel']:.1f} times as quick")
    print(f"load after: {os.getloadavg()[0]:.2f}")


if __name__ == "__main__":
    asked = sys.argv[1:]
    main([a for a in asked if a in ("lab", "page")] or ["lab", "page"], next((int(a) for a in asked if a.isdigit()), 60))
