"""Any machine: what the project file allows, and how Windows and macOS treat names, encodings and locks, shown here.

The rules of file names are those of Windows (reserved characters and names: Microsoft, "Naming Files, Paths, and
Namespaces", M); macOS hands names back decomposed (Unicode NFD, M).  `tests/trial_versions.py` installs the oldest and the
newest allowed packages and runs the suite with them.
"""

import ast
import os
import re
import subprocess
import sys
import tomllib
import types
import unicodedata
from datetime import datetime
from importlib.metadata import version
from pathlib import Path

import pytest
from packaging.requirements import Requirement

from spinlab import files
from spinlab.evidence import table
from spinlab.evidence.journal import Field, Journal, new_path, sessions

ROOT = Path(__file__).resolve().parent.parent
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
ASKED = [Requirement(text) for text in PROJECT["dependencies"] + PROJECT["optional-dependencies"]["test"]]
MODULES = sorted((ROOT / "spinlab").rglob("*.py"))
DEG = 3.141592653589793 / 180
FORBIDDEN = re.compile(r'[<>:"/\\|?*\x00-\x1f]|[ .]$|^(con|prn|aux|nul|com\d|lpt\d)(\.|$)', re.I)


@pytest.mark.parametrize("asked", ASKED, ids=lambda asked: asked.name)
def test_a_requirement_names_its_oldest_version_and_no_newest(asked):
    assert [rule.operator for rule in asked.specifier] == [">="]
    assert asked.specifier.contains(version(asked.name))


def test_the_grammar_is_that_of_the_oldest_python():
    assert PROJECT["requires-python"] == ">=3.11"
    for path in MODULES:
        ast.parse(path.read_text(encoding="utf-8"), feature_version=(3, 11))


def test_every_text_file_is_opened_with_its_encoding():
    """Without it Windows reads and writes the local code page."""
    bare = []
    for path in MODULES:
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and _opens_text(node) and "encoding" not in {word.arg for word in node.keywords}:
                bare.append(f"{path.relative_to(ROOT)}:{node.lineno}")
    assert bare == ["spinlab/installed.py:%d" % _line_of("installed.py", '("RECORD")')]  # a package's record, not a path


def _opens_text(node):
    """`read_text`, `write_text`, and any `open` that names a mode of text or, as a plain function, none of bytes."""
    name = getattr(node.func, "attr", getattr(node.func, "id", ""))
    modes = [word.value for word in [*node.args, *(k.value for k in node.keywords)] if isinstance(word, ast.Constant)
             and isinstance(word.value, str) and re.fullmatch(r"[rwaxbt+]{1,3}", word.value)]
    plain = isinstance(node.func, ast.Name) or name == "fdopen"
    return name in ("read_text", "write_text") or name in ("open", "fdopen") and (modes or plain) and not any(
        "b" in mode for mode in modes)


def _line_of(name, words):
    lines = (ROOT / "spinlab" / name).read_text(encoding="utf-8").splitlines()
    return next((k for k, line in enumerate(lines, 1) if words in line), 0)


@pytest.mark.parametrize("name", ["a: pitches?", "con", "NUL", "x.", "x ", "<b>|*", "ends with dot.", "evening\\pitches",
                                  "é" * 80, "日本", ""])
def test_names_of_sessions_suit_every_system(tmp_path, name):
    path = new_path(tmp_path, name, now=datetime(2026, 5, 4, 10, 31))
    assert not FORBIDDEN.search(path.name) and not FORBIDDEN.search(path.stem)
    assert len(path.name.encode("utf-16-le")) // 2 <= 255 and len(path.name.encode("utf-8")) <= 255


def test_names_that_differ_in_case_only_are_one_name(tmp_path):
    """As on Windows and macOS."""
    now = datetime(2026, 5, 4, 10, 31)
    new_path(tmp_path, "Evening", now=now).touch()
    assert new_path(tmp_path, "EVENING", now=now).name.casefold() != new_path(tmp_path, "Evening", now=now).name.casefold() \
        or new_path(tmp_path, "EVENING", now=now).name.endswith("(2).journal")


def test_a_session_under_a_decomposed_name_opens(tmp_path):
    path = tmp_path / unicodedata.normalize("NFD", "leçon é.journal")
    Journal.create(path, fields=[Field.of("condition"), Field.of("spin_rate")]).write("shot", cells={"condition": "é"})
    assert [len(Journal.open(found).shots) for found in sessions(tmp_path)] == [1]


def test_a_session_whose_line_ends_were_changed_opens(tmp_path):
    """Mail and version control on Windows turn line feeds into CR LF."""
    path = tmp_path / "a.journal"
    journal = Journal.create(path, fields=[Field.of("condition"), Field.of("spin_rate")])
    journal.write("shot", cells={"condition": "dry", "spin_rate": "6000"})
    path.write_bytes(path.read_bytes().replace(b"\n", b"\r\n"))
    again = Journal.open(path)
    again.write("shot", cells={"condition": "wet", "spin_rate": "4000"})
    assert [shot.cells["spin_rate"] for shot in Journal.open(path).shots.values()] == ["6000", "4000"]


