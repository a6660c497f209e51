"""How fast a page draws on a telephone's width while a slider is dragged, and how big it is.  Prints, asserts nothing."""

import sys
import tempfile
import time
from pathlib import Path

import browser as b

from spinlab.show.pages import build

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
    return [took[60], took[114], frames[60]]; }"""


def main():
    if b.why_not():
        print(b.why_not())
        return
    with tempfile.TemporaryDirectory() as folder, b.browser() as chrome:
        for name in sys.argv[1:] or build.PAGES:
            begin = time.perf_counter()
            path, = build.write([name], folder)
            made = time.perf_counter() - begin
            seen = b.Watched(chrome, width=390, height=844, device_scale_factor=3, is_mobile=True, has_touch=True)
            seen.page.goto(Path(path).as_uri())
            seen.page.locator(".spin-picture > svg > *").first.wait_for()
            middle, most, frame = seen.page.evaluate(DRAG)
            print(f"{name:20} made in {made:4.1f} s, {path.stat().st_size / 1e6:.2f} MB; answer and picture {middle:.1f} ms "
                  f"(95 %: {most:.1f}), a picture every {frame:.1f} ms")
            seen.close()


if __name__ == "__main__":
    main()
