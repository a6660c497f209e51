"""A table of shots from a shell: read, screened, compared, told in words and written on a page; and its green."""

from __future__ import annotations

import threading

PARTS = 6  # read, screen, compare, model, draw, write


def make_and_write(asked, out):
    """The report's words and the path of its handout; `asked` holds the options of the shell's ``report``."""
    from tqdm import tqdm

    from .evidence import report as reports

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
                                rule=_rule(asked), units=asked.units, progress=step)
            return made.text(), _handout(made, asked, out, step)
        finally:
            late.cancel()


def green_in_words(asked):
    """What was read, and what its run-outs tell of the green; `asked` holds the options of the shell's ``green``."""
    from .evidence import table
    from .evidence.owngreen import own_green
    from .evidence.protocol import Protocol
    from .units import deg, ft

    read = table.read(asked.table)
    speed, slope = (None if value is None else value * one for value, one in ((asked.green_speed, ft), (asked.slope, deg)))
    protocol = read.protocol or Protocol()
    rule = _rule(asked) or protocol.rule.within(read.frame.columns)
    found = own_green(read, rule=rule, speed=speed, slope=slope)
    return f"{read.report()}\n\n{found.text(asked.units or protocol.units)}"


def _rule(asked):
    """The rule for mis-hits that was asked for; None where none was, and that of the session or no rule holds."""
    from .evidence import screen
    from .units import deg

    if not asked.dynamic_loft:
        return None
    return screen.written(dynamic_loft=tuple(value * deg for value in asked.dynamic_loft))


def _handout(made, asked, out, step):
    """Draw and write the page."""
    from datetime import date

    from .show import pack, sheets

    step("drawing")
    sheet = pack.demonstration_sheet(made)
    step("writing the handout")
    return sheets.write(out, sheet, paper=asked.paper, coach=asked.coach, date=date.today().isoformat(), logo=asked.logo,
                        link=asked.link)
