"""Setting up: what is wanted, where things are, what is said when it goes wrong.  Needs no network and no Windows."""

import json
import os
import subprocess
import sys
from pathlib import Path, PureWindowsPath

import pytest

from spinlab import bootstrap, installing
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
    """An installer that only notes what it was asked for; like the real one it lets the environment find the package."""
    asked = []

    def install(root, what, say):
        asked.append(what)
        packages = next((root / ".venv").glob("lib/python*/site-packages" if os.name != "nt" else "Lib/site-packages"))
        (packages / "here.pth").write_text(str(root), encoding="utf-8")

    monkeypatch.setattr(installing, "install", install)
    monkeypatch.setattr(installing, "make", lambda home: subprocess.run(
        [sys.executable, "-m", "venv", "--without-pip", str(home)], check=True))
    return asked


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
    given = {"PYTHONHOME": "a", "PYTHONPATH": "b", "PIP_TARGET": "c", "PATH": "d", "PIP_NO_INDEX": "1"}
    kept = bootstrap.clean_environment(given)
    assert kept == {"PATH": "d", "PIP_NO_INDEX": "1"}


# -- what is wanted ---------------------------------------------------------------------------------------------------


def test_the_hash_follows_the_requirements_only(clone):
    before = bootstrap.wanted(clone, True)
    (clone / "pyproject.toml").write_text(PROJECT + "[tool.ruff]\nline-length = 99\n")
    assert bootstrap.wanted(clone, True) == before != bootstrap.wanted(clone, False)
    (clone / "pyproject.toml").write_text(PROJECT.replace("numpy>=1.0", "numpy>=2.0"))
    assert bootstrap.wanted(clone, True) != before


def test_missing_names_what_is_absent_or_too_old():
    told = bootstrap.missing(["pytest>=1.0", "pytest>=999.1", "no-such-thing-at-all>=1"])
    assert len(told) == 2 and told[0].startswith("pytest>=999.1 (there is ") and told[1] == "no-such-thing-at-all>=1"


# -- setting up and mending -------------------------------------------------------------------------------------------


def test_first_start_sets_up_and_the_second_does_nothing(clone, pip):
    said = []
    python = bootstrap.ensure(clone, say=said.append)
    assert python.exists() and pip == [["setuptools>=77", "-e", "."]] and said
    assert bootstrap.ensure(clone, say=quiet) == python and len(pip) == 1


def test_tests_need_more_and_what_served_the_tests_serves_a_start(clone, pip):
    bootstrap.ensure(clone, say=quiet)
    bootstrap.ensure(clone, test=True, say=quiet)
    assert [what[-1] for what in pip] == [".", ".[test]"]
    bootstrap.ensure(clone, say=quiet)
    assert len(pip) == 2


def test_changed_requirements_are_installed_on_top(clone, pip):
    kept = bootstrap.ensure(clone, say=quiet).parent / "of the user"
    kept.touch()
    (clone / "pyproject.toml").write_text(PROJECT.replace("numpy>=1.0", "numpy>=1.1"))
    bootstrap.ensure(clone, say=quiet)
    assert len(pip) == 2 and kept.exists()


def test_an_interrupted_setup_is_made_afresh(clone, pip, monkeypatch):
    good = installing.install

    def torn(root, what, say):
        (root / ".venv" / "half a package").touch()
        raise KeyboardInterrupt

    monkeypatch.setattr(installing, "install", torn)
    with pytest.raises(KeyboardInterrupt):
        bootstrap.ensure(clone, say=quiet)
    assert not bootstrap.ready(clone)
    monkeypatch.setattr(installing, "install", good)
    bootstrap.ensure(clone, say=quiet)
    assert bootstrap.ready(clone) and not (clone / ".venv" / "half a package").exists()


def test_an_environment_whose_python_is_gone_is_made_afresh(clone, pip):
    python = bootstrap.ensure(clone, say=quiet)
    python.unlink()
    python.symlink_to("nowhere/python")
    bootstrap.ensure(clone, say=quiet)
    assert bootstrap.ready(clone) and len(pip) == 2


def test_an_environment_of_ones_own_is_filled_not_thrown_away(clone, pip):
    subprocess.run([sys.executable, "-m", "venv", "--without-pip", str(clone / ".venv")], check=True)
    own = clone / ".venv" / "of the user"
    own.touch()
    bootstrap.ensure(clone, say=quiet)
    assert bootstrap.ready(clone) and own.exists()


def test_a_moved_folder_is_mended_without_fetching(clone, pip):
    bootstrap.ensure(clone, say=quiet)
    moved = clone.rename(clone.parent / "elsewhere")
    assert not bootstrap.ready(moved)
    bootstrap.ensure(moved, say=quiet)
    assert bootstrap.ready(moved) and pip[1:] == [["--no-deps", "--no-build-isolation", "-e", "."]]


def test_a_copied_folder_does_not_use_the_first_ones_files(clone, pip):
    import shutil

    bootstrap.ensure(clone, say=quiet)
    copied = Path(shutil.copytree(clone, clone.parent / "copy", symlinks=True))
    assert bootstrap.ready(clone) and not bootstrap.ready(copied)


@pytest.mark.parametrize("stamp", ["", "[]", '{"wanted": 5}', "null", "\x00"])
def test_a_spoilt_stamp_counts_as_none(clone, pip, stamp):
    bootstrap.ensure(clone, say=quiet)
    (clone / ".venv" / bootstrap.STAMP).write_text(stamp)
    assert not bootstrap.ready(clone)
    bootstrap.ensure(clone, say=quiet)
    assert bootstrap.ready(clone)


@pytest.mark.skipif(os.name == "nt", reason="uses the lock of other systems")
def test_a_second_start_waits_for_the_first(clone, pip, monkeypatch):
    import fcntl

    holder = open(clone / ".venv.lock", "a")  # noqa: SIM115
    fcntl.flock(holder, fcntl.LOCK_EX)
    waits = []
    monkeypatch.setattr(bootstrap.time, "sleep", lambda seconds: (waits.append(seconds), holder.close()))
    said = []
    bootstrap.ensure(clone, say=said.append)
    assert waits == [0.5] and "Another start is setting up" in said[0]


# -- trouble ----------------------------------------------------------------------------------------------------------


def test_a_nearly_full_disk_is_told_before_anything_is_made(clone, pip, monkeypatch):
    from collections import namedtuple

    monkeypatch.setattr(bootstrap.shutil, "disk_usage", lambda path: namedtuple("u", "total used free")(1, 1, 3e8))
    with pytest.raises(Trouble, match=r"about 1\.2 GB .* 0\.3 GB are free"):
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
    (clone / ".venv").mkdir()
    with pytest.raises(Trouble, match="disk is full"):
        installing.install(clone, ["x"], quiet)
    assert "Errno 28" in (clone / ".venv" / installing.LOG).read_text()


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
    assert json.loads((clone / ".venv" / bootstrap.STAMP).read_text()) == {"wanted": bootstrap.wanted(clone, False)}
