"""Setting up: what is wanted, where things are, what is said when it goes wrong.  Needs no network and no Windows."""

import importlib.util
import json
import os
import shutil
import subprocess
import sys
import zipfile
from pathlib import Path, PureWindowsPath

import pytest

from spinlab import bootstrap, installed, installing
from spinlab.bootstrap import Trouble

ROOT = Path(__file__).resolve().parent.parent
PROJECT = '[project]\nname = "x"\ndependencies = ["numpy>=1.0"]\n[project.optional-dependencies]\ntest = ["pytest>=1.0"]\n'


@pytest.fixture
def clone(tmp_path):
    """A folder with spaces and accents that looks like a fresh clone."""
    root = tmp_path / "mes leçons à moi"
    (root / "spinlab").mkdir(parents=True)
    (root / "spinlab" / "__init__.py").write_text("")
    (root / "pyproject.toml").write_text(PROJECT)
    return root


@pytest.fixture
def pip(monkeypatch):
    """An installer that only notes what it was asked for, and environments that are always found whole."""
    asked = []

    def install(root, home, what, say, patient=True):
        asked.append(what)

    monkeypatch.setattr(installing, "install", install)
    monkeypatch.setattr(installing, "make", lambda home: subprocess.run(
        [sys.executable, "-m", "venv", "--clear", "--without-pip", str(home)], check=True))
    monkeypatch.setattr(bootstrap, "lacking", lambda python, wanted: [])
    return asked


def no_network(*args, **more):
    """What installing says at the venue."""
    raise Trouble("The packages could not be fetched")


def change(clone, text):
    """The project file asks for something else from now on."""
    (clone / "pyproject.toml").write_text(PROJECT.replace("numpy>=1.0", text))


def quiet(words):
    """Nobody listens."""


# -- Python -----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("version", [(3, 6, 15), (3, 9), (3, 10, 13)])
def test_an_old_python_is_told_so(version):
    with pytest.raises(Trouble, match=r"Python 3\.11 or newer is needed, this is 3\."):
        bootstrap.check_python(version)


@pytest.mark.parametrize("version", [(3, 11), (3, 13, 1), (4, 0)])
def test_there_is_no_upper_bound(version):
    assert bootstrap.check_python(version) is None


@pytest.mark.parametrize("name", ["__init__", "__main__", "bootstrap", "installing"])
def test_what_an_old_python_reads_has_only_old_grammar(name):
    import ast

    ast.parse((ROOT / "spinlab" / f"{name}.py").read_text(encoding="utf-8"), feature_version=(3, 6))


@pytest.mark.parametrize("name", ["__init__", "__main__", "bootstrap", "installing"])
def test_setting_up_uses_the_standard_library_alone(name):
    import ast

    tree = ast.parse((ROOT / "spinlab" / f"{name}.py").read_text(encoding="utf-8"))
    used = {alias.name.split(".")[0] for node in ast.walk(tree) if isinstance(node, ast.Import) for alias in node.names}
    used |= {node.module.split(".")[0] for node in ast.walk(tree) if isinstance(node, ast.ImportFrom) and not node.level}
    assert used <= set(sys.stdlib_module_names) and used if name != "__init__" else used <= set(sys.stdlib_module_names)


# -- paths ------------------------------------------------------------------------------------------------------------


def test_windows_keeps_python_in_scripts():
    home = PureWindowsPath(r"C:\Users\Zoë Müller\my lessons\.venv")
    assert str(bootstrap.python_of(home, windows=True)) == r"C:\Users\Zoë Müller\my lessons\.venv\Scripts\python.exe"


def test_elsewhere_in_bin():
    assert bootstrap.python_of(Path("a b/.venv"), windows=False) == Path("a b/.venv/bin/python")


def test_windows_waits_for_the_child_and_passes_its_end_on(monkeypatch):
    import signal

    called = {}
    monkeypatch.setattr(bootstrap.os, "name", "nt")
    monkeypatch.setattr(signal, "signal", lambda *a: None)
    monkeypatch.setattr(bootstrap.subprocess, "call", lambda command, **more: called.update(command=command, **more) or 7)
    with pytest.raises(SystemExit) as end:
        bootstrap.become(["python.exe", "-m", "x"], "folder", {"A": "1"})
    assert end.value.code == 7 and called["command"] == ["python.exe", "-m", "x"] and called["env"]["A"] == "1"


