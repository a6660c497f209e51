"""What the desks share: a picture that suits the page it stands on, and how their words and widgets are set.

A desk is made of stock widgets and of HTML.  The kernel does not know whether the page is light or dark, wide or a
telephone, so a plate carries all four pictures and the page shows the one that fits.
"""

from __future__ import annotations

import html as _html
import io
from functools import lru_cache

from .pack import data_uri
from .picture import Picture
from .style import UNITS, look

_SHARP = {"page": 1200, "hand": 780}
"""Pixels across: sharp on a projector and on a telephone."""

STYLE = """<style>
.spin-dark, [data-jp-theme-light="false"] .spin-light { display: none; }
[data-jp-theme-light="false"] .spin-dark { display: inline; }
.spin-desk .widget-html-content { line-height: 1.4; }
.spin-desk .widget-html-content :is(p, ul, summary) { margin: 0.4em 0; }
.spin-desk .widget-html-content p.spin-brief { font-size: 1.6em; font-weight: 700; line-height: 1.25; margin: 0.3em 0; }
.spin-desk summary { cursor: pointer; font-weight: 600; padding: 0.2em 0; }
.spin-desk img { height: auto; }
.spin-desk :is(th, td) { padding: 0.1em 0.6em; text-align: center; }
.spin-desk th:first-child { text-align: left; padding-left: 0; }
.spin-desk :is(select, input, textarea, button, summary):focus-visible {
  outline: 0.2em solid var(--link, var(--jp-brand-color1)) !important; outline-offset: 0.1em;
}
.spin-desk .widget-checkbox .widget-label-basic { white-space: normal; height: auto; line-height: 1.4; }
@media (max-width: 30rem) { .spin-desk :is(th, td) { padding: 0.1em 0.25em; } .spin-desk th:first-child { min-width: 5em; } }
</style>"""
"""For the first HTML widget of a desk whose box has the class ``spin-desk``."""


@lru_cache(maxsize=8)
def _sheet(build, name, theme) -> Picture:
    """One figure for all pictures of a kind; laying it out is the dear part."""
    sheet = Picture(build, look(name, theme))
    sheet.scale(_SHARP[name])
    return sheet


def _drawn(build, result, units, name, theme):
    from PIL import Image

    sheet = _sheet(build, name, theme)
    with sheet.look.applied():  # a builder may write a heading anew for another measure
        sentence = sheet.show(result, UNITS[units])
    file = io.BytesIO()
    Image.fromarray(sheet.pixels).convert("RGB").quantize(96, Image.Quantize.FASTOCTREE).save(file, "png")
    return data_uri("image/png", file.getvalue()), sentence


def plate(build, result, units="metric", *, limit="max-width: 100%; max-height: 68vh") -> str:
    """A result drawn by a builder, as HTML, with its sentence as the words for those who do not see it."""
    parts = []
    for theme in ("light", "dark"):
        hand, _ = _drawn(build, result, units, "hand", theme)
        page, sentence = _drawn(build, result, units, "page", theme)
        parts.append(f'<picture class="spin-{theme}"><source media="(max-width: 30rem)" srcset="{hand}">'
                     f'<img style="{limit}" alt="{_html.escape(sentence)}" src="{page}"></picture>')
    return "".join(parts)


def folded(title, inside, *, is_open=False) -> str:
    """HTML folded away under a title."""
    return f"<details{' open' * is_open}><summary>{_html.escape(title)}</summary>{inside}</details>"


def listed(items) -> str:
    """Lines as an HTML list."""
    return "<ul>" + "".join(f"<li>{_html.escape(item)}</li>" for item in items) + "</ul>"
