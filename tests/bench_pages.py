"""How fast a page draws on a telephone's width while a slider is dragged, with the processor slowed four times, and how big
it is.  Prints, asserts nothing.

Pages that are there already can be named by their folder: ``bench_pages.py --folder out/pages``.
"""

import argparse
import tempfile
import time
from pathlib import Path

import browser as b

from spinlab.show.pages import build

SLOWER = 4
DRAG = """async () => { const slider = document.querySelector('input[type=range]'), took = [];
    const span = slider.max - slider.min, frames = []; let last = performance.now();
    for (let k = 0; k <= 120; k += 1) {
      const begin = performance.now();
      slider.value = +slider.min + span * k / 120;
      slider.dispatchEvent(new Event('input'));
      took.push(performance.now() - begin);
      await new Promise(requestAnimationFrame);
      frames.push(performance.now() - last); last = performance.now();
    }
    took.sort((a, b) => a - b); frames.sort((a, b) => a - b);
    return [took[60], took[114], frames[60], frames[114]]; }"""
FIRST = """() => { const seen = () => {
      const there = document.querySelector('.spin-picture > svg > *');
      requestAnimationFrame(there ? () => { window.firstAt = performance.now(); } : seen); };
    seen(); }"""


def measured(chrome, path, slower):
    """Time to the first picture, answer and picture (median, 95 %), one picture after the other (median, 95 %) [ms]."""
    seen = b.Watched(chrome, width=390, height=844, device_scale_factor=3, is_mobile=True, has_touch=True, offline=True)
    seen.context.new_cdp_session(seen.page).send("Emulation.setCPUThrottlingRate", {"rate": slower})
    seen.page.add_init_script(f"({FIRST})()")
    seen.page.goto(path.as_uri())
    seen.page.locator(".spin-picture > svg > *").first.wait_for(state="attached")
    seen.page.wait_for_timeout(500)
    first = seen.page.evaluate("window.firstAt")
    found = first, *seen.page.evaluate(DRAG)
    seen.close()
    return found


def main():
    if b.why_not():
        print(b.why_not())
        return
    asked = argparse.ArgumentParser()
    asked.add_argument("names", nargs="*")
    asked.add_argument("--folder", type=Path)
    asked = asked.parse_args()
    print(f"{'':20} {'size':>8} {'made in':>8}   slowed  first picture   answer and picture   a picture every")
    with tempfile.TemporaryDirectory() as scratch, b.browser() as chrome:
        for name in asked.names or build.PAGES:
            begin, made = time.process_time(), ""
            path = asked.folder and (asked.folder / f"{name}.html").resolve()
            if not path:
                path = Path(build.write([name], scratch)[0])
                made = f"{time.process_time() - begin:.1f} s"
            for slower in (1, SLOWER):
                first, middle, most, frame, slow = measured(chrome, path, slower)
                size = path.stat().st_size / 1e6
                print(f"{name:20} {size:5.2f} MB {made:>8} {slower:6} ×  {first:9.0f} ms",
                      f"  {middle:5.1f} ms (95 %: {most:.1f})   {frame:5.1f} ms (95 %: {slow:.1f})", flush=True)


if __name__ == "__main__":
    main()
