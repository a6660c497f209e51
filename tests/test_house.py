"""The house keeps its shape: arrows run downward, the rooms stay light, lessons stay clean."""

import ast
import json
import re
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
PACKAGE = ROOT / "spinlab"
MODULES = sorted(PACKAGE.rglob("*.py"))
NOTEBOOKS = sorted((ROOT / "notebooks").glob("*.ipynb"))
DRAWING = {"matplotlib", "ipywidgets", "anywidget", "IPython", "traitlets"}
BELOW = {
    "catalogue": {"records", "units"},
    "kernel": {"records", "units"},
    "records": {"units", "fields", "outcomes"},
    "outcomes": {"fields"},
    "fields": {"units"},
    "units": set(),
    "files": set(),
    "messages": set(),
    "care": set(),
    "physics": {"kernel", "catalogue", "records", "units"},
    "evidence": {"physics", "catalogue", "records", "units", "files", "messages", "care"},
    "panels": {"kernel", "physics", "catalogue", "records", "units", "files", "messages", "care"},
    "show": {"panels", "evidence", "physics", "catalogue", "records", "units", "files", "messages", "care"},
    "stage": {"show", "panels", "evidence", "physics", "catalogue", "records", "units", "files", "messages", "care"},
}
"""What each room may know of."""
ABOVE = {"shell", "bootstrap", "installing", "installed", "lessons", "doctor", "table_report", "take_away", "__main__"}
"""The way in: stands above the rooms."""


def name_of(path):
    """``spinlab.physics.contact`` for its file."""
    parts = path.relative_to(ROOT).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def imports(path):
    """Every module a file imports, anywhere in it, by its full name."""
    package = path.relative_to(ROOT).parent.parts
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            base = [*package[:len(package) - node.level + 1]] if node.level else []
            full = ".".join([*base, *([node.module] if node.module else [])])
            yield full
            yield from (f"{full}.{alias.name}" for alias in node.names)


def room(name):
    """The room of ``spinlab.room.module``, or an empty string."""
    parts = name.split(".")
    return parts[1] if parts[0] == "spinlab" and len(parts) > 1 else ""


def says(code):
    """What a fresh Python prints."""
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, encoding="utf-8", timeout=120)
    assert done.returncode == 0, done.stderr
    return done.stdout.split()


def tracked():
    """Text files under version control, or all of them where there is none."""
    done = subprocess.run(["git", "ls-files", "-z"], cwd=ROOT, capture_output=True)
    if done.returncode == 0 and done.stdout:
        names = done.stdout.decode("utf-8").split("\0")[:-1]
    else:
        folders = ("spinlab", "tests", "data", "notebooks")
        names = [str(path.relative_to(ROOT)) for folder in folders for path in (ROOT / folder).rglob("*")]
    for name in names:
        path = ROOT / name
        if path.is_file():
            content = path.read_bytes()
            if b"\0" not in content:
                yield name, content.decode("utf-8", errors="replace")


# -- arrows -----------------------------------------------------------------------------------------------------------


def test_arrows_run_downward():
    wrong = {}
    for path in MODULES:
        here = room(name_of(path))
        if here in BELOW:
            known = {room(name) for name in imports(path)} & {*BELOW, *ABOVE}
            wrong[name_of(path)] = known - {here} - BELOW[here]
    assert len(wrong) > 20 and not {name: rooms for name, rooms in wrong.items() if rooms}


def test_every_module_stands_somewhere():
    assert {room(name_of(path)) for path in MODULES} - {""} <= {*BELOW, *ABOVE}


def test_only_show_and_panels_draw():
    draws = {room(name_of(path)) for path in MODULES if {name.split(".")[0] for name in imports(path)} & DRAWING}
    assert draws == {"show", "panels"}


def test_the_reader_of_imports_sees_relative_and_late_ones():
    """The check itself is checked: relative imports and those inside functions are found."""
    seen = set(imports(PACKAGE / "show" / "pack.py"))
    assert {"spinlab.care", "spinlab.files", "spinlab.units", "spinlab.show.style", "jinja2"} <= seen


def test_the_package_is_light():
    heavy = says("import spinlab, sys; print(*{m.split('.')[0] for m in sys.modules} & "
                 "{'numpy', 'matplotlib', 'ipywidgets', 'pandas', 'scipy', 'anywidget', 'statsmodels'})")
    assert heavy == []


def test_a_strike_needs_neither_pictures_nor_tables():
    heavy = says("from spinlab import strike, fly, Ball; import sys; "
                 "print(*{'pandas', 'matplotlib', 'scipy.stats', 'statsmodels', 'ipywidgets'} & set(sys.modules))")
    assert heavy == []


# -- text --------------------------------------------------------------------------------------------------------------


def test_public_things_say_what_they_are():
    mute = []
    for path in MODULES:
        tree = ast.parse(path.read_text(encoding="utf-8"))
        public = [n for n in tree.body if isinstance(n, (ast.FunctionDef, ast.ClassDef)) and not n.name.startswith("_")]
        mute += [f"{name_of(path)}.{node.name}" for node in public if not ast.get_docstring(node)]
        mute += [name_of(path)] if tree.body and not ast.get_docstring(tree) else []
    assert not mute


