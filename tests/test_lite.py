"""The notebooks in a browser alone: this package as a wheel, the list of packages, the parts; and, where a built folder is
named in the environment variable SPINLAB_LITE (`.ci/run` does it), that folder in a real browser, from this machine."""

import ast
import base64
import csv
import hashlib
import io
import json
import os
import re
import subprocess
import sys
import tomllib
import zipfile
from pathlib import Path

import browser as b
import pytest

from spinlab import shell
from spinlab.show.pages import lite, lite_lock, lite_parts
from spinlab.show.pages.wheel import own_wheel

ROOT = Path(__file__).resolve().parent.parent
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
BUILT = os.environ.get("SPINLAB_LITE", "")
ABSENT = {"curses", "dbm", "ensurepip", "fcntl", "grp", "msvcrt", "pwd", "resource", "syslog", "termios", "tkinter",
          "turtle", "venv", "winreg", "multiprocessing"}
"""Modules of the standard library that Pyodide has not, or has without use (its manual, "Python compatibility") [M]."""
COMPILED = {"numpy", "scipy", "matplotlib", "pandas", "statsmodels", "contourpy", "kiwisolver", "pillow", "markupsafe"}
"""What only Pyodide's distribution has."""


@pytest.fixture(scope="module")
def wheel(tmp_path_factory):
    return own_wheel(tmp_path_factory.mktemp("wheel"), PROJECT["project"])


def made(folder, name, version, needs=(), module="thing"):
    """A wheel of one module."""
    about = f"Metadata-Version: 2.1\nName: {name}\nVersion: {version}\n" + "".join(f"Requires-Dist: {n}\n" for n in needs)
    path = folder / f"{name.replace('-', '_')}-{version}-py3-none-any.whl"
    with zipfile.ZipFile(path, "w") as archive:
        archive.writestr(f"{module}/__init__.py", "")
        archive.writestr(f"{name.replace('-', '_')}-{version}.dist-info/METADATA", about)
    return path


def one(name, version, *depends, file=""):
    """A package as a list of Pyodide has it."""
    return {"name": name, "version": version, "file_name": file or f"{name}-{version}-py3-none-any.whl",
            "depends": [*depends], "imports": [name], "install_dir": "site", "package_type": "package", "sha256": "0" * 64,
            "unvendored_tests": False}


LOCK = {"info": {"python": "3.14.2"}, "packages": {
    "numpy": one("numpy", "2.4.6", file="numpy-2.4.6-cp314-cp314-pyemscripten_2026_0_wasm32.whl"),
    "scipy": one("scipy", "1.18.0", "numpy"), "MarkupSafe": one("MarkupSafe", "3.0.3"),
    "jinja2": one("jinja2", "3.1.6", "MarkupSafe"), "lonely": one("lonely", "1")}}


# -- the wheel --------------------------------------------------------------------------------------------------------


def test_pip_takes_the_wheel(wheel, tmp_path):
    """pip, which checks names, tags and hashes, installs it; what is installed runs and has its scripts and styles."""
    there = tmp_path / "there"
    pip = [sys.executable, "-m", "pip", "install", "--quiet", "--no-deps", "--no-index", "--target", there, wheel]
    subprocess.run(pip, check=True, capture_output=True)
    ask = ("import sys; sys.path.insert(0, sys.argv[1]); import spinlab; from spinlab.units import mph; "
           "from importlib.resources import files; "
           "print(spinlab.__file__, 45*mph, files('spinlab.show').joinpath('panel.js').is_file())")
    told = subprocess.run([sys.executable, "-I", "-c", ask, there], check=True, capture_output=True, encoding="utf-8",
                          cwd=tmp_path).stdout.split()
    assert told[0].startswith(str(tmp_path)) and told[1:] == ["20.1168", "True"]  # 45 mph = 45 × 0.44704 m/s, exactly [S]


def test_the_record_names_every_file_with_its_hash(wheel):
    """RECORD: path, sha256 in URL-safe base64 without padding, size (PyPA, "Recording installed projects") [M]."""
    with zipfile.ZipFile(wheel) as archive:
        record = next(name for name in archive.namelist() if name.endswith("RECORD"))
        rows = list(csv.reader(io.StringIO(archive.read(record).decode())))
        assert {row[0] for row in rows} == set(archive.namelist()) and len(rows) > 100
        for name, digest, size in rows:
            if name != record:
                data = archive.read(name)
                assert digest == "sha256=" + base64.urlsafe_b64encode(hashlib.sha256(data).digest()).decode().rstrip("=")
                assert int(size) == len(data)


def test_the_same_files_give_the_same_wheel(wheel, tmp_path):
    assert own_wheel(tmp_path, PROJECT["project"]).read_bytes() == wheel.read_bytes()


def test_the_package_is_pure_python(wheel):
    with zipfile.ZipFile(wheel) as archive:
        kinds = {Path(name).suffix for name in archive.namelist() if ".dist-info/" not in name}
    assert kinds <= {".py", ".js", ".mjs", ".css", ".html", ".json", ".j2", ".ttf", ".svg", ".txt", ".md"}, kinds


