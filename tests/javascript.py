"""Runs translated modules in node, for tests."""

import json
import shutil
import subprocess
from pathlib import Path

import numpy as np

CALLS = Path(__file__).with_name("calls.mjs")
NODE = shutil.which("node")

RUN = """
import {{ readFileSync }} from "node:fs";
import {{ answers }} from "{calls}";
import * as module from "{module}";
const calls = JSON.parse(readFileSync("{folder}/calls.json"));
console.log(JSON.stringify(answers(module, calls)));
"""


def sent(value):
    """A number, record or array as `calls.mjs` reads it."""
    if isinstance(value, (bool, np.bool_)):
        return bool(value)
    if isinstance(value, (int, np.integer)):
        return int(value)
    if isinstance(value, float):
        return repr(float(value)).replace("inf", "Infinity").replace("nan", "NaN")
    if hasattr(value, "_asdict"):
        return {name: sent(part) for name, part in value._asdict().items()}
    return [sent(part) for part in value]


def got(value):
    """An answer of `calls.mjs`: floats are numbers again."""
    if isinstance(value, str):
        return float(value)
    if isinstance(value, list):
        return [got(part) for part in value]
    if isinstance(value, dict):
        return {name: got(part) for name, part in value.items()}
    return value


def plain(value):
    """A Python result in the same form: a record is a dict, a tuple or an array a list."""
    if value is None or isinstance(value, (bool, np.bool_)):
        return value if value is None else bool(value)
    if isinstance(value, (int, float, np.number)):
        return float(value)
    if hasattr(value, "_asdict"):
        return {name: plain(part) for name, part in value._asdict().items()}
    return [plain(part) for part in value]


def in_node(text, calls, folder):
    """Results, and arrays afterwards, of calls ``(name, arguments)`` to a module given as text."""
    folder = Path(folder)
    module = folder / "module.mjs"
    module.write_text(text, encoding="utf-8")
    given = [[name, [sent(value) for value in values]] for name, values in calls]
    (folder / "calls.json").write_text(json.dumps(given))
    run = folder / "run.mjs"
    names = {"calls": CALLS.as_uri(), "module": module.as_uri(), "folder": folder.as_posix()}
    run.write_text(RUN.format(**names), encoding="utf-8")
    done = subprocess.run([NODE, str(run)], capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    return got(json.loads(done.stdout))