# written in pieces, so that this file does not find itself
ELSEWHERE = re.compile(r"pypi\.()org|files\.()pythonhosted|npmjs\.()(?:org|com)|deb\.()debian".replace("()", ""), re.I)
MACHINE = re.compile(r"(?<![\w.])/()(?:home|root|Users|work|opt|tmp)/\w|[A-Z]:\\()Users\\(?!Zoë)".replace("()", ""))


def test_no_file_names_a_registry():
    found = [(name, match.group()) for name, text in tracked() if (match := ELSEWHERE.search(text))]
    assert not found


def test_no_file_holds_a_path_of_one_machine():
    found = [(name, match.group()) for name, text in tracked() if (match := MACHINE.search(text))]
    assert not found


def test_plain_text_has_no_exclamation_marks():
    readers = [(name, text) for name, text in tracked() if name.endswith(".md")]
    found = [(name, line) for name, text in readers for line in text.splitlines() if re.search(r"\w!(?!\[)(\s|$)", line)]
    assert readers and not found


def test_the_readme_never_sends_people_to_another_package():
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    assert "pip install " + "spinlab" not in readme
    assert "python3 -m spinlab" in readme and "py -m spinlab" in readme and "-m spinlab test" in readme


def test_the_version_is_one():
    import tomllib

    import spinlab

    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    assert project["version"] == spinlab.__version__ and project["name"] == "wedge-spinlab"
    assert project["requires-python"] == ">=3.11"


def test_every_line_is_linted():
    command = [sys.executable, "-m", "ruff", "check", "--no-cache", "--output-format=concise", "spinlab", "tests"]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, encoding="utf-8")
    assert done.returncode == 0, done.stdout[-3000:]


# -- lessons ----------------------------------------------------------------------------------------------------------


@pytest.fixture(params=NOTEBOOKS, ids=lambda path: path.stem)
def lesson(request):
    """A notebook, read."""
    return json.loads(request.param.read_text(encoding="utf-8"))


def source(cell):
    """A cell's text; a notebook may keep it in lines."""
    return "".join(cell["source"])


def of_kind(notebook, kind):
    """Cells of a kind."""
    return [cell for cell in notebook["cells"] if cell["cell_type"] == kind]


def headings(notebook):
    """Levels of all headings in order, outside fenced code."""
    levels = []
    for cell in of_kind(notebook, "markdown"):
        text = re.sub(r"```.*?```", "", source(cell), flags=re.S)
        levels += [len(marks) for marks in re.findall(r"^(#{1,6}) ", text, flags=re.M)]
    return levels


def test_lessons_are_valid_and_clean(lesson):
    import nbformat

    nbformat.validate(nbformat.from_dict(lesson))
    assert (lesson["nbformat"], lesson["nbformat_minor"]) == (4, 5)
    assert not [c for c in of_kind(lesson, "code") if c["outputs"] or c["execution_count"]], "stored outputs; use nbstripout"
    ids = [cell["id"] for cell in lesson["cells"]]
    assert len(set(ids)) == len(ids) and all(re.fullmatch(r"[\w-]{3,64}", name) for name in ids)
    assert "widgets" not in lesson["metadata"]


def test_code_of_lessons_is_folded_away(lesson):
    """A coach or a player meets no code unless it is opened."""
    shown = [c["id"] for c in of_kind(lesson, "code") if not c["metadata"].get("jupyter", {}).get("source_hidden")]
    assert not shown


def test_lessons_have_a_title_and_headings_that_do_not_skip(lesson):
    levels = headings(lesson)
    assert levels[:1] == [1] and levels.count(1) == 1
    assert all(deeper - level <= 1 for level, deeper in zip(levels, levels[1:]))


def test_lessons_are_of_a_readable_length(lesson):
    assert 10 <= len(lesson["cells"]) <= 25
    long = [cell["id"] for cell in of_kind(lesson, "code") if len(source(cell).strip().splitlines()) > 20]
    assert not long, f"more than 20 lines: {long}"


def test_lessons_import_from_spinlab_only_what_is_theirs_to_import(lesson):
    used = set()
    for cell in of_kind(lesson, "code"):
        tree = ast.parse("\n".join(line for line in source(cell).splitlines() if not line.startswith(("%", "!"))))
        used |= {a.name.split(".")[0] for n in ast.walk(tree) if isinstance(n, ast.Import) for a in n.names}
        used |= {(n.module or "").split(".")[0] for n in ast.walk(tree) if isinstance(n, ast.ImportFrom)}
    assert not used & (DRAWING - {"IPython"}), f"drawing belongs in the package: {used & DRAWING}"
    assert "spinlab" in used


def test_pictures_in_lessons_have_words_for_those_who_do_not_see_them(lesson):
    for cell in of_kind(lesson, "markdown"):
        text = source(cell)
        assert not re.search(r"!\[\s*\]\(", text), f"{cell['id']}: a picture without words"
        assert all(re.search(r"\balt=[\"'][^\"']+", tag) for tag in re.findall(r"<img[^>]*>", text)), cell["id"]
        assert not re.search(r"!\[[^\]]*\]\(http|src=.http", text), f"{cell['id']}: a picture from outside"