def test_no_module_needs_what_a_browser_has_not_when_it_is_imported():
    """Inside a function, behind a condition, it may."""
    wrong = {}
    for path in sorted((ROOT / "spinlab").rglob("*.py")):
        top = ast.parse(path.read_text(encoding="utf-8")).body
        names = {alias.name.split(".")[0] for node in top if isinstance(node, ast.Import) for alias in node.names}
        names |= {(node.module or "").split(".")[0] for node in top if isinstance(node, ast.ImportFrom) and not node.level}
        wrong[path.name] = names & ABSENT
    assert len(wrong) > 100 and not {name: found for name, found in wrong.items() if found}


# -- the list of packages ---------------------------------------------------------------------------------------------


def test_a_closure_is_all_that_is_needed_and_no_more():
    found = lite_lock.closure(LOCK["packages"], "Jinja2", "scipy", "not-there")
    assert set(found) == {"jinja2", "MarkupSafe", "scipy", "numpy"}


def test_our_wheels_take_their_place_in_the_list(tmp_path):
    """Hand-made: a new package with a marker that holds and one that does not, and one that stands for an old one."""
    fresh = made(tmp_path, "my-thing", "0.3", ["NumPy>=2", "MarkupSafe", "pywin32; sys_platform == 'win32'",
                                               "lonely; python_version < '3.12'", "unheard-of>=1", "jinja2; extra == 'all'"])
    other = made(tmp_path, "jinja2", "3.1.6", ["MarkupSafe>=2.0"], module="jinja2")
    told = lite_lock.merged(LOCK, [fresh, other])["packages"]
    assert set(told) == {*LOCK["packages"], "my-thing"}
    mine = told["my-thing"]
    assert (mine["depends"], mine["imports"], mine["version"]) == (["MarkupSafe", "numpy"], ["thing"], "0.3")
    assert mine["sha256"] == hashlib.sha256(fresh.read_bytes()).hexdigest() and mine["file_name"] == fresh.name
    assert set(mine) == set(LOCK["packages"]["numpy"])
    assert told["jinja2"]["sha256"] != "0" * 64 and told["jinja2"]["depends"] == ["MarkupSafe"]
    assert "my-thing" not in LOCK["packages"], "the list that was given stays as it was"


def test_versions_that_do_not_fit_are_named():
    asked = ["numpy>=2.0", "SciPy>=1.19", "pandas>=9", "jinja2>=3.1"]
    assert lite_lock.too_old(LOCK, asked) == ["SciPy>=1.19 (there is 1.18.0)"]


def lock_in(folder, wheels, distribution):
    (folder / "pyodide-lock.json").write_text(json.dumps(LOCK), encoding="utf-8")
    project = {"name": "my-thing", "dependencies": ["numpy>=2"]}
    lite._lock(folder, wheels, project, distribution)
    return json.loads((folder / "pyodide-lock.json").read_text(encoding="utf-8"))["packages"]


def test_what_is_not_beside_the_page_comes_from_the_distribution(tmp_path):
    told = lock_in(tmp_path, [made(tmp_path, "my-thing", "1", ["numpy"])], "https://example.org/full/")
    assert told["my-thing"]["file_name"] == "my_thing-1-py3-none-any.whl"
    assert told["numpy"]["file_name"] == "https://example.org/full/numpy-2.4.6-cp314-cp314-pyemscripten_2026_0_wasm32.whl"


def test_from_a_folder_only_what_is_needed_is_copied_and_nobody_is_asked(tmp_path):
    core, files = tmp_path / "core", tmp_path / "files"
    core.mkdir(), files.mkdir()
    (files / LOCK["packages"]["numpy"]["file_name"]).write_bytes(b"compiled")
    told = lock_in(core, [made(core, "my-thing", "1", ["numpy"])], str(files))
    assert set(told) == {"my-thing", "numpy"} and not re.search("https?:", json.dumps(told))
    assert (core / told["numpy"]["file_name"]).read_bytes() == b"compiled"


def test_a_list_that_is_too_old_is_refused(tmp_path):
    (tmp_path / "pyodide-lock.json").write_text(json.dumps(LOCK), encoding="utf-8")
    with pytest.raises(ValueError, match=r"numpy>=3 \(there is 2.4.6\); pin a newer kernel"):
        lite._lock(tmp_path, [], {"name": "my-thing", "dependencies": ["numpy>=3"]}, "https://example.org")


# -- parts and the command --------------------------------------------------------------------------------------------


def test_the_builder_is_pinned_and_not_in_the_environment():
    """One version each: the kernel fixes Pyodide, and Pyodide's list the rest."""
    pins = PROJECT["dependency-groups"]["lite"]
    assert [re.fullmatch(r"(jupyterlite-[a-z-]+)==[\d.]+", pin).group(1) for pin in pins] == [
        "jupyterlite-core", "jupyterlite-pyodide-kernel"]
    everything = PROJECT["project"]["dependencies"] + PROJECT["project"]["optional-dependencies"]["test"]
    assert not [text for text in everything if "jupyterlite" in text]


