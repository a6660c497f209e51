"""The commands: what they print, write and answer when something is wrong.  One real start of JupyterLab, over loopback."""

import json
import os
import re
import shutil
import subprocess
import sys
import time
import urllib.request
from pathlib import Path

import pytest
from browser import refusal

from spinlab import bootstrap, doctor, shell

ROOT = Path(__file__).resolve().parent.parent
TABLE = ROOT / "data" / "pitch_states.csv"


@pytest.fixture
def ask(monkeypatch, capsys):
    """Ask a command in this process, as if all were set up: exit code, what it printed, what it complained of."""
    monkeypatch.setenv(shell.READY, "1")

    def asked(*words):
        try:
            code = shell.run([str(word) for word in words])
        except SystemExit as end:
            code = end.code
        out, err = capsys.readouterr()
        return code, out, err

    return asked


# -- report -----------------------------------------------------------------------------------------------------------


def test_report_prints_words_and_writes_a_page(ask, tmp_path):
    page = tmp_path / "mon été.html"
    code, out, err = ask("report", TABLE, "--baseline", "dry", "--other", "wet", "--dynamic-loft", 40, 48, "--out", page,
                         "--coach", "A <b>coach</b>")
    assert code == 0, err
    assert "wet against dry" in out and "Shown:" in out and re.search(r"\d+ shots = \d+ kept \+ \d+ set aside", out)
    html = page.read_text(encoding="utf-8")
    assert html.startswith("<!DOCTYPE html>") or html.lower().startswith("<!doctype html>")
    assert "A &lt;b&gt;coach" in html and "<b>coach" not in html
    assert "Practice only" in html and not re.search(r"(src|href)=[\"']?http", html)
    assert str(page) in out and not list(tmp_path.glob("*.draft"))


def test_report_speaks_yards(ask, tmp_path):
    code, out, err = ask("report", TABLE, "--units", "yards", "--out", tmp_path / "page.html")
    assert code == 0, err
    assert re.search(r"\d (yd|yards)\b", out)


@pytest.mark.parametrize(("words", "told"), [
    (["report", "no such table.csv"], "no such table"),
    (["report", TABLE, "--baseline", "frozen"], "there is no condition 'frozen'"),
    (["report", TABLE, "--by", "moon"], "no column 'moon'"),
    (["report", TABLE, "--dynamic-loft", "48", "40"], "from low to high"),
    (["report", TABLE, "--out", TABLE], "would overwrite the table"),
    (["green", ROOT / "data" / "wet_and_dry_metric.csv"], "no run-outs. Pace the way from pitch mark to rest"),
    (["green", TABLE, "--green-speed", "90"], "must lie in 3 ft … 18 ft, got 90 ft"),
    (["green", TABLE, "--slope", "nan"], "slope"),
    (["green", TABLE, "--dynamic-loft", "60", "70"], "at least four shots"),
    (["green", "no such table.csv"], "no such table"),
    (["plan", "--effect", "0"], "effect"),
    (["plan", "--effect", "2000", "--scatter", "wild"], "wild"),
    (["present", "99"], "no lesson '99'"),
])
def test_trouble_is_a_line_or_two(ask, tmp_path, monkeypatch, words, told):
    monkeypatch.chdir(tmp_path)
    code, out, err = ask(*words)
    last = err[err.rindex("spinlab: "):]
    assert code == 2 and told in last and "Traceback" not in err
    assert len(last.strip().splitlines()) <= 2 and not list(tmp_path.iterdir())


@pytest.mark.parametrize("content", [b"", b"\x00\xff\xfe", b"a,b\n1,2\n", b"PK\x03\x04broken"])
def test_a_table_that_is_none_is_told(ask, tmp_path, content):
    bad = tmp_path / "bad.csv"
    bad.write_bytes(content)
    code, out, err = ask("report", bad, "--out", tmp_path / "page.html")
    assert code == 2 and "spinlab: " in err and "Traceback" not in err and not (tmp_path / "page.html").exists()


