"""A long evening in JupyterLab, in a real browser: ``python tests/trial_page.py``.

2,000 slider moves in one panel and 500 shots typed into live entry, each only when the one before was answered.  After the
first fifth, when everything has been loaded and drawn once, and at the end: memory of the kernel and of the page's script
(garbage collected first), nodes and listeners of the page.  A move counts from the slider's event to the sentence that
answers it, a shot from Enter to "Saved".  Shots stay in the table on the page, so its nodes grow with them.
"""

import statistics
import sys
import tempfile
from pathlib import Path

sys.path[:0] = [str(Path(__file__).resolve().parent.parent), str(Path(__file__).resolve().parent)]

import browser as b  # noqa: E402
import psutil  # noqa: E402
from trial_long import asked  # noqa: E402

NOTE_KERNEL = "import os, pathlib\npathlib.Path('kernel').write_text(str(os.getpid()))\n"
PANEL = NOTE_KERNEL + ("from spinlab.panels.impact import impact_scene\nfrom spinlab.panels.widget import Panel\n"
                       "Panel(impact_scene())")
ENTRY = NOTE_KERNEL + ("from spinlab.show.entry import Entry\n"
                       "Entry('long.journal', columns=('head_speed', 'spin_rate', 'carry', 'note'))")
DRIVE = """
window.chance = (() => { let state = SEED; return () => (state = (state * 48271) % 2147483647) / 2147483647; })();
window.changed = (node, act) => new Promise((done, failed) => {
  const began = performance.now();
  const late = setTimeout(() => failed(new Error("no answer in 30 s")), 30000);
  const seen = new MutationObserver(() => { seen.disconnect(); clearTimeout(late); done(performance.now() - began); });
  seen.observe(node, { childList: true, characterData: true, subtree: true, attributes: true });
  act();
});
window.move = () => {
  const grips = document.querySelectorAll(".scene [role=slider]");
  const grip = grips[Math.floor(chance() * grips.length)];
  const [low, now, high] = ["min", "now", "max"].map((end) => Number(grip.getAttribute(`aria-value${end}`)));
  const half = now > (low + high) / 2;
  const key = new KeyboardEvent("keydown", { key: half ? "PageDown" : "PageUp", bubbles: true });
  return changed(document.querySelector(".scene .picture"), () => grip.dispatchEvent(key));
};
window.shot = () => {
  const entry = document.querySelector(".spin-entry"), boxes = entry.querySelectorAll(".spin-now input");
  const cells = [(20 + chance()).toFixed(1), Math.floor(3000 + 6000 * chance()), (30 + 10 * chance()).toFixed(1), ""];
  boxes.forEach((box, k) => { box.value = cells[k]; box.dispatchEvent(new Event("input")); });
  const enter = new KeyboardEvent("keydown", { key: "Enter", shiftKey: true, bubbles: true });
  return changed(entry.querySelector(".spin-done"), () => boxes[0].dispatchEvent(enter));
};
window.through = async (what, count) => {
  const took = [];
  for (let k = 0; k < count; k += 1) took.push(await window[what]());
  return took;
};
"""
READY = {"move": ".scene [role=slider]", "shot": ".spin-entry .spin-now input"}


class Looked:
    """Memory [MB], nodes and listeners at one moment."""

    def __init__(self, line, kernel):
        line.send("HeapProfiler.collectGarbage")
        told = {one["name"]: one["value"] for one in line.send("Performance.getMetrics")["metrics"]}
        self.heap, self.nodes, self.listeners = told["JSHeapUsedSize"] / 1e6, told["Nodes"], told["JSEventListeners"]
        self.kernel = psutil.Process(kernel).memory_info().rss / 1e6


def used(page, folder, what, count):
    """Do it `count` times: what was seen after a fifth and at the end, and how long each answer took [ms]."""
    line = page.context.new_cdp_session(page)
    line.send("Performance.enable")
    page.locator(READY[what]).first.wait_for(timeout=60000)
    page.wait_for_timeout(2000)
    took, seen = [], []
    for part in (count // 5, count - count // 5):
        while part:
            some = min(part, 50)
            took += page.evaluate("([what, some]) => through(what, some)", [what, some])
            part -= some
        page.wait_for_timeout(1000)  # the verdict, words read aloud
        seen.append(Looked(line, int((folder / "kernel").read_text())))
    return *seen, took


def tell(words, first, last, took, many=100):
    """Print the figures; by how much kernel and page grew."""
    grown = last.kernel / first.kernel - 1, last.heap / first.heap - 1
    middle = [statistics.median(some) for some in (took[:many], took[-many:])]
    print(f"{len(took)} {words}, after {len(took) // 5} and at the end: kernel {first.kernel:.1f} and {last.kernel:.1f} MB "
          f"({100 * grown[0]:+.1f} %); page {first.heap:.1f} and {last.heap:.1f} MB ({100 * grown[1]:+.1f} %), "
          f"{first.nodes} and {last.nodes} nodes, {first.listeners} and {last.listeners} listeners; an answer "
          f"took {middle[0]:.0f} ms among the first {many}, {middle[1]:.0f} ms among the last (median)", flush=True)
    return grown


def main(*, moves=2000, shots=500, seed=1) -> int:
    """Run it and print the figures; 1 if memory grew by more than 5 %, nodes were left behind, or a shot was lost."""
    if b.why_not():
        print(f"skipped: {b.why_not()}")
        return 0
    from spinlab.evidence.journal import Journal

    good = True
    with tempfile.TemporaryDirectory() as folder, b.browser() as chrome:
        folder = Path(folder)
        for what, words, count, cell in (("move", "turns of a scene", moves, PANEL), ("shot", "typed shots", shots, ENTRY)):
            with b.lab(folder) as address:
                b.notebook(folder / f"{what}.ipynb", "# A long evening", cell)
                watched = b.Watched(chrome)
                watched.page.add_init_script(DRIVE.replace("SEED", str(seed)))
                b.run_in_lab(watched.page, address, f"{what}.ipynb")
                first, last, took = used(watched.page, folder, what, count)
                grown = tell(words, first, last, took)
                good &= max(grown) <= 0.05 and not watched.errors
                good &= what == "shot" or last.nodes <= 1.05 * first.nodes and last.listeners <= 1.05 * first.listeners
                watched.close()
        kept = len(Journal.open(folder / "long.journal").shots)
        print(f"shots on the disk: {kept} of {shots}")
    return int(not good or kept != shots)


if __name__ == "__main__":
    sys.exit(main(**asked(__doc__)))