def test_without_npm_the_cure_is_told(tmp_path, monkeypatch):
    monkeypatch.setattr(lite_parts.shutil, "which", lambda name: None)
    with pytest.raises(ValueError, match=r"comes by npm, which is not on this machine.*pyodide 9\.9"):
        lite_parts._npm(tmp_path, "9.9")


def test_a_part_that_cannot_be_fetched_is_told_in_words():
    with pytest.raises(ValueError, match="a part could not be fetched .*no such thing.*is the network on"):
        lite_parts._said([sys.executable, "-c", "raise SystemExit('no such thing')"])


def test_a_folder_that_holds_something_else_is_left_alone(tmp_path, monkeypatch, capsys):
    monkeypatch.setenv(shell.READY, "1")
    (tmp_path / "thesis.txt").write_text("years of work", encoding="utf-8")
    assert shell.run(["lite", "--out", str(tmp_path), "--parts", str(tmp_path / "parts")]) == 2
    assert "holds something else" in capsys.readouterr().err
    assert [path.name for path in tmp_path.iterdir()] == ["thesis.txt"]


# -- the built folder, in a browser -----------------------------------------------------------------------------------

needs_build = pytest.mark.skipif(not BUILT, reason="no built folder is named in SPINLAB_LITE (python3 -m spinlab lite)")
needs_browser = pytest.mark.skipif(bool(b.why_not()), reason=b.why_not() or "a browser is here")


@needs_build
def test_what_is_beside_the_page_is_what_the_list_says():
    folder = Path(BUILT) / "static" / "pyodide"
    told = json.loads((folder / "pyodide-lock.json").read_text(encoding="utf-8"))["packages"]
    near = [package for package in told.values() if "://" not in package["file_name"]]
    assert {"wedge-spinlab", "ipywidgets", "anywidget", "micropip", "ipython"} <= {package["name"] for package in near}
    for package in near:
        assert hashlib.sha256((folder / package["file_name"]).read_bytes()).hexdigest() == package["sha256"]
    whole = lite_lock.closure(told, "wedge-spinlab").values()
    assert {package["name"].lower() for package in whole if package not in near} <= COMPILED
    assert {path.name for path in ROOT.glob("notebooks/*.ipynb")} == {
        path.name for path in Path(BUILT).glob("files/notebooks/*.ipynb")}


def asked(page, code):
    """What a console says to a line."""
    box = page.locator(".jp-CodeConsole-input .cm-content")
    box.wait_for(timeout=60000)
    box.click()
    page.keyboard.insert_text(code)
    page.keyboard.press("Shift+Enter")
    cell = page.locator(".jp-CodeConsole-content .jp-CodeCell").filter(has_text=code)
    cell.filter(has_text=re.compile(r"\[\d+\]:")).first.wait_for(timeout=120000)
    return cell.locator(".jp-OutputArea").inner_text()


@needs_build
@needs_browser
def test_the_kernel_starts_and_knows_this_package_with_the_network_off(tmp_path):
    """The lessons are listed, the kernel runs from what lies in the folder, the data are read, a widget shows; only NumPy
    and its like are asked for elsewhere, and without them what needs none of them goes on."""
    serve = ("-u", "-m", "http.server", "0", "--bind", "127.0.0.1", "--directory", os.path.abspath(BUILT))
    with b.server(tmp_path, *serve, ready=r"http://127\.0\.0\.1:\d+") as address, b.browser() as chrome:
        seen = b.Watched(chrome, width=1280, height=800)
        seen.context.route(lambda url: "://127.0.0.1" not in url, lambda route: route.abort())
        page = seen.page
        page.goto(f"{address}/lab/index.html?path=notebooks/00_start_here.ipynb")
        page.get_by_role("heading", name="Why do pitch shots spin").first.wait_for(timeout=60000)
        listed = page.locator(".jp-DirListing-item").all_inner_texts()
        assert len([name for name in listed if ".ipynb" in name or re.match(r"\d\d_", name)]) == 10
        page.get_by_role("menuitem", name="File", exact=True).click()
        page.get_by_role("menuitem", name="New Console for Notebook").click()
        assert "(3, 14)" in asked(page, "import sys; sys.version_info[:2]")
        assert "pitch_states.csv" in asked(page, "import os; os.listdir('../data')")
        assert seen.away == [], "the kernel itself starts from the folder"
        asked(page, "import spinlab")
        assert "20.1168" in asked(page, "from spinlab.units import mph; 45*mph")
        asked(page, "from spinlab.files import write_atomically")
        assert "b'abc'" in asked(page, "write_atomically('a', b'abc').read_bytes()")
        show = "import anywidget; anywidget.AnyWidget(_esm='export default {render({el}) {el.append(6*7)}}')"
        asked(page, show)
        page.locator(".jp-OutputArea-output").get_by_text("42", exact=True).wait_for(timeout=20000)
        missed = {re.split(r"[-_]", url.rsplit("/", 1)[1])[0] for url in seen.away}
        assert "numpy" in missed and missed <= COMPILED
        seen.close()