def test_a_folder_that_is_not_there_is_named(ask, tmp_path):
    code, out, err = ask("report", TABLE, "--out", tmp_path / "nowhere" / "page.html")
    assert code == 2 and "nowhere" in err and "Traceback" not in err


# -- green ------------------------------------------------------------------------------------------------------------


def test_green_finds_the_green_the_shots_were_played_on(ask, tmp_path):
    """Twelve shots played by the engine on a known green, digging in 1.10, friction 0.28, at 9 ft, rounded as in a table."""
    import numpy as np

    from spinlab import Green, Launch, fly, land
    from spinlab.units import deg, ft, rpm, yd

    launch = Launch(ball_speed=np.linspace(20, 26, 12), launch_angle=np.tile([28.0, 40.0, 52.0], 4) * deg,
                    spin_rate=np.linspace(3000, 9000, 12) * rpm)
    run = land(fly(launch), Green(tilt=1.10, friction=0.28, speed=9 * ft)).run_out / yd
    shots = zip(launch.ball_speed, launch.launch_angle / deg, launch.spin_rate / rpm, run)
    table = tmp_path / "été.csv"
    table.write_text("Ball speed [m/s],Launch [°],Spin [rpm],Run-out [yd]\n"
                     + "".join(f"{v:.1f},{a:.1f},{s:.0f},{r:.1f}\n" for v, a, s, r in shots), encoding="utf-8")
    code, out, err = ask("green", table, "--green-speed", 9, "--units", "yards")
    assert code == 0 and not err
    numbers = r"([\d.]+) \(([\d.]+) to ([\d.]+); medium"
    for name, truth in (("F", 1.10), ("turf", 0.28)):
        best, low, high = map(float, re.search(f"{name} {numbers}", out).groups())
        assert low <= truth <= high and abs(best / truth - 1) < 0.06, name
    lines = re.findall(r"^ *(\d+) .*?([-\d.]+) yd +([-\d.]+) yd +[-+\d.]+ yd$", out.replace("−", "-"), flags=re.M)
    assert [(int(line), float(ran)) for line, ran, _ in lines] == [(2 + i, round(float(r), 1)) for i, r in enumerate(run)]
    assert all(abs(float(ran) - float(fitted)) < 0.8 for _, ran, fitted in lines)
    assert "green speed 9 ft (given)" in out and "12 shots" in out and list(tmp_path.iterdir()) == [table]


def test_green_sets_mis_hits_aside_and_says_which(ask):
    code, out, err = ask("green", TABLE, "--dynamic-loft", 40, 48)
    assert code == 0, err
    assert "Left out, set aside by the rule: lines 14 and 39." in out and "a device worked them out" in out


# -- the others -------------------------------------------------------------------------------------------------------


def test_plan_says_how_many_and_in_which_order(ask):
    code, out, err = ask("plan", "--effect", 2000, "--scatter", 800)
    assert code == 0 and "turn about (dry, wet, wet, dry)" in out and "1 dry, 2 wet, 3 wet, 4 dry" in out
    assert "Practice only" in out and "2\u202f000 rpm" in out


def test_version(ask):
    import spinlab

    assert ask("--version") == (0, f"spinlab {spinlab.__version__}\n", "")


@pytest.mark.parametrize("words", [["dance"], ["report"], ["plan"], ["start", "--port", "x"], ["start", "now"]])
def test_an_unknown_wish_ends_with_2(ask, words):
    code, out, err = ask(*words)
    assert code == 2 and "usage:" in err


def test_every_command_explains_itself(ask):
    code, out, err = ask("--help")
    commands = re.findall(r"^    (\w+) ", out, flags=re.M)
    known = "start present report green plan handout pictures clip words slides page site doctor test bench trials"
    assert code == 0 and set(commands) == set(known.split())
    for name in commands:
        code, told, err = ask(name, "--help")
        assert code == 0 and f"spinlab {name}" in told


