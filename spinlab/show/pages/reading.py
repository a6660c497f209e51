"""A lesson as text for reading: its words as HTML, formulas as MathML, and what its cells show when they are run.

The cells are run here, in this process and without a kernel; they are our own lessons, nothing else is ever run.
"""

from __future__ import annotations

import ast
import contextlib
import html
import io
import json
import re
from pathlib import Path

from ...panels.widget import Panel as ScenePanel
from ..following import Following
from ..pack import data_uri
from ..panel import Panel
from ..quiz import Quiz

_ONLY_THERE = " In JupyterLab, first choose *Run → Run All Cells*."
"""What a lesson says to those who read it in its notebook."""
_WIDE = 1050  # [px] of a picture, about twice as it stands in the text


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
    reader.renderer.register("block_math", lambda renderer, words: _scrolling("Formula", formula(words, "block")))
    told = reader(re.sub(r"\$\$(.+?)\$\$", lambda m: f"\n$$\n{m.group(1).strip()}\n$$\n", markdown, flags=re.S))
    return _framed(re.sub(r'href="([^":/]+)\.ipynb"', lambda m: f'href="{page_of(m.group(1))}"', told))


def page_of(lesson: str) -> str:
    """The file that a lesson becomes."""
    return "index.html" if lesson.startswith("00_") else f"{lesson}.html"


def _framed(told):
    """Tables that may be wider than a telephone scroll by themselves, also by keyboard; no style that the page's policy
    would refuse."""
    told = re.sub(r'(<[a-z][^<>]*?) style="[^"]*"', r"\1", told)
    told = re.sub("<table>.*?</table>", lambda m: _scrolling("Table", m.group()), told, flags=re.S)
    return told.replace("<th></th>", "<td></td>")


def _scrolling(name, inside):
    return f'<div class="scroll" tabindex="0" role="region" aria-label="{name}">{inside}</div>'


def _numbered(told):
    """Names of what scrolls, each only once on a page."""
    for name in ("Table", "Formula"):
        count = iter(range(1, 1000))
        told = re.sub(f'aria-label="{name}"', lambda m: f'aria-label="{name} {next(count)}"', told)  # noqa: B023
    return told


# -- running the cells ------------------------------------------------------------------------------------------------


def run(source: str, names: dict):
    """Run a cell; what it printed, and the value of its last line."""
    tree, last = ast.parse(source), None
    if tree.body and isinstance(tree.body[-1], ast.Expr):
        last = ast.Expression(tree.body.pop().value)
    with contextlib.redirect_stdout(io.StringIO()) as printed:
        exec(compile(tree, "lesson", "exec"), names)
        value = eval(compile(last, "lesson", "eval"), names) if last else None
    return printed.getvalue().rstrip(), value


def _picture(panel):
    drawn = panel.picture("page")
    drawn.scale(_WIDE)
    data = data_uri("image/jpeg", drawn.encoded("jpeg"))
    picture = f'<img src="{data}" alt="{html.escape(panel.sentence)}" width="700" height="430">'
    return (_scrolling(html.escape(panel.title), picture) +
            '<p class="quiet">A still picture: the notebook has sliders here; they need the suite installed.</p>')


def _questions(quiz):
    told = []
    for question in quiz.questions:
        asked = "".join(f"<li>{html.escape(words)}</li>" for words in question.answers)
        answers = "".join(f"<li>{html.escape(f'{words} – {question.told(words)}')}</li>" for words in question.answers)
        told.append(f"<p><strong>{html.escape(question.text)}</strong></p><ul>{asked}</ul>"
                    f"<details><summary>Answers</summary><ul>{answers}</ul></details>")
    return "".join(told)


def shown(value) -> str:
    """What a cell's last line looks like on a page."""
    if value is None:
        return ""
    if isinstance(value, Panel):
        return _picture(value)
    if isinstance(value, ScenePanel):
        scene = value.scene
        return f'<iframe class="scene-frame" src="pages/{scene.name}.html" title="{html.escape(scene.title)}"></iframe>'
    if isinstance(value, Quiz):
        return _questions(value)
    if isinstance(value, Following):
        return as_html(value.markdown)
    if hasattr(value, "_repr_markdown_"):
        return as_html(value._repr_markdown_())
    if hasattr(value, "to_html"):
        return _framed(re.sub(r' (border|class|style)="[^"]*"', "", value.to_html()))
    if hasattr(value, "_repr_mimebundle_") or hasattr(value, "_ipython_display_"):
        return '<p class="quiet">Here the notebook has a tool to work with; it needs the suite installed.</p>'
    return f'<pre class="told">{html.escape(str(value))}</pre>'


def body(path: Path, *, panel: str = "", instead_of: str = "", say=lambda words: None) -> str:
    """A lesson's whole text.

    Parameters
    ----------
    path
        the notebook; its cells are run where it lies.
    panel, instead_of
        markup of a live panel, and the title of the lesson's panel in whose place it stands (or of the first one).
    say
        is told of every step that could not be run.

    Raises
    ------
    ValueError
        the lesson's first cell, which brings what all others need, cannot be run.
    """
    cells = json.loads(path.read_text(encoding="utf-8"))["cells"]
    names, parts, titles, begun = {"__name__": "lesson"}, [], [], False
    with contextlib.chdir(path.parent):
        for cell in cells:
            source = "".join(cell["source"])
            if cell["cell_type"] == "markdown":
                parts.append(_text(as_html(source.replace(_ONLY_THERE, ""))))
            elif cell["cell_type"] == "code":
                hidden = cell["metadata"].get("jupyter", {}).get("source_hidden")
                printed, value, trouble = _tried(source, names)
                if trouble:
                    say(f"  a step could not be run: {trouble}")
                    if not begun:
                        raise ValueError(f"lesson {path.stem} cannot be run: {trouble}; python3 -m spinlab doctor looks for "
                                         "the cause")
                begun = True
                told = "" if hidden else _code(source)
                told += f'<pre class="told">{html.escape(printed)}</pre>' if printed else ""
                parts.append(shown(value) if isinstance(value, ScenePanel) else _text(told + shown(value)))
                if isinstance(value, Panel):
                    titles.append((value.title, len(parts) - 1))
    return _numbered("\n".join(_placed(parts, titles, panel, instead_of)))


def _tried(source, names):
    """What was printed, the value, and what went wrong, if it did."""
    try:
        return *run(source, names), ""
    except Exception as trouble:  # a step that needs what is not here (a film encoder, say) must not stop the site
        name = type(trouble).__name__
        return f"This step runs in the notebook ({name}).", None, f"{name}: {trouble}"


def _text(told):
    return f'<div class="text">{told}</div>' if told else ""


def _code(source):
    return ('<details><summary>Code of this step</summary><pre tabindex="0">'
            f"<code>{html.escape(source)}</code></pre></details>")


def _placed(parts, titles, panel, instead_of):
    """The parts with the live panel where it belongs."""
    if panel:
        at = next((k for title, k in titles if title == instead_of), titles[0][1] if titles else len(parts))
        parts[at:at + 1] = [panel]
    return [part for part in parts if part]