def test_a_child_is_not_led_into_another_pythons_packages():
    given = {"PYTHONHOME": "a", "PYTHONPATH": "b", "PIP_TARGET": "c", "PATH": "d", "PIP_NO_INDEX": "1", "PIP_NO_DEPS": "1"}
    kept = bootstrap.clean_environment(given)
    assert kept == {"PATH": "d", "PIP_NO_INDEX": "1"}


# -- what is wanted ---------------------------------------------------------------------------------------------------


def test_the_hash_follows_the_requirements_only(clone):
    before = bootstrap.wanted(clone, True)
    (clone / "pyproject.toml").write_text(PROJECT + "[tool.ruff]\nline-length = 99\n")
    assert bootstrap.wanted(clone, True) == before != bootstrap.wanted(clone, False)
    (clone / "pyproject.toml").write_text(PROJECT.replace("numpy>=1.0", "numpy>=2.0"))
    assert bootstrap.wanted(clone, True) != before


# -- setting up, mending, renewing ------------------------------------------------------------------------------------


def test_first_start_sets_up_and_the_second_does_nothing(clone, pip):
    said = []
    python = bootstrap.ensure(clone, say=said.append)
    assert python == bootstrap.python_of(clone / ".venv") and python.exists()
    assert pip == [["numpy>=1.0"]] and said[-1].startswith("All is in place")
    assert bootstrap.ensure(clone, say=quiet) == python and len(pip) == 1
    assert not (clone / bootstrap.NEXT).exists() and not (clone / bootstrap.FORMER).exists()


def test_tests_need_more_and_what_served_the_tests_serves_a_start(clone, pip):
    bootstrap.ensure(clone, say=quiet)
    bootstrap.ensure(clone, test=True, say=quiet)
    assert pip == [["numpy>=1.0"], ["numpy>=1.0", "pytest>=1.0"]]
    bootstrap.ensure(clone, say=quiet)
    assert len(pip) == 2


def test_while_a_new_environment_is_built_the_old_one_is_whole(clone, pip, monkeypatch):
    old = bootstrap.ensure(clone, say=quiet).parent / "of the old one"
    old.touch()
    seen = []
    monkeypatch.setattr(installing, "install", lambda root, home, what, say, patient: seen.append(
        (home.name, old.exists(), bootstrap.serves(root), patient)))
    change(clone, "numpy>=1.1")
    bootstrap.ensure(clone, say=quiet)
    assert seen == [(bootstrap.NEXT, True, True, False)]
    assert bootstrap.ready(clone) and not old.exists() and not (clone / bootstrap.NEXT).exists()


def test_without_network_the_old_environment_goes_on_and_says_what_is_late_at_every_start(clone, pip, monkeypatch):
    python = bootstrap.ensure(clone, say=quiet)
    monkeypatch.setattr(installing, "install", no_network)
    monkeypatch.setattr(bootstrap, "lacking", lambda python, wanted: ["numpy>=1.1 (there is 1.0)"])
    change(clone, "numpy>=1.1")
    for _ in range(3):
        said = []
        assert bootstrap.ensure(clone, say=said.append) == python
        assert bootstrap.serves(clone) and not (clone / bootstrap.NEXT).exists()
        assert "could not be fetched" in said[-2] and said[-1].endswith("Out of date: numpy>=1.1 (there is 1.0).")


@pytest.mark.parametrize("first", [False, True])
def test_tests_go_on_in_an_old_environment_only_where_it_was_made_for_them(clone, pip, monkeypatch, first):
    bootstrap.ensure(clone, test=first, say=quiet)
    monkeypatch.setattr(installing, "install", no_network)
    change(clone, "numpy>=1.1")
    if first:
        assert bootstrap.ensure(clone, test=True, say=quiet).exists()
    else:
        with pytest.raises(Trouble, match="could not be fetched"):
            bootstrap.ensure(clone, test=True, say=quiet)
    assert bootstrap.ensure(clone, say=quiet).exists()


def test_without_network_and_without_an_environment_there_is_trouble(clone, pip, monkeypatch):
    monkeypatch.setattr(installing, "install", no_network)
    with pytest.raises(Trouble, match="could not be fetched"):
        bootstrap.ensure(clone, say=quiet)
    assert not (clone / ".venv").exists() and not (clone / bootstrap.NEXT).exists()


def test_what_is_not_in_place_is_never_called_so(clone, pip, monkeypatch):
    said = []
    monkeypatch.setattr(bootstrap, "lacking", lambda python, wanted: ["numpy>=1.0"])
    with pytest.raises(Trouble, match="not in place: numpy>=1.0"):
        bootstrap.ensure(clone, say=said.append)
    assert not bootstrap.ready(clone) and not any("in place" in words for words in said)