def test_here_uses_this_python_and_says_what_it_lacks(monkeypatch, capsys):
    monkeypatch.delenv(shell.READY, raising=False)
    monkeypatch.setattr(bootstrap, "ensure", lambda *a, **more: pytest.fail("nothing may be set up"))
    monkeypatch.setattr(bootstrap, "requirements", lambda root, test: ["no-such-thing-at-all>=1"])
    assert shell.run(["--here", "plan", "--effect", "2000"]) == 2
    assert "lacks no-such-thing-at-all>=1" in capsys.readouterr().err
    monkeypatch.setattr(bootstrap, "requirements", lambda root, test: ["pytest>=1"])
    assert shell.run(["--here", "plan", "--effect", "2000"]) == 0


def test_without_here_the_environment_of_the_folder_takes_over(monkeypatch, tmp_path):
    monkeypatch.delenv(shell.READY, raising=False)
    asked = {}
    python = tmp_path / ".venv" / "bin" / "python"
    monkeypatch.setattr(bootstrap, "ensure", lambda root, test, say: asked.update(test=test) or python)

    def become(command, folder=None, more=None):
        asked.update(command=[str(part) for part in command], more=more)
        raise SystemExit(0)

    monkeypatch.setattr(bootstrap, "become", become)
    with pytest.raises(SystemExit):
        shell.run(["test", "-k", "flight"])
    assert asked["test"] is True and asked["more"] == {shell.READY: "1"}
    assert asked["command"] == [str(python), "-m", "spinlab", "test", "-k", "flight"]


def test_ctrl_c_is_no_traceback(monkeypatch, capsys):
    def stop(*args, **more):
        raise KeyboardInterrupt

    monkeypatch.setattr(shell, "prepare", stop)
    assert shell.run([]) == 130 and "Stopped" in capsys.readouterr().err


def test_doctor_names_each_thing_and_no_home(capsys, tmp_path, monkeypatch):
    monkeypatch.setattr(doctor.Path, "home", lambda: tmp_path)
    monkeypatch.setattr(doctor, "_says", lambda python, code, *words: "fine")
    assert doctor.without_person(f"{tmp_path}/lessons") == "~/lessons"
    code = doctor.main(ROOT, here=True)
    out = capsys.readouterr().out
    things = ("Python", "Writing", "Room on the disk", "Packages", "Sliders in JupyterLab", "Fonts", "Browser", "ffmpeg")
    for thing in things:
        assert re.search(rf"^(good|MISSING|absent) +{thing}: ", out, flags=re.M), thing
    assert code == (2 if "MISSING" in out else 0)


@pytest.fixture
def folder(monkeypatch, tmp_path):
    """A project's folder, and what is found out about its environment: changed by the test."""
    (tmp_path / "pyproject.toml").write_text(
        '[project]\ndependencies = ["numpy>=1.0", "no-such-package>=2"]\n[project.optional-dependencies]\ntest = []\n',
        encoding="utf-8")
    found = {"runs": True, "lacking": [], "ready": True, "serves": True}
    monkeypatch.setattr(doctor, "_says", lambda python, code, *words: "True" if found["runs"] and python else None)
    monkeypatch.setattr(bootstrap, "lacking", lambda python, wanted: found["lacking"])
    monkeypatch.setattr(bootstrap, "ready", lambda root: found["ready"])
    monkeypatch.setattr(bootstrap, "serves", lambda root: found["serves"])
    found["look"] = lambda: {what: (good, words) for _, what, good, words in doctor.look(tmp_path)}
    return found


@pytest.mark.parametrize(("state", "good", "words"), [
    ({}, True, "all here, in .venv"),
    ({"ready": False}, True, "to be pointed to this folder"),
    ({"lacking": ["a>=2 (there is 1)"], "ready": False}, True, "Out of date: a>=2 (there is 1); a start with"),
    ({"lacking": ["a>=2"], "ready": False, "serves": False}, False, "a>=2; 'python3 -m spinlab' sets them up"),
    ({"lacking": ["a>=2"]}, False, "a>=2; delete the folder .venv, then 'python3 -m spinlab'"),
    ({"runs": False}, False, "not set up yet; 'python3 -m spinlab' sets them up"),
])
def test_doctor_says_what_the_next_start_would_find(folder, state, good, words):
    folder.update(state)
    told = folder["look"]()["Packages"]
    assert told[0] == good and words in told[1]


