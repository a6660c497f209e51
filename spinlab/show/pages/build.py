"""A page put together: one file that holds everything, asks nobody anything, and may do nothing else.

The page's own Content-Security-Policy lets in exactly the style and the script that are in it (by their hashes) and pictures
within it; every request, to anywhere, is refused by the browser.
"""

from __future__ import annotations

import base64
import hashlib
import json
from pathlib import Path

from ... import __version__
from ...files import write_atomically
from ...units import unit
from ..knobs import Choice
from ..style import _DARK_HUES, _HUES, _THEMES, SIGNS, UNITS
from .catalogue import BAND, CARE, PAGES, PRACTICE, Page

_HERE = Path(__file__).parent
_ACCENTS = {"light": {"accent": _HUES["blue"], "wrong": "#A23B00"}, "dark": {"accent": _HUES["sky"], "wrong": "#FFB38A"}}
_FOOT = f"spinlab {__version__}. Its engine computed the answers ahead; this page reads them and asks nobody for anything."
_KINDS = ("speed", "distance", "height", "wind", "angle", "spin", "thickness", "size", "share")
_VIEWS = ("view_swing", "view_grooves", "view_lofts", "view_flight", "view_fixes")


def _text(name, folder=_HERE):
    return (folder / name).read_text(encoding="utf-8")


# -- colours and scripts ----------------------------------------------------------------------------------------------


def _colours(theme):
    hues = _HUES if theme == "light" else _DARK_HUES
    named = {f"--spin-{name}": colour for name, colour in (_THEMES[theme] | _ACCENTS[theme]).items()}
    named |= {f"--h-{sign}": hues[hue] for sign, (hue, _, _) in SIGNS.items()}
    return "".join(f"{name}:{colour};" for name, colour in named.items())


def style() -> str:
    """The one style of all pages: colours and signs of `spinlab.show.style`, the panel's own, the paper's."""
    light, dark = _colours("light"), _colours("dark")
    rules = [f":root{{{light}}}", f"@media (prefers-color-scheme:dark){{:root:not([data-theme=light]){{{dark}}}}}",
             f":root[data-theme=dark]{{{dark}color-scheme:dark}}", ":root[data-theme=light]{color-scheme:light}",
             f"@media print{{:root,.spin-panel{{{light.replace(';', ' !important;')}}}}}"]
    for sign, (_, dash, _) in SIGNS.items():
        gaps = "none" if dash == "-" else " ".join(f"{3 * part:g}" for part in dash[1])
        rules.append(f".s-{sign}{{stroke:var(--h-{sign});stroke-dasharray:{gaps}}}.f-{sign},.b-{sign}{{fill:var(--h-{sign})}}")
    return "\n".join([*rules, _text("panel.css", _HERE.parent), _text("page.css")])


def script(view="") -> str:
    """The one script of a page with a panel; without one only the switch of colours."""
    if not view:
        return _text("looks.js")
    panel = _text("panel.js", _HERE.parent).replace("export default { render };", "")
    views = [_text(f"{name}.js") for name in _VIEWS if name in ("view_swing", f"view_{view}")]
    return "\n".join([_text("grid.js"), _text("svg.js"), panel, *views, _text("looks.js"), _text("page.js")])


def _hash(text):
    return f"'sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}'"


# -- a page's data ----------------------------------------------------------------------------------------------------


def _value(knob, value):
    """A knob's value for the script: SI, or the number of the option."""
    if isinstance(knob, Choice):
        return list(knob.options).index(knob.check(value, "metric"))
    return knob.check(value, "metric")


def data(page: Page) -> str:
    """Everything the script needs, as JSON that is safe inside a page."""
    knobs = {knob.name: knob for knob in page.knobs}
    told = []
    for knob in page.knobs:
        one = {"name": knob.name, "label": knob.label, "value": _value(knob, knob.value)}
        if isinstance(knob, Choice):
            one |= {"kind": "choice", "options": list(knob.options)}
        else:
            one |= {"kind": "number", "low": knob.low, "high": knob.high,
                    "units": {name: knob.shown_unit(name) for name in UNITS}}
        told.append(one)
    sets = {name: {kind: getattr(units, kind) for kind in _KINDS} for name, units in UNITS.items()}
    names = {name for names in [*sets.values(), *(one.get("units", {}) for one in told)] for name in names.values()}
    setup = {"title": page.title, "states": list(page.states), "shapes": {"talk": [800, 450], "hand": [390, 470]},
             "knobs": {name: [knob.described(name) for knob in page.knobs] for name in UNITS},
             "themes": {theme: _THEMES[theme] | _ACCENTS[theme] for theme in _THEMES},
             "unit_names": {name: units.name for name, units in UNITS.items()}}
    whole = {"setup": setup, "knobs": told, "view": page.view, "unit_sets": sets, "more": page.more(),
             "scales": {name: [unit(name).scale, unit(name).offset] for name in sorted(names)},
             "states": [[name, {k: _value(knobs[k], v) for k, v in values.items()}] for name, values in page.states.items()],
             "tables": {name: table.packed() for name, table in page.tables().items()}}
    return json.dumps(whole, separators=(",", ":"), ensure_ascii=False).replace("<", "\\u003c")


def panel(page: Page, *, within=False) -> str:
    """The panel with its two sentences, in a page of its own or within a lesson."""
    heading = "h3" if within else "h2"
    return (f'<div class="text touch"><p>{page.touch}</p></div>\n<div id="panel"></div>\n'
            f'<div class="text"><{heading}>Two sentences to say</{heading}>\n<div id="say"></div>\n'
            f'<p class="quiet">{BAND}</p><{heading}>What to look for</{heading}><p>{page.look}</p></div>')


def notes(page: Page) -> str:
    """Limits, care, and what is for practice only."""
    return (f'<div class="text"><h2>Limits and sources</h2><p class="quiet">{page.limits}</p>'
            f'<h2>Care</h2><p>{CARE}</p><p><strong>For practice only.</strong> {PRACTICE}</p></div>')


def assembled(*, title, about, body, heading="", lead="", links="", view="", told="") -> str:
    """The whole file."""
    from jinja2 import Environment

    shape = Environment(trim_blocks=True, keep_trailing_newline=True).from_string(_text("page.html"))
    css, js = style(), script(view)
    return shape.render(title=title, about=about, heading=heading, lead=lead, links=links, body=body, foot=_FOOT, style=css,
                        script=js, data=told, style_hash=_hash(css), script_hash=_hash(js), frames="<iframe" in body)


def html(page: Page) -> str:
    """A page of its own."""
    return assembled(title=page.title, about=page.lead, heading=page.title, lead=page.lead, view=page.view, told=data(page),
                     body=panel(page) + "\n" + notes(page))


def write(names, folder) -> list[Path]:
    """Write pages into a folder, one self-contained file each; returns where."""
    unknown = [name for name in names if name not in PAGES]
    if unknown:
        raise ValueError(f"there is no page {unknown[0]!r}; there are {', '.join(PAGES)}")
    folder = Path(folder)
    folder.mkdir(parents=True, exist_ok=True)
    return [write_atomically(folder / f"{name}.html", html(PAGES[name]).encode(), public=True) for name in names]