@pytest.mark.parametrize("coding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "cp1252", "mac_roman"])
@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_tables_of_every_system(tmp_path, coding, end):
    path = tmp_path / "übung.csv"
    path.write_bytes(end.join(["condition,launch angle [°]", "naß,30.5", "dry,28"]).encode(coding))
    assert list(table.read(path).frame["condition"]) == ["naß", "dry"]


@pytest.mark.parametrize("coding", ["utf-8", "utf-16", "cp1252", "mac_roman"])
def test_accents_commas_and_degrees_of_every_system(coding):
    """As a spreadsheet set to German or French saves them."""
    lines = ["condition;spin [rpm];launch angle [°];note", "trocken;6450;28,5;très sec, près du trou", "naß;4100;33,0;ä ö ü"]
    read = table.read("\r\n".join(lines).encode(coding))
    assert list(read.frame["launch_angle"] / DEG) == pytest.approx([28.5, 33.0])
    assert "très sec, près du trou" in read.frame.to_string() and "ä ö ü" in read.frame.to_string()


def test_windows_own_signs_are_not_taken_for_a_macs():
    read = table.read("condition,spin [rpm],note\ndry,6000,it’s dry – or “wet”… Pro™ 5 € café\n".encode("cp1252"))
    assert read.frame["note"].iloc[0] == "it's dry - or “wet”... ProTM 5 € café"  # look-alikes are made plain


@pytest.mark.parametrize("path", [r"C:\shots\evening.csv", r"\\server\share\evening.csv", r"D:evening.csv", "~/evening.csv"])
def test_a_path_of_another_system_is_told_as_missing(path):
    with pytest.raises(table.TableError, match="there is no file .*evening.csv"):
        table.read(path)


def test_no_system_call_of_one_system_alone_is_made():
    """What Windows lacks is asked for where it is used, or guarded (Python's documentation of these modules, M)."""
    alone = {"fcntl", "pwd", "grp", "resource", "termios", "msvcrt", "winreg"}
    for path in MODULES:
        for node in ast.parse(path.read_text(encoding="utf-8")).body:  # the top of a module: nothing guards it there
            if isinstance(node, (ast.Import, ast.ImportFrom)):
                names = {alias.name for alias in node.names} | {getattr(node, "module", "") or ""}
                assert not names & alone, path
    text = "\n".join(path.read_text(encoding="utf-8") for path in MODULES)
    assert not re.search(r"os\.(fork|setsid|killpg|getpgid|wait)\b|signal\.SIG(KILL|ALRM|USR1|PIPE)", text)
    assert not re.search(r"/dev/(null|shm)|/t[m]p/", text)
    for call in ("os.geteuid", "os.getuid"):
        for place in re.finditer(re.escape(call) + r"\(", text):
            assert re.search(r"hasattr|import pwd", text[max(0, place.start() - 200):place.start()]), call


def test_the_lock_of_windows_guards_a_byte_behind_the_end(tmp_path, monkeypatch):
    """A stand-in for Windows' `msvcrt`: what it locks must be let go, and must not lie where shots are."""
    calls = []
    stand_in = types.SimpleNamespace(LK_LOCK=1, LK_UNLCK=0)
    stand_in.locking = lambda handle, mode, count: calls.append((mode, count, os.lseek(handle, 0, os.SEEK_CUR)))
    monkeypatch.setitem(sys.modules, "fcntl", None)  # as if it were not there
    monkeypatch.setitem(sys.modules, "msvcrt", stand_in)
    path = tmp_path / "a.journal"
    journal = Journal.create(path, fields=[Field.of("condition"), Field.of("spin_rate")])
    journal.write("shot", cells={"condition": "dry", "spin_rate": "6000"})
    assert [mode for mode, _, _ in calls] == [1, 0] and {count for _, count, _ in calls} == {1}
    assert min(place for _, _, place in calls) > 20_000_000
    assert len(Journal.open(path).shots) == 1


def test_a_file_that_another_program_holds_is_told_and_kept(tmp_path, monkeypatch):
    """Windows refuses to replace a file that is open elsewhere."""
    target = tmp_path / "handout.html"
    target.write_bytes(b"old")

    def held(*_):
        raise PermissionError(13, "The process cannot access the file because it is being used by another process")

    monkeypatch.setattr(os, "replace", held)
    with pytest.raises(PermissionError, match="another process"):
        files.write_atomically(target, b"new")
    assert [path.name for path in tmp_path.iterdir()] == ["handout.html"] and target.read_bytes() == b"old"


@pytest.mark.parametrize("coding", ["cp437", "cp1252", "ascii"])
def test_a_terminal_of_few_letters_keeps_every_sign(tmp_path, coding):
    surroundings = os.environ | {"PYTHONIOENCODING": coding, "SPINLAB_SETUP_DONE": "1", "PYTHONPATH": str(ROOT)}
    command = [sys.executable, "-m", "spinlab", "report", str(ROOT / "data" / "pitch_states.csv"), "--out", "a.html"]
    done = subprocess.run(command, cwd=tmp_path, env=surroundings, capture_output=True, timeout=300)
    said = done.stdout.decode(coding)
    assert done.returncode == 0, done.stderr.decode(coding)
    assert "rpm" in said and "?" not in re.sub(r"\w\?(?=\s|$)", "", said)