def test_doctor_gives_one_cure_where_nothing_is_set_up(folder):
    folder.update(runs=False)
    found = folder["look"]()
    assert "delete" not in found["Sliders in JupyterLab"][1] + found["Fonts"][1]


def test_doctor_tells_the_cure_of_what_is_broken(folder, monkeypatch):
    monkeypatch.setattr(doctor, "_says", lambda python, code, *words: "True" if "version_info" in code else None)
    found = folder["look"]()
    assert "delete the folder .venv" in found["Sliders in JupyterLab"][1] and "python3 -m spinlab" in found["Fonts"][1]


@pytest.mark.skipif(os.name == "nt", reason="environments are made of links here")
def test_doctor_asks_the_environment_of_a_copied_folder(tmp_path, monkeypatch):
    """A real one: its package is found there, by the way from the environment to it, and nothing is missing."""
    first = tmp_path / "first"
    (first / "spinlab").mkdir(parents=True)
    (first / "spinlab" / "__init__.py").touch()
    (first / "pyproject.toml").write_text("[project]\ndependencies = []\n[project.optional-dependencies]\ntest = []\n")
    subprocess.run([sys.executable, "-m", "venv", "--without-pip", first / ".venv"], check=True)
    monkeypatch.setattr(bootstrap.installing, "install", lambda *a, **more: None)
    bootstrap.ensure(first, say=lambda words: None)
    copied = shutil.copytree(first, tmp_path / "copy", symlinks=True)
    found = {what: (good, words) for _, what, good, words in doctor.look(copied)}
    assert found["Packages"] == (True, "all here, in .venv")
    assert doctor.environment(copied) == bootstrap.python_of(copied / ".venv")


def test_doctors_log_names_no_person(monkeypatch, tmp_path, capsys):
    home = tmp_path / "robin fairway"
    home.mkdir()
    monkeypatch.setattr(doctor.Path, "home", lambda: home)
    monkeypatch.setattr("getpass.getuser", lambda: "rfairway")
    monkeypatch.setattr(doctor.platform, "node", lambda: "robins-laptop")
    looks = [("needed", "Writing", False, f"{home}/lessons of rfairway on robins-laptop cannot be written to")]
    monkeypatch.setattr(doctor, "look", lambda root, here: looks)
    assert doctor.main(ROOT, home / "log.txt") == 2
    log = (home / "log.txt").read_text(encoding="utf-8")
    assert "MISSING  Writing: ~/lessons of (person) on (machine) cannot" in log and "numpy>=" in log
    assert not re.search("robin|rfairway", log)


def test_what_was_not_foreseen_is_told_in_words_and_noted(monkeypatch, tmp_path, capsys):
    cell = "Robin Fairway, 6450 rpm"

    def fall(*_):
        raise KeyError(cell)

    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(shell, "plan", fall)
    monkeypatch.setenv(shell.READY, "1")
    assert shell.run(["plan", "--effect", "2000"]) == 3
    said, log = capsys.readouterr().err, (tmp_path / doctor.PROBLEM).read_text(encoding="utf-8")
    assert "Traceback" not in said and doctor.PROBLEM in said and said.count("\n") == 1
    assert "KeyError" in log and "in fall" in log and "Robin" not in log and str(ROOT) not in log


@pytest.fixture
def unforeseen(monkeypatch, tmp_path):
    """A command that fails as nobody foresaw, in a folder of its own."""
    def fall(*_):
        raise KeyError("Robin Fairway, 6450 rpm")

    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(shell, "plan", fall)
    monkeypatch.setenv(shell.READY, "1")


