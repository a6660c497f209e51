"""What a reader of a lesson sees in words: its code cells run here, without a browser or a server, and
their text is kept."""

from __future__ import annotations

import ast
import json
from functools import cache
from pathlib import Path

NOTEBOOKS = Path(__file__).resolve().parents[1] / "notebooks"


@cache
def texts(name):
    """Text that each code cell of a lesson shows, by the cell's id: ``texts("02")["say_it"]``."""
    (path,) = NOTEBOOKS.glob(f"{name}_*.ipynb")
    names, shown = {}, {}
    for cell in json.loads(path.read_text(encoding="utf-8"))["cells"]:
        if cell["cell_type"] == "code":
            shown[cell["id"]] = _text_of(_last_value("".join(cell["source"]), names))
    return shown


def _last_value(code, names):
    """Run a cell as a notebook does: all of it, and the value of its last expression."""
    tree = ast.parse(code)
    last = tree.body.pop() if tree.body and isinstance(tree.body[-1], ast.Expr) else None
    exec(compile(tree, "lesson", "exec"), names)
    return eval(compile(ast.Expression(last.value), "lesson", "eval"), names) if last else None


def _text_of(value):
    for attribute in ("data", "sentence"):  # formatted text, a panel
        text = getattr(value, attribute, None)
        if isinstance(text, str):
            return text
    return ""
