"""A lesson as text to read: its words, what its cells print and show, its live scenes and its quiz.

The cells are run here, without a kernel; they are our own lessons, nothing else is ever run.
"""

from __future__ import annotations

import ast
import contextlib
import html
import io
import json
import re
from pathlib import Path

from ..panels import page
from ..panels.widget import Panel
from ..show.following import Following
from ..show.quiz import Quiz

__all__ = ["Lesson", "as_html", "body", "formula", "page_of", "run", "shown"]

ONLY_THERE = " In JupyterLab, first choose *Run → Run All Cells*."
"""What a lesson says to those who read it in its notebook."""
NOTEBOOK_ONLY = "notebook-only"
"""The tag of cells that speak of what only the notebook has."""


class Lesson:
    """What a lesson became: its markup, and the scenes that stand in it."""

    def __init__(self):
        self.parts: list[str] = []
        self.scenes: list = []

    @property
    def markup(self) -> str:
        """All parts, with a name of its own for whatever scrolls."""
        return _numbered("\n".join(part for part in self.parts if part))


def formula(words, display="inline") -> str:
    """A formula of TeX as MathML, or as it was written if it cannot be converted."""
    from latex2mathml.converter import convert

    try:
        return convert(words.strip(), display=display)
    except Exception:
        return f"<code>{html.escape(words)}</code>"


def as_html(markdown: str) -> str:
    """Words of a lesson as HTML; links to lessons lead to their pages."""
    import mistune

    reader = mistune.create_markdown(escape=False, plugins=["table", "math"])
    reader.renderer.register("inline_math", lambda renderer, words: formula(words))
    reader.renderer.register(
        "block_math", lambda renderer, words: _scrolling("Formula", formula(words, "block"))
    )
    blocks = re.sub(
        r"\$\$(.+?)\$\$", lambda m: f"\n$$\n{m.group(1).strip()}\n$$\n", markdown, flags=re.S
    )
    made = reader(blocks)
    return _framed(
        re.sub(r'href="([^":/]+)\.ipynb"', lambda m: f'href="{page_of(m.group(1))}"', made)
    )


def page_of(lesson: str) -> str:
    """The file that a lesson becomes."""
    return "index.html" if lesson.startswith("00_") else f"{lesson}.html"


def _framed(markup):
    """Tables that may be wider than a telephone scroll by themselves, also by keyboard."""
    markup = re.sub(r'(<[a-z][^<>]*?) style="[^"]*"', r"\1", markup)
    markup = re.sub(
        "<table>.*?</table>", lambda m: _scrolling("Table", m.group()), markup, flags=re.S
    )
    return markup.replace("<th></th>", "<td></td>")


def _scrolling(name, inside):
    return f'<div class="scroll" tabindex="0" role="region" aria-label="{name}">{inside}</div>'


def _numbered(markup):
    for name in ("Table", "Formula"):
        count = iter(range(1, 1000))
        markup = re.sub(
            f'aria-label="{name}"',
            lambda m, name=name, count=count: f'aria-label="{name} {next(count)}"',
            markup,
        )
    return markup


# -- running the cells ----------------------------------------------------------------------------


def run(source: str, names: dict):
    """Run a cell; what it printed, and the value of its last line."""
    tree = ast.parse(source)
    last = None
    if tree.body and isinstance(tree.body[-1], ast.Expr):
        last = ast.Expression(tree.body.pop().value)
    with contextlib.redirect_stdout(io.StringIO()) as printed:
        exec(compile(tree, "lesson", "exec"), names)
        value = eval(compile(last, "lesson", "eval"), names) if last else None
    return printed.getvalue().rstrip(), value


def shown(value) -> str:
    """What a cell's last line looks like on a page."""
    if value is None:
        return ""
    if isinstance(value, Panel):
        return page.data(value.scene)
    if isinstance(value, Quiz):
        return page.as_data(value.described, "quiz-data")
    if isinstance(value, Following):
        return as_html(value.markdown)
    if hasattr(value, "_repr_markdown_"):
        return as_html(value._repr_markdown_())
    if hasattr(value, "to_html"):
        return _framed(re.sub(r' (border|class|style)="[^"]*"', "", value.to_html()))
    if hasattr(value, "_repr_mimebundle_") or hasattr(value, "_ipython_display_"):
        return (
            '<p class="quiet">Here the notebook has a tool to work with; it needs the suite '
            "installed.</p>"
        )
    return f'<pre class="told">{html.escape(str(value))}</pre>'


def body(path: Path, *, say=lambda words: None) -> Lesson:
    """A lesson's whole text, its scenes in their places.

    Parameters
    ----------
    path
        the notebook; its cells are run where it lies.
    say
        hears of every step that could not be run.

    Raises
    ------
    ValueError
        the lesson's first cell, which brings what all others need, cannot be run.
    """
    cells = json.loads(path.read_text(encoding="utf-8"))["cells"]
    names = {"__name__": "lesson"}
    lesson = Lesson()
    begun = False
    with contextlib.chdir(path.parent):
        for cell in cells:
            source = "".join(cell["source"])
            hidden = NOTEBOOK_ONLY in cell["metadata"].get("tags", ())
            if cell["cell_type"] == "markdown" and not hidden:
                lesson.parts.append(_text(as_html(source.replace(ONLY_THERE, ""))))
            if cell["cell_type"] != "code":
                continue
            printed, value, trouble = _tried(source, names)
            if trouble:
                say(f"  a step could not be run: {trouble}")
                if not begun:
                    raise ValueError(
                        f"lesson {path.stem} cannot be run: {trouble}; python3 -m spinlab doctor "
                        "looks for the cause"
                    )
            begun = True
            if hidden:
                continue
            folded = cell["metadata"].get("jupyter", {}).get("source_hidden")
            before = "" if folded else _code(source)
            if printed:
                before += f'<pre class="told">{html.escape(printed)}</pre>'
            if isinstance(value, Panel):
                lesson.scenes.append(value.scene)
                lesson.parts.append(_text(before))
                lesson.parts.append(shown(value))
            else:
                lesson.parts.append(_text(before + shown(value)))
    return lesson


def _tried(source, names):
    """What was printed, the value, and what went wrong, if it did."""
    try:
        return *run(source, names), ""
    except Exception as trouble:  # a step that needs what is not here must not stop the site
        name = type(trouble).__name__
        return f"This step runs in the notebook ({name}).", None, f"{name}: {trouble}"


def _text(markup):
    return f'<div class="text">{markup}</div>' if markup else ""


def _code(source):
    return (
        '<details><summary>Code of this step</summary><pre tabindex="0">'
        f"<code>{html.escape(source)}</code></pre></details>"
    )
