"""Copies of the lessons: what is shipped is never written, what a person changed is never lost."""

import json
import subprocess
from pathlib import Path

import browser as b
import pytest

from spinlab import shell
from spinlab.lessons import OWN, own_copies

ROOT = Path(__file__).resolve().parent.parent


@pytest.fixture
def shipped(tmp_path):
    folder = tmp_path / "notebooks"
    folder.mkdir()
    b.notebook(folder / "00_start.ipynb", "# Start", "1 + 1")
    b.notebook(folder / "01_next.ipynb", "# Next")
    return folder


def ran(lesson):
    """The lesson as it is saved by itself after it has run."""
    whole = json.loads(lesson.read_text(encoding="utf-8"))
    for cell in whole["cells"]:
        if cell["cell_type"] == "code":
            cell |= {"execution_count": 7, "outputs": [{"output_type": "stream", "name": "stdout", "text": "2"}]}
    lesson.write_text(json.dumps(whole | {"nbformat_minor": 4}, indent=2), encoding="utf-8")


def test_each_lesson_is_copied_once(shipped):
    own, late = own_copies(shipped)
    assert own == shipped.parent / OWN and late == []
    assert {path.name for path in own.glob("*.ipynb")} == {"00_start.ipynb", "01_next.ipynb"}
    assert all((own / path.name).read_bytes() == path.read_bytes() for path in shipped.glob("*.ipynb"))


def test_a_copy_that_was_only_run_follows_what_is_shipped(shipped):
    own, _ = own_copies(shipped)
    ran(own / "00_start.ipynb")
    after = (own / "00_start.ipynb").read_bytes()
    assert own_copies(shipped)[1] == [] and (own / "00_start.ipynb").read_bytes() == after  # nothing newer: it stays
    b.notebook(shipped / "00_start.ipynb", "# Start", "2 + 2")
    assert own_copies(shipped)[1] == []
    assert (own / "00_start.ipynb").read_bytes() == (shipped / "00_start.ipynb").read_bytes()


def test_a_changed_copy_stays_and_a_newer_lesson_is_told(shipped):
    own, _ = own_copies(shipped)
    b.notebook(own / "00_start.ipynb", "# My start", "3 + 3")
    mine = (own / "00_start.ipynb").read_bytes()
    assert own_copies(shipped)[1] == []
    b.notebook(shipped / "00_start.ipynb", "# Start", "2 + 2")
    for _ in range(2):
        assert own_copies(shipped)[1] == ["00_start"] and (own / "00_start.ipynb").read_bytes() == mine
    (own / "00_start.ipynb").unlink()
    assert own_copies(shipped)[1] == []
    assert (own / "00_start.ipynb").read_bytes() == (shipped / "00_start.ipynb").read_bytes()


@pytest.mark.parametrize("spoilt", [b"", b"[]", b"\xff", b'{"cells": 1}'])
def test_what_cannot_be_read_is_left_alone(shipped, spoilt):
    own, _ = own_copies(shipped)
    (own / "00_start.ipynb").write_bytes(spoilt)
    (own / ".shipped.json").write_bytes(spoilt)
    own_copies(shipped)
    assert (own / "00_start.ipynb").read_bytes() == spoilt and (own / "01_next.ipynb").exists()


def test_sessions_from_before_come_along_and_none_is_overwritten(shipped):
    (shipped / "sessions").mkdir()
    (shipped / "sessions" / "a.journal").write_text("shots")
    own, _ = own_copies(shipped)
    assert (own / "sessions" / "a.journal").read_text() == "shots" and not (shipped / "sessions").exists()
    (shipped / "sessions").mkdir()
    own_copies(shipped)
    assert (own / "sessions" / "a.journal").exists()


def test_start_and_present_use_the_copies(shipped, monkeypatch, capsys):
    monkeypatch.setattr(shell, "ROOT", shipped.parent)
    monkeypatch.setenv(shell.READY, "1")
    shown = []
    monkeypatch.setattr("spinlab.show.present.present", lambda lesson, **more: shown.append(lesson))
    monkeypatch.setattr(shell.bootstrap, "become", lambda command, *more: shown.append(command))
    own, _ = own_copies(shipped)
    b.notebook(own / "01_next.ipynb", "# Mine")
    b.notebook(shipped / "01_next.ipynb", "# Newer")
    assert shell.run(["present", "01"]) == 0 and shown[0] == own / "01_next.ipynb"
    assert "01_next: your changed copy stays" in capsys.readouterr().out
    assert shell.run(["start"]) == 0
    assert f"--ServerApp.root_dir={own}" in shown[1]


def test_nothing_under_version_control_is_where_lessons_are_used():
    done = subprocess.run(["git", "check-ignore", f"{OWN}/00_start_here.ipynb", f"{OWN}/sessions/a.journal"], cwd=ROOT,
                          capture_output=True, encoding="utf-8")
    if done.returncode == 128:
        pytest.skip("not under version control")
    assert done.returncode == 0 and len(done.stdout.split()) == 2


@pytest.mark.skipif(bool(b.why_not()), reason=b.why_not() or "a browser is here")
def test_a_lesson_that_is_run_and_saved_changes_its_copy_only(shipped, chrome, monkeypatch):
    own, _ = own_copies(shipped)
    before = {path: path.read_bytes() for path in shipped.iterdir()}
    monkeypatch.setattr(shell, "ROOT", shipped.parent)
    command = shell.lab_command(own, browser=False)[1:]
    with b.server(shipped.parent, *command, ready=r"http://127\.0\.0\.1:\d+/lab\S*token=\w+") as address:
        seen = b.Watched(chrome)
        seen.page.goto(address.replace("00_start_here", "00_start"))
        seen.page.locator(".jp-Notebook .jp-Cell").first.wait_for()
        seen.page.get_by_text("Python 3").first.wait_for()
        seen.page.locator('[data-status="idle"]').first.wait_for()
        seen.page.get_by_role("menuitem", name="Run", exact=True).click()
        seen.page.get_by_role("menuitem", name="Run All Cells", exact=True).click()
        seen.page.locator(".jp-OutputArea-output").get_by_text("2").wait_for()
        seen.page.keyboard.press("Control+s")
        seen.page.wait_for_function("document.querySelectorAll('.jp-mod-dirty').length === 0")
        seen.close()
    assert before == {path: path.read_bytes() for path in shipped.iterdir()}
    assert json.loads((own / "00_start.ipynb").read_text(encoding="utf-8"))["cells"][1]["outputs"]