def test_where_the_problem_cannot_be_written_down_that_is_told(unforeseen, monkeypatch, capsys):
    def refuse(*_):
        raise OSError(30, "Read-only file system")

    monkeypatch.setattr(doctor, "write_atomically", refuse)
    assert shell.run(["plan", "--effect", "2000"]) == 3
    said = capsys.readouterr().err
    assert "KeyError" in said and "could not be written down" in said and said.count("\n") == 1


def test_where_the_folder_was_removed_the_problem_is_written_elsewhere(unforeseen, monkeypatch, capsys, tmp_path):
    def gone():
        raise FileNotFoundError(2, "No such file or directory")

    for place in (doctor.Path, doctor.os):
        monkeypatch.setattr(place, "cwd" if place is doctor.Path else "getcwd", gone)
    (tmp_path / "elsewhere").mkdir()
    monkeypatch.setattr(doctor.tempfile, "gettempdir", lambda: str(tmp_path / "elsewhere"))
    assert shell.run(["plan", "--effect", "2000"]) == 3
    assert (tmp_path / "elsewhere" / doctor.PROBLEM).exists() and "KeyError" in capsys.readouterr().err


@pytest.mark.skipif(not os.path.exists("/dev/full"), reason="no full device here")
def test_a_full_disk_behind_what_is_printed_is_a_line(tmp_path):
    with open("/dev/full", "w") as full:
        done = subprocess.run([sys.executable, "-m", "spinlab", "plan", "--effect", "2000"], cwd=ROOT, stdout=full,
                              stderr=subprocess.PIPE, encoding="utf-8", env=os.environ | {shell.READY: "1"})
    assert done.returncode == 2 and done.stderr == "spinlab: No space left on device\n"


# -- JupyterLab -------------------------------------------------------------------------------------------------------


def test_lab_is_for_this_machine_only_and_asks_nobody():
    command = " ".join(shell.lab_command("lessons", browser=False))
    assert "--ServerApp.ip=127.0.0.1" in command and "token=" not in command and "--no-browser" in command
    assert "NeverCheckForUpdate" in command


@pytest.mark.skipif(not (ROOT / "notebooks" / shell.START_PAGE).is_file(), reason="no start page here")
def test_the_lessons_open_at_the_start_page_behind_a_token(tmp_path):
    names = ("JUPYTER_CONFIG_DIR", "JUPYTER_DATA_DIR", "JUPYTER_RUNTIME_DIR", "IPYTHONDIR")
    rooms = dict.fromkeys(names, str(tmp_path))
    log = tmp_path / "log"
    with open(log, "w") as out:
        command = [sys.executable, "-m", "spinlab", "start", "--no-browser"]
        lab = subprocess.Popen(command, cwd=ROOT, stdout=out, stderr=out, env=os.environ | rooms | {shell.READY: "1"})
        try:
            address = _address(lab, log)
            page, token = re.match(r"(\S+)\?token=(\w+)", address).groups()
            assert page.startswith("http://127.0.0.1:") and page.endswith("/lab/tree/00_start_here.ipynb")
            base = page.partition("/lab")[0]
            assert b"JupyterLab" in urllib.request.urlopen(address, timeout=10).read()
            asked = f"{base}/lab/api/settings/@jupyterlab/apputils-extension:notification?token={token}"
            notices = json.load(urllib.request.urlopen(asked, timeout=20))["schema"]["properties"]
            assert notices["fetchNews"]["default"] == "false" and notices["checkForUpdates"]["default"] is False
            assert refusal(f"{base}/api/contents") == 403
        finally:
            lab.terminate()
            lab.wait(20)


def _address(lab, log, patience=60):
    end = time.monotonic() + patience
    while time.monotonic() < end and lab.poll() is None:
        found = re.search(r"http://127\.0\.0\.1:\d+/lab\S*token=\w+", log.read_text())
        if found:
            return found.group()
        time.sleep(0.2)
    raise AssertionError(f"no address was printed:\n{log.read_text()[-2000:]}")
