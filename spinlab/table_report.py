"""A table of shots from a shell: read, screened, compared, told in words and written on a page."""

from __future__ import annotations

import threading

PARTS = 6  # read, screen, compare, model, draw, write


def make_and_write(asked, out):
    """The report's words and the path of its handout; `asked` holds the options of the shell's ``report``."""
    from tqdm import tqdm

    from .evidence import report as reports
    from .evidence import screen
    from .units import deg

    bands = {"dynamic_loft": tuple(value * deg for value in asked.dynamic_loft)} if asked.dynamic_loft else {}
    look = "{desc} {bar} {n_fmt}/{total_fmt}"
    with tqdm(total=PARTS, delay=1, bar_format=look, leave=False, disable=None) as bar:  # None: only in a terminal
        late = threading.Timer(1, bar.refresh)  # a bar only for what takes more than a second
        late.daemon = True
        late.start()

        def step(words):
            bar.set_description_str(words, refresh=False)
            bar.update()

        try:
            made = reports.make(asked.table, by=asked.by, baseline=asked.baseline, other=asked.other,
                                rule=screen.written(**bands), progress=step)
            return made.text(asked.units), _handout(made, asked, out, step)
        finally:
            late.cancel()


def _handout(made, asked, out, step):
    """Draw and write the page."""
    from datetime import date

    from .show import pack, sheets

    step("drawing")
    sheet = pack.demonstration_sheet(made, units=asked.units)
    step("writing the handout")
    return sheets.write(out, sheet, paper=asked.paper, coach=asked.coach, date=date.today().isoformat(), logo=asked.logo,
                        link=asked.link)