def test_an_interrupted_setup_is_made_afresh(clone, pip, monkeypatch):
    good = installing.install

    def torn(root, home, what, say, patient):
        (home / "half a package").touch()
        raise KeyboardInterrupt

    monkeypatch.setattr(installing, "install", torn)
    with pytest.raises(KeyboardInterrupt):
        bootstrap.ensure(clone, say=quiet)
    assert not bootstrap.ready(clone) and (clone / bootstrap.NEXT / "half a package").exists()
    monkeypatch.setattr(installing, "install", good)
    bootstrap.ensure(clone, say=quiet)
    assert bootstrap.ready(clone) and not (clone / ".venv" / "half a package").exists()


def test_stopped_between_the_two_steps_of_a_change_nothing_is_lost(clone, pip, monkeypatch):
    bootstrap.ensure(clone, say=quiet)
    (clone / ".venv").rename(clone / bootstrap.FORMER)
    monkeypatch.setattr(installing, "install", no_network)
    bootstrap.ensure(clone, say=quiet)
    assert bootstrap.ready(clone) and not (clone / bootstrap.FORMER).exists()


def test_a_new_environment_that_cannot_take_the_place_yet_is_kept_for_the_next_start(clone, pip, monkeypatch):
    """Windows renames no folder whose programs run."""
    bootstrap.ensure(clone, say=quiet)
    change(clone, "numpy>=1.1")
    replace = Path.replace
    monkeypatch.setattr(Path, "replace", lambda path, to: replace(path, to) if path.name != bootstrap.NEXT else no_rename())

    def no_rename():
        raise PermissionError(13, "Access is denied")

    said = []
    bootstrap.ensure(clone, say=said.append)
    assert "Close the lessons that are open" in said[-2] and bootstrap.serves(clone) and not bootstrap.ready(clone)
    monkeypatch.undo()
    monkeypatch.setattr(installing, "install", no_network)
    bootstrap.ensure(clone, say=quiet)
    assert bootstrap.ready(clone)


def test_an_environment_whose_python_is_gone_is_made_afresh(clone, pip):
    python = bootstrap.ensure(clone, say=quiet)
    python.unlink()
    python.symlink_to("nowhere/python")
    bootstrap.ensure(clone, say=quiet)
    assert bootstrap.ready(clone) and len(pip) == 2


def test_an_environment_of_ones_own_is_filled_not_thrown_away_also_later(clone, pip, monkeypatch):
    subprocess.run([sys.executable, "-m", "venv", "--without-pip", str(clone / ".venv")], check=True)
    own = clone / ".venv" / "of the user"
    own.touch()
    bootstrap.ensure(clone, say=quiet)
    assert bootstrap.ready(clone) and own.exists()
    change(clone, "numpy>=1.1")
    bootstrap.ensure(clone, say=quiet)
    assert bootstrap.ready(clone) and own.exists()
    change(clone, "numpy>=1.2")
    monkeypatch.setattr(installing, "install", no_network)
    bootstrap.ensure(clone, say=quiet)
    assert bootstrap.serves(clone) and own.exists()


@pytest.mark.parametrize("copied", [False, True])
def test_a_moved_or_copied_folder_works_at_once_with_its_own_files(clone, pip, copied):
    bootstrap.ensure(clone, say=quiet)
    there = clone.parent / "elsewhere"
    shutil.copytree(clone, there, symlinks=True) if copied else clone.rename(there)
    assert bootstrap.ready(there) and (not copied or bootstrap.ready(clone))


def test_an_environment_that_lost_its_way_to_the_package_is_pointed_there_again(clone, pip):
    bootstrap.ensure(clone, say=quiet)
    next((clone / ".venv").rglob("0-spinlab.pth")).unlink()
    assert not bootstrap.ready(clone)
    bootstrap.ensure(clone, say=quiet)
    assert bootstrap.ready(clone) and len(pip) == 1


