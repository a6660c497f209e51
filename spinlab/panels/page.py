"""A scene as a page of its own: one file that asks nobody, and its modules put together without a
build step."""

from __future__ import annotations

import base64
import functools
import hashlib
import html
import json
import re
from pathlib import Path

from .. import __version__
from ..files import write_atomically

__all__ = ["browser_code", "bundle", "page", "renderer", "style", "write"]

WEB = Path(__file__).parent / "web"
_IMPORT = re.compile(r'^import \{([^}]*)\} from "\./([\w.]+)";\n', re.M)
_EXPORT = re.compile(r"^export (?=(?:async )?(?:function|const|class) (\w+))", re.M)
_COMMENT = re.compile(r"^\s*(?://.*|/\*\*.*\*/)\n", re.M)
_INDENT = re.compile(r"^ +", re.M)


def bundle(entry: str, read) -> tuple[str, str]:
    """The modules that `entry` needs as one script, and the name under which the entry's exports
    stand.

    Every module becomes a function that returns what it exports; ``import { a as b }`` becomes
    ``const { a: b } = …``. `read` gives the text of a module by its name.  Only named imports and
    exports of our own modules are understood.
    """
    written: dict[str, str] = {}
    parts = []

    def add(name):
        if name in written:
            return
        written[name] = "$m_" + re.sub(r"\W", "_", name)
        source = read(name)
        for _, needed in _IMPORT.findall(source):
            add(needed)
        exports = _EXPORT.findall(source)
        body = _EXPORT.sub("", source)
        body = _IMPORT.sub(
            lambda found: f"const {{{found[1].replace(' as ', ': ')}}} = {written[found[2]]};\n",
            body,
        )
        body = _INDENT.sub("", _COMMENT.sub("", body))
        if re.search(r"^(import|export)\b", body, re.M):
            raise ValueError(
                f'{name}: write imports as `import {{ a, b }} from "./file.js";` and exports '
                "before a function, a class or a const"
            )
        parts.append(
            f"const {written[name]} = (() => {{\n{body}return {{ {', '.join(exports)} }};\n}})();\n"
        )

    add(entry)
    return "".join(parts), written[entry]


def _read(name):
    return (WEB / name).read_text(encoding="utf-8")


def _read_for(scene):
    """A reader of modules for one scene: of all close-ups its own alone."""
    name = scene.closeup
    only = f'import {{ {name} }} from "./{name}.js";\n' if name else ""
    only = f"{only}export const closeUps = {{ {name or ''} }};\n"
    return lambda module: only if module == "closeups.js" else _read(module)


@functools.cache
def renderer() -> str:
    """The renderer with all its modules, as the one module that a notebook's widget loads."""
    text, name = bundle("widget.js", _read)
    return f"{text}export default {name}.widget;\n"


@functools.cache
def style() -> str:
    """The renderer's style."""
    return _read("scene.css")


def browser_code(scene) -> str | None:
    """The script that answers a scene in the browser and in its worker; None where the kernel must
    be asked."""
    script = scene.code()
    if script is None:
        return None
    text, code = bundle("compute.js", {"compute.js": script}.__getitem__)
    answers, theirs = bundle("answers.js", _read)
    compute = f"{code}.{_plain(scene.compute).__name__}"
    return (
        f"{text}{answers}export const make = (spec) => {theirs}.answerer(spec, {compute});\n"
        f"{theirs}.serve(make);\n"
    )


def _plain(function):
    return getattr(function, "py_func", function)


def _script_safe(text):
    """JSON that may stand inside a script element."""
    return text.replace("<", "\\u003c").replace("\u2028", "\\u2028").replace("\u2029", "\\u2029")


def _hash(text):
    return f"'sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}'"


def page(scene, fragment: str = "") -> str:
    """The scene as one HTML file.  Its policy lets in its own style and script and refuses every
    request."""
    code = browser_code(scene)
    if code is None:
        raise ValueError(
            f"the scene {scene.name} needs a kernel: its compute is not in the kernel's "
            f"dialect, so a page cannot "
            f"answer by itself; show it in a notebook, or mend this: {scene.refusal}"
        )
    data = _script_safe(
        json.dumps(scene.described(code), ensure_ascii=False, separators=(",", ":"))
    )
    text, _ = bundle("page.js", _read_for(scene))
    script = text
    if fragment:
        script = f"location.hash ||= {_script_safe(json.dumps(fragment))};\n{script}"
    policy = (
        f"default-src 'none'; style-src 'unsafe-inline'; script-src {_hash(script)} blob:; "
        f"worker-src blob:; "
        "img-src data: blob:; base-uri 'none'; form-action 'none'"
    )
    return f"""<!doctype html>
<html lang="en">
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="{policy}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>{html.escape(scene.title)}</title>
<link rel="icon" href="data:;base64,=">
<style>{_PAGE_STYLE}{style()}</style>
<main><h1 class="unseen">{html.escape(scene.title)}</h1></main>
<footer>spinlab {__version__}. This page computes by itself and asks nobody.</footer>
<script type="application/json" id="scene">{data}</script>
<script type="module">{script}</script>
</html>
"""


_PAGE_STYLE = """
html { background: #faf8f3; color: #55626b; color-scheme: light; }
html[data-theme=dark] { background: #12202a; color: #a9b6be; color-scheme: dark; }
body { margin: 0; }
main { max-width: 118rem; margin: 0 auto; }
footer { max-width: 118rem; margin: 0 auto; padding: 0 1rem 1rem; }
footer { font: 0.9rem/1.4 system-ui, sans-serif; }
"""


def write(scene, path, fragment: str = "") -> Path:
    """Write the scene's page."""
    return write_atomically(path, page(scene, fragment).encode("utf-8"), public=True)
