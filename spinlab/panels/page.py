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

from .. import __version__, care
from ..files import write_atomically

__all__ = [
    "as_data",
    "browser_code",
    "bundle",
    "data",
    "document",
    "footer",
    "module",
    "page",
    "style",
    "text",
    "write",
]

WEB = Path(__file__).parent / "web"
DRAWINGS = ("impact", "plots", "stopping", "under")
"""Each a module, and a style of that name where it has rules of its own."""
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


def text(name: str) -> str:
    """The text of a file of the web folder."""
    return (WEB / name).read_text(encoding="utf-8")


@functools.cache
def module(entry: str, exported: str) -> str:
    """A module with all that it needs, as the one module that a notebook's widget loads."""
    script, name = bundle(entry, text)
    return f"{script}export default {name}.{exported};\n"


def drawings_of(scenes) -> list[str]:
    """The names of the drawings that scenes need."""
    return sorted({scene.closeup or "plots" for scene in scenes})


def style(drawings) -> str:
    """The rules of all scenes, and those of some drawings."""
    named = [f"{name}.css" for name in ("scene", *drawings)]
    return "".join(text(name) for name in named if (WEB / name).exists())


def _read_for(scenes):
    """A reader of modules for a page: of all drawings those of its scenes alone."""
    names = drawings_of(scenes)
    imports = "".join(f'import {{ {name} }} from "./{name}.js";\n' for name in names)
    only = f"{imports}export const closeUps = {{ {', '.join(names)} }};\n"
    return lambda name: only if name == "closeups.js" else text(name)


def browser_code(scene) -> str | None:
    """The script that answers a scene in the browser and in its worker; None where the kernel must
    be asked."""
    script = scene.code()
    if script is None:
        return None
    physics, code = bundle("compute.js", {"compute.js": script}.__getitem__)
    answers, theirs = bundle("answers.js", text)
    compute = f"{code}.{_plain(scene.compute).__name__}"
    return (
        f"{physics}{answers}export const make = (spec) => {theirs}.answerer(spec, {compute});\n"
        f"{theirs}.serve(make);\n"
    )


def _plain(function):
    return getattr(function, "py_func", function)


def _script_safe(text):
    """JSON that may stand inside a script element."""
    return text.replace("<", "\\u003c").replace("\u2028", "\\u2028").replace("\u2029", "\\u2029")


def _hash(text):
    return f"'sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}'"


def data(scene) -> str:
    """The element that holds a scene's description; the script puts the scene in its place."""
    code = browser_code(scene)
    if code is None:
        raise ValueError(
            f"the scene {scene.name} needs a kernel: its compute is not in the kernel's "
            f"dialect, so a page cannot "
            f"answer by itself; show it in a notebook, or mend this: {scene.refusal}"
        )
    return as_data(scene.described(code), "scene-data")


def as_data(value, kind: str) -> str:
    """A value as JSON in an element that the page's script looks for by its class."""
    told = json.dumps(value, ensure_ascii=False, separators=(",", ":"))
    return f'<script type="application/json" class="{kind}">{_script_safe(told)}</script>'


def document(
    *,
    title: str,
    body: str,
    scenes=(),
    styles="",
    alone="",
    fragment="",
    entry="page.js",
) -> str:
    """A whole page as one file.  Its policy lets in its own script and refuses every request.

    Parameters
    ----------
    title, body
        words, and markup with the elements of `data` in it.
    scenes
        the scenes whose close-ups the script must draw.
    styles
        more rules, after those of a scene.
    alone
        the name of the scene that the page is made for, if it is; its state stands in the address.
    fragment
        the state in which such a page opens.
    entry
        the module that the page runs.
    """
    script, _ = bundle(entry, _read_for(scenes))
    if fragment:
        script = f"location.hash ||= {_script_safe(json.dumps(fragment))};\n{script}"
    policy = (
        f"default-src 'none'; style-src 'unsafe-inline'; script-src {_hash(script)} blob:; "
        f"worker-src blob:; "
        "img-src data: blob:; base-uri 'none'; form-action 'none'"
    )
    return f"""<!doctype html>
<html lang="en"{f' data-scene="{alone}"' if alone else ""}>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="{policy}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>{html.escape(title)}</title>
<link rel="icon" href="data:;base64,=">
<style>{text("page.css")}{style(drawings_of(scenes))}{styles}</style>
{body}
<script type="module">{script}</script>
</html>
"""


def page(scene, fragment: str = "") -> str:
    """The scene as one HTML file."""
    title = html.escape(scene.title)
    body = f"""<main><h1 class="unseen">{title}</h1>{data(scene)}</main>
{footer()}"""
    return document(
        title=scene.title, body=body, scenes=[scene], alone=scene.name, fragment=fragment
    )


def footer() -> str:
    """What stands below every page: the cautions, and who computes."""
    return f"""<footer>
<p><b>Take care.</b> {care.FACILITY} {care.ROOM} {care.STOP} {care.SPRAY}</p>
<p>{care.PRACTICE}</p>
<p>spinlab {__version__}. This page computes by itself and asks nobody.</p>
</footer>"""


def write(scene, path, fragment: str = "") -> Path:
    """Write the scene's page."""
    return write_atomically(path, page(scene, fragment).encode("utf-8"), public=True)