@pytest.mark.skipif(os.name == "nt", reason="scripts of other systems")
def test_scripts_name_the_place_the_environment_has_in_the_end(clone, pip, monkeypatch):
    def install(root, home, what, say, patient):
        script = home / "bin" / "tell"
        script.write_text(f"#!/bin/sh\nexec '{home}/bin/python' -c 'print(6)'\n", encoding="utf-8")
        script.chmod(0o755)

    monkeypatch.setattr(installing, "install", install)
    bootstrap.ensure(clone, say=quiet)
    assert subprocess.run([clone / ".venv" / "bin" / "tell"], capture_output=True).stdout == b"6\n"
    assert str(clone / bootstrap.NEXT) not in (clone / ".venv" / "bin" / "activate").read_text(encoding="utf-8")
    assert len(bootstrap.HOME) == len(bootstrap.NEXT)


@pytest.mark.parametrize("stamp", ["", "[]", '{"wanted": 5}', "null", "\x00"])
def test_a_spoilt_stamp_counts_as_none(clone, pip, stamp):
    bootstrap.ensure(clone, say=quiet)
    (clone / ".venv" / bootstrap.STAMP).write_text(stamp)
    assert not bootstrap.ready(clone)
    bootstrap.ensure(clone, say=quiet)
    assert bootstrap.ready(clone)


@pytest.mark.parametrize("works", [True, False])
def test_the_engine_is_compiled_before_the_environment_is_called_whole(clone, pip, works):
    warm = clone / "spinlab" / "panels" / "warm.py"
    warm.parent.mkdir()
    (warm.parent / "__init__.py").touch()
    warm.write_text("print('compiled')" if works else "raise SystemExit('no compiler')")
    said = []
    if works:
        bootstrap.ensure(clone, say=said.append)
        assert "compiled" in said and bootstrap.ready(clone)
    else:
        with pytest.raises(Trouble, match="engine cannot be compiled: no compiler"):
            bootstrap.ensure(clone, say=said.append)
        assert not (clone / ".venv").exists()


@pytest.mark.skipif(os.name == "nt", reason="uses the lock of other systems")
def test_a_second_start_waits_for_the_first(clone, pip, monkeypatch):
    import fcntl

    holder = open(clone / ".venv.lock", "a")  # noqa: SIM115
    fcntl.flock(holder, fcntl.LOCK_EX)
    waits, sleep = [], bootstrap.time.sleep

    def wait(seconds):
        waits.append(seconds)
        holder.close()
        monkeypatch.setattr(bootstrap.time, "sleep", sleep)

    monkeypatch.setattr(bootstrap.time, "sleep", wait)
    said = []
    bootstrap.ensure(clone, say=said.append)
    assert waits == [0.5] and "Another start is setting up" in said[0]


# -- trouble ----------------------------------------------------------------------------------------------------------


def test_a_nearly_full_disk_is_told_before_anything_is_made(clone, pip, monkeypatch):
    from collections import namedtuple

    monkeypatch.setattr(bootstrap.shutil, "disk_usage", lambda path: namedtuple("u", "total used free")(1, 1, 3e8))
    with pytest.raises(Trouble, match=r"about 1\.5 GB .* 0\.3 GB are free"):
        bootstrap.ensure(clone, say=quiet)
    assert not (clone / ".venv").exists() and not pip


@pytest.mark.parametrize("error", [PermissionError(13, "Permission denied"), OSError(30, "Read-only file system")])
def test_a_folder_that_cannot_be_written(clone, pip, monkeypatch, error):
    def refuse(*args, **more):
        raise error

    monkeypatch.setattr("builtins.open", refuse)
    with pytest.raises(Trouble, match="cannot be written to. Copy the project"):
        bootstrap.ensure(clone, say=quiet)


@pytest.mark.parametrize(("line", "words"), [
    ("ERROR: Could not install packages due to an OSError: [Errno 28] No space left on device", "The disk is full"),
    ("ERROR: Could not install packages due to an OSError: [WinError 5] Access is denied: 'x'", "cannot be written to"),
    ("WARNING: Retrying after connection broken by 'NewConnectionError(...): Temporary failure in name resolution'",
     "is the network on"),
    ("ERROR: No matching distribution found for setuptools>=77", "is the network on"),
    ("ssl.SSLCertVerificationError: [SSL: CERTIFICATE_VERIFY_FAILED]", "certificate is not trusted"),
    ("error: something nobody has seen", "something nobody has seen"),
])
def test_what_pip_says_becomes_plain_words(tmp_path, line, words):
    """The lines are pip's own, as printed by pip 24 [M]."""
    assert words in installing._of_pip("Collecting numpy\n" + line + "\n\n", tmp_path / "log")


