"""How long from a key press to changed pixels in a scene, from the event to the frame.

    python tests/bench_scene.py [lab] [presenting] [page] [presses]

Prints a table; asserts nothing on time.  A press counts from the browser's own key event to the
first task after the frame in which the picture changed.  "band" is from the last press to the
settled band, with the 120 ms in which the hand comes to rest; "motion" are pictures a second in
slow motion, and with the processor slowed four times.
"""

import os
import re
import statistics
import sys
import tempfile
import time
from contextlib import contextmanager
from pathlib import Path

import browser as b

from spinlab.panels import page as pages
from spinlab.panels.impact import impact_scene

SOURCE = """
from spinlab.panels.impact import impact_scene
from spinlab.panels.widget import Panel
panel = Panel(impact_scene())
panel
"""
WATCH = """() => {
  window.times = [];
  const picture = document.querySelector(".scene .picture");
  let pressed = null;
  document.addEventListener("keydown", (event) => { pressed = event.timeStamp; }, true);
  new MutationObserver(() => {
    if (pressed === null) return;
    const from = pressed;
    pressed = null;
    requestAnimationFrame(() => {
      const line = new MessageChannel();
      line.port1.onmessage = () => window.times.push(performance.now() - from);
      line.port2.postMessage(0);
    });
  }).observe(picture, { subtree: true, attributes: true, childList: true, characterData: true });
}"""
MOTION = """() => new Promise((done) => {
  document.querySelector(".scene .play").click();
  const begin = performance.now();
  let count = 0;
  const look = () => {
    count += 1;
    if (performance.now() - begin < 5000) requestAnimationFrame(look);
    else { document.querySelector(".scene .play").click(); done(count / 5); }
  };
  requestAnimationFrame(look);
})"""
SETTLED = "() => document.querySelector('.scene') && !document.querySelector('.settling')"


@contextmanager
def shown(home, folder, chrome):
    seen = b.Watched(chrome, width=1280, height=800)
    if home == "page":
        path = pages.write(impact_scene(), Path(folder) / "impact.html")
        seen.page.goto(path.as_uri())
        yield seen
    else:
        path = b.notebook(f"{folder}/bench.ipynb", SOURCE)
        with b.lab(folder) if home == "lab" else b.presenting(folder, path.name) as address:
            if home == "lab":
                b.run_in_lab(seen.page, address, path.name)
            else:
                seen.page.goto(address, timeout=120000)
            yield seen
    seen.close()


def measure(home, seen, presses):
    page = seen.page
    page.locator(".scene .says").first.wait_for(timeout=120000)
    page.wait_for_function(SETTLED, timeout=60000)
    time.sleep(2)
    page.evaluate(WATCH)
    page.get_by_role("slider", name=re.compile("Water: pull")).focus()
    for k in range(presses):
        page.keyboard.press("ArrowDown" if k % 40 < 20 else "ArrowUp")
        time.sleep(0.05 + 0.011 * (k % 7))
    times = page.evaluate("times")
    page.keyboard.press("ArrowDown")
    begin = time.monotonic()
    page.wait_for_function(SETTLED, timeout=60000, polling=10)
    band = (time.monotonic() - begin) * 1000
    full = page.evaluate(MOTION)
    slow = seen.context.new_cdp_session(page)
    slow.send("Emulation.setCPUThrottlingRate", {"rate": 4})
    slowed = page.evaluate(MOTION)
    p95 = statistics.quantiles(times, n=20)[-1]
    print(
        f"{home:11} {statistics.median(times):6.0f} {p95:6.0f} {max(times):6.0f} {band:6.0f} "
        f"{full:7.0f} {slowed:7.0f}",
        flush=True,
    )


def main(homes, presses):
    print(f"load before: {os.getloadavg()[0]:.2f} on {os.cpu_count()} cores; {presses} presses")
    print(f"{'home':11} median    p95  worst   band  motion  slowed")
    with b.browser() as chrome:
        for home in homes:
            with (
                tempfile.TemporaryDirectory() as folder,
                shown(home, folder, chrome) as seen,
            ):
                measure(home, seen, presses)
    print(f"load after: {os.getloadavg()[0]:.2f}")


if __name__ == "__main__":
    asked = sys.argv[1:]
    homes = [one for one in asked if one in ("lab", "presenting", "page")]
    presses = next((int(one) for one in asked if one.isdigit()), 100)
    main(homes or ["lab", "presenting", "page"], presses)
