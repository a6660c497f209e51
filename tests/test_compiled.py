"""The decorator of the kernel: what it registers, where compiled code lies, life without numba."""

import os
import subprocess
import sys
import textwrap

import pytest

from spinlab.kernel import compiled

pytest.importorskip("numba", reason="nothing is compiled without numba")

MODULE = """
from spinlab.kernel.compiled import CACHE, PLAIN, REGISTRY, kernel

@kernel
def inner(x):
    return x + 1.0

@kernel
def outer(x):
    return inner(x) * 2.0

value = outer(3.0)
stats = {} if PLAIN else outer.stats
hits = sum(getattr(stats, "cache_hits", {}).values())
print(value, PLAIN, CACHE, [f.__name__ for f in REGISTRY], hits)
"""


@pytest.fixture
def run(tmp_path):
    """Runs the small module in a Python and with a cache of its own; returns what it prints."""
    module = tmp_path / "tiny_kernel.py"
    module.write_text(MODULE)

    def run(before="", **settings):
        where = {"XDG_CACHE_HOME": str(tmp_path / "cache"), "SPINLAB_PLAIN": ""}
        code = before + "\nimport sys\nsys.path.insert(0, sys.argv[1])\nimport tiny_kernel\n"
        command = [sys.executable, "-c", textwrap.dedent(code), str(tmp_path)]
        done = subprocess.run(command, text=True, capture_output=True, check=True,
                              env=os.environ | where | settings)
        return done.stdout.split(), done.stderr

    return run


def test_compiled_code_is_found_again_and_lies_below_the_users_cache(run, tmp_path):
    first, warned = run()
    second, _ = run()
    assert warned == ""
    assert first[:2] == ["8.0", "False"]
    assert first[3:-1] == ["['inner',", "'outer']"]
    assert (first[-1], second[-1]) == ("0", "1")
    kept = tmp_path / "cache" / "spinlab" / "kernel" / compiled.source_hash()
    assert first[2] == str(kept)
    assert len(list(kept.rglob("*.nbc"))) == 2


def test_plain_python_is_wanted(run):
    words, warned = run(SPINLAB_PLAIN="1")
    assert words[:3] == ["8.0", "True", "None"]
    assert warned == ""


def test_without_numba_one_line_says_so(run):
    words, warned = run(before="import sys\nsys.modules['numba'] = None")
    assert words[:3] == ["8.0", "True", "None"]
    assert len(warned.splitlines()) == 1
    assert "numba is not installed" in warned


def test_a_cache_that_cannot_be_written_is_done_without(run, tmp_path):
    (tmp_path / "cache").write_text("a file where the folder should be")
    words, warned = run()
    assert words[:3] == ["8.0", "False", "None"]
    assert warned == ""


def test_the_hash_changes_with_any_file_of_the_kernel(monkeypatch, tmp_path):
    room = tmp_path / "kernel"
    room.mkdir()
    monkeypatch.setattr(compiled, "_HERE", room)
    seen = set()
    changes = [(room / "a.py", "x"), (room / "b.py", "x"), (room / "b.py", "y"),
               (tmp_path / "records.py", "")]
    for place, text in changes:
        place.write_text(text)
        seen.add(compiled.source_hash())
    assert len(seen) == 4
    (room / "notes.txt").write_text("no source")
    assert compiled.source_hash() in seen


def test_old_folders_go_when_a_new_one_comes(tmp_path):
    for age in range(7):
        folder = tmp_path / f"old{age}"
        folder.mkdir()
        (folder / "code.nbc").write_text("")
        os.utime(folder, (1e9 - age, 1e9 - age))
    assert compiled.cache_folder(tmp_path, "old6") == tmp_path / "old6"
    assert len(list(tmp_path.iterdir())) == 7
    assert compiled.cache_folder(tmp_path, "new") == tmp_path / "new"
    assert {folder.name for folder in tmp_path.iterdir()} == {"new", "old6", "old0", "old1", "old2"}


def test_every_loop_can_be_compiled_beforehand(monkeypatch, capsys):
    """Set-up asks every loop once; a name that the catalogue does not know would end it."""
    from spinlab.physics import warm

    monkeypatch.setattr(warm.compiled, "PLAIN", False)
    monkeypatch.setattr(warm.compiled, "CACHE", "anywhere")
    warm.main()
    assert "kept for every later start" in capsys.readouterr().out