def test_a_failed_install_leaves_its_log_and_no_traceback(clone, monkeypatch):
    failing = [sys.executable, "-c", "print('[Errno 28]'); raise SystemExit(1)"]
    monkeypatch.setattr(installing, "_installer", lambda home: failing)
    with pytest.raises(Trouble, match="disk is full"):
        installing.install(clone, clone / ".venv", ["x"], quiet)
    assert "Errno 28" in (clone / installing.LOG).read_text()


def test_without_ensurepip_the_pythons_own_pip_installs(tmp_path, monkeypatch):
    asked = []

    def run(command, **more):
        asked.append(command)
        return subprocess.CompletedProcess(command, 0, stdout=b"pip 22.3.1 from somewhere (python 3.11)")

    monkeypatch.setattr(installing.subprocess, "call", lambda *a, **more: 1)
    monkeypatch.setattr(installing.subprocess, "run", run)
    assert installing._installer(tmp_path) == [sys.executable, "-m", "pip", "--python", str(installing.python_of(tmp_path))]
    assert asked


def test_a_pip_too_old_for_that_is_told(tmp_path, monkeypatch):
    old = subprocess.CompletedProcess([], 0, stdout=b"pip 20.3.4 from somewhere (python 3.9)")
    monkeypatch.setattr(installing.subprocess, "call", lambda *a, **more: 1)
    monkeypatch.setattr(installing.subprocess, "run", lambda *a, **more: old)
    with pytest.raises(Trouble, match="python3-venv"):
        installing._installer(tmp_path)


def test_venv_falls_back_to_an_environment_without_pip(tmp_path, monkeypatch):
    tried = []

    def run(command, **more):
        tried.append(command)
        return subprocess.CompletedProcess(command, "--without-pip" not in command, stdout=b"ensurepip is not available")

    monkeypatch.setattr(installing.subprocess, "run", run)
    installing.make(tmp_path / ".venv")
    assert ["--without-pip" in command for command in tried] == [False, True]


def test_no_venv_at_all_is_told_with_the_cure(tmp_path, monkeypatch):
    failed = subprocess.CompletedProcess([], 1, stdout=b"/usr/bin/python3: No module named venv\n")
    monkeypatch.setattr(installing.subprocess, "run", lambda *a, **more: failed)
    with pytest.raises(Trouble, match="No module named venv.*apt install python3-venv"):
        installing.make(tmp_path / ".venv")


def test_the_progress_is_a_few_plain_words():
    said = []
    tell = installing._teller(said.append)
    for k in range(90):
        tell(f"Collecting thing{k}>=1 (from wedge-spinlab)")
    tell("Installing collected packages: a, b, c")
    found, last = said[:2], said[2:]
    assert found == ["  40 packages found so far …", "  80 packages found so far …"]
    assert last == ["  3 packages are here; putting them in place …"]


def test_the_stamp_is_plain(clone, pip):
    bootstrap.ensure(clone, say=quiet)
    assert json.loads((clone / ".venv" / bootstrap.STAMP).read_text()) == {
        "wanted": bootstrap.wanted(clone, False), "test": False, "made": True}


# -- a real pip, with packages from a folder --------------------------------------------------------------------------


def wheel(folder, name, version, *needs):
    """A package of one module, as an archive that pip installs."""
    about = f"{name}-{version}.dist-info"
    files = {f"{name}/__init__.py": "",
             f"{about}/METADATA": f"Metadata-Version: 2.1\nName: {name}\nVersion: {version}\n"
             + "".join(f"Requires-Dist: {need}\n" for need in needs),
             f"{about}/WHEEL": "Wheel-Version: 1.0\nGenerator: test\nRoot-Is-Purelib: true\nTag: py3-none-any\n"}
    files[f"{about}/RECORD"] = "".join(f"{path},,\n" for path in [*files, f"{about}/RECORD"])
    with zipfile.ZipFile(folder / f"{name}-{version}-py3-none-any.whl", "w") as archive:
        for path, text in files.items():
            archive.writestr(path, text)


@pytest.fixture(scope="module")
def empty(tmp_path_factory):
    """An environment with pip alone."""
    if importlib.util.find_spec("ensurepip") is None:
        pytest.skip("this Python gives environments no pip")
    home = tmp_path_factory.mktemp("empty") / bootstrap.NEXT
    installing.make(home)
    return home


@pytest.fixture
def shop(clone, empty, monkeypatch):
    """The only place that pip may fetch from."""
    monkeypatch.setattr(installing, "make", lambda home: shutil.copytree(empty, home, symlinks=True))
    folder = clone.parent / "shop"
    folder.mkdir()
    wheel(folder, "outer", "1.0", "inner>=2", 'never>=1; python_version < "3"', 'more>=1; extra == "all"')
    wheel(folder, "inner", "2.0")
    wheel(folder, "more", "1.0")
    monkeypatch.setenv("PIP_NO_INDEX", "1")
    monkeypatch.setenv("PIP_FIND_LINKS", str(folder))
    change(clone, "outer>=1.0")
    return folder


def in_place(clone, name):
    """Can the environment's Python load it?"""
    return bootstrap._runs(clone / ".venv", f"import {name}")


def test_a_laptop_without_network_and_with_a_changed_project_file_starts_again_and_again(clone, shop):
    bootstrap.ensure(clone, say=quiet)
    assert in_place(clone, "outer") and in_place(clone, "inner")
    (shop / "outer-1.0-py3-none-any.whl").rename(shop / "away")  # the network is gone
    change(clone, "outer>=1.5")
    for _ in range(2):
        said = []
        bootstrap.ensure(clone, say=said.append)
        assert said[-1] == "Going on with the packages that are here. Out of date: outer>=1.5 (there is 1.0)."
        assert in_place(clone, "outer")
    wheel(shop, "outer", "1.5", "inner>=2")  # and back again
    bootstrap.ensure(clone, say=quiet)
    assert bootstrap.ready(clone) and bootstrap.lacking(bootstrap.python_of(clone / ".venv"), ["outer>=1.5"]) == []


def test_settings_of_pip_cannot_make_it_say_what_is_not_so(clone, shop, monkeypatch, tmp_path):
    constraint = tmp_path / "constraint"
    constraint.write_text("inner<2\n")
    for name, value in {"NO_DEPS": "1", "CONSTRAINT": str(constraint), "DRY_RUN": "1", "TARGET": str(tmp_path / "x"),
                        "ROOT": str(tmp_path / "y"), "PYTHON": sys.executable, "USER": "1"}.items():
        monkeypatch.setenv("PIP_" + name, value)
    bootstrap.ensure(clone, say=quiet)
    assert in_place(clone, "outer") and in_place(clone, "inner")
    settings = tmp_path / "pip.conf"
    settings.write_text("[install]\nno-deps = true\n")
    monkeypatch.setenv("PIP_CONFIG_FILE", str(settings))
    shutil.rmtree(clone / ".venv")
    with pytest.raises(Trouble, match="not in place: inner>=2"):
        bootstrap.ensure(clone, say=quiet)


# -- what is really installed -----------------------------------------------------------------------------------------


@pytest.fixture
def packages(tmp_path, monkeypatch):
    """A folder of packages of this Python: outer 1.0 needs inner 2."""
    for name, version, needs in (("outer", "1.0", ("inner>=2", 'more>=1; extra == "all"')), ("inner", "2.0", ())):
        wheel(tmp_path, name, version, *needs)
        with zipfile.ZipFile(tmp_path / f"{name}-{version}-py3-none-any.whl") as archive:
            archive.extractall(tmp_path)
    monkeypatch.syspath_prepend(str(tmp_path))
    return tmp_path


@pytest.mark.parametrize(("wanted", "told"), [
    ("outer>=1.0", []), ("outer>=1.0.1", ["outer>=1.0.1 (there is 1.0)"]),
    ("outer>=1,<2", []), ("outer<1", ["outer<1 (there is 1.0)"]),
    ("no-such-thing>=1", ["no-such-thing>=1"]), ('no-such-thing>=1; python_version < "3"', []), ("outer[all]", ["more>=1"]),
])
def test_lacking_names_what_is_absent_or_does_not_fit(packages, wanted, told):
    assert installed.lacking([wanted]) == told


def test_lacking_looks_at_what_a_package_needs_and_at_its_files(packages):
    (packages / "inner" / "__init__.py").unlink()
    assert installed.lacking(["outer"]) == ["inner>=2 (files are missing)"]
    shutil.rmtree(packages / "inner-2.0.dist-info")
    assert installed.lacking(["outer"]) == ["inner>=2"]


def test_where_nothing_can_compare_versions_nothing_is_called_installed(packages, monkeypatch):
    monkeypatch.setattr(installed, "Requirement", None)
    assert installed.lacking(["outer"]) == ["outer"]


def test_a_python_that_cannot_be_asked_lacks_everything(tmp_path):
    assert bootstrap.lacking(tmp_path / "no python", ["outer", "inner"]) == ["outer", "inner"]
