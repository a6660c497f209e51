"""Whole files or none."""

import os
import subprocess
import sys
import time
from pathlib import Path

import pytest

from spinlab import files
from spinlab.files import draft_of, write_atomically

ROOT = Path(__file__).resolve().parent.parent


def test_a_file_is_written_and_replaced(tmp_path):
    target = tmp_path / "a file with spaces é.html"
    write_atomically(target, b"one")
    write_atomically(target, b"two")
    assert target.read_bytes() == b"two"
    assert [p.name for p in tmp_path.iterdir()] == [target.name]


def test_a_failing_disk_leaves_the_old_file_and_no_draft(tmp_path, monkeypatch):
    target = tmp_path / "sheet.html"
    write_atomically(target, b"old")

    def full(_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(OSError, match="No space"):
        write_atomically(target, b"new")
    assert target.read_bytes() == b"old"
    assert [p.name for p in tmp_path.iterdir()] == ["sheet.html"]


def test_a_missing_folder_is_an_error(tmp_path):
    with pytest.raises(OSError):
        write_atomically(tmp_path / "nowhere" / "x", b"")


def aged(path, seconds=2 * files.FORSAKEN):
    """The same file, as if it had last been written that long ago."""
    os.utime(path, (time.time() - seconds,) * 2)
    return path


@pytest.fixture
def killed(tmp_path):
    """What a writer that was killed leaves behind."""
    code = ("import os, sys; from spinlab.files import draft_of\n"
            "with draft_of(sys.argv[1]) as draft:\n    draft.write_bytes(b'half')\n    os._exit(9)")
    subprocess.run([sys.executable, "-c", code, str(tmp_path / "clip.gif")], cwd=ROOT, check=False, timeout=60)
    left, = tmp_path.iterdir()
    assert left.name.startswith(".clip.gif-") and left.read_bytes() == b"half"
    return left


def test_a_draft_of_a_killed_writer_goes_at_a_later_write_of_anything(tmp_path, killed):
    write_atomically(tmp_path / "sheet.html", b"new")
    assert killed.exists()  # not old enough to be sure
    aged(killed)
    write_atomically(tmp_path / "sheet.html", b"newer")
    assert [path.name for path in tmp_path.iterdir()] == ["sheet.html"]


def test_a_draft_that_is_being_written_stays_however_old(tmp_path):
    """A laptop that slept in the midst of an export, say."""
    with draft_of(tmp_path / "clip.gif") as draft:
        draft.write_bytes(b"whole")
        aged(draft)
        write_atomically(tmp_path / "sheet.html", b"new")
        assert draft.exists()
    assert (tmp_path / "clip.gif").read_bytes() == b"whole"


@pytest.mark.parametrize("name", [".clip.gif-abcd1234.draft", "clip.gif-abcd1234" + files.DRAFT, ".clip.gif-abcd1234",
                                  ".hidden", "notes.draft"])
def test_a_strangers_file_stays(tmp_path, name):
    aged_file = tmp_path / name
    aged_file.write_bytes(b"mine")
    write_atomically(tmp_path / "clip.gif", b"new")
    aged(aged_file)
    write_atomically(tmp_path / "clip.gif", b"newer")
    assert aged_file.read_bytes() == b"mine"


def test_a_folder_or_a_link_under_a_drafts_name_stays(tmp_path):
    (tmp_path / f".a-12345678{files.DRAFT}").mkdir()
    (tmp_path / "kept").write_bytes(b"mine")
    link = tmp_path / f".b-12345678{files.DRAFT}"
    link.symlink_to(tmp_path / "kept")
    for name in (f".a-12345678{files.DRAFT}", "kept"):
        aged(tmp_path / name)
    write_atomically(tmp_path / "clip.gif", b"new")
    assert link.is_symlink() and len(list(tmp_path.iterdir())) == 4 and (tmp_path / "kept").read_bytes() == b"mine"


@pytest.mark.skipif(os.name == "nt", reason="Windows keeps no such rights")
@pytest.mark.parametrize(("umask", "own", "everybodys"), [
    (0o022, 0o600, 0o644), (0o077, 0o600, 0o600), (0o002, 0o600, 0o664)])
def test_files_are_their_owners_alone_unless_they_are_for_all(tmp_path, umask, own, everybodys):
    before = os.umask(umask)
    try:
        target = tmp_path / "sheet.html"
        target.write_bytes(b"of an earlier version")
        target.chmod(0o666)
        with draft_of(target) as draft:
            draft.write_bytes(b"Robin")
            assert draft.stat().st_mode & 0o777 == own
        page = write_atomically(tmp_path / "page.html", b"no names", public=True)
    finally:
        os.umask(before)
    assert target.stat().st_mode & 0o777 == own and page.stat().st_mode & 0o777 == everybodys


@pytest.mark.skipif(os.name == "nt", reason="Windows keeps no such rights")
def test_what_holds_names_is_its_owners_alone(tmp_path):
    from spinlab.evidence import plan
    from spinlab.evidence.journal import Field, Journal
    from spinlab.show import pack, sheets
    from spinlab.stage import site

    fields = [Field.of(name) for name in ("condition", "spin_rate")]
    session = Journal.create(tmp_path / "a.journal", fields=fields, player="Robin")
    session.write("shot", cells={"condition": "dry", "spin_rate": "6000"})
    sheet = sheets.write(tmp_path / "plan.html", pack.plan_sheet(plan.plan(200.0, 80.0)))
    assert [path.stat().st_mode & 0o077 for path in (session.path, sheet)] == [0, 0]
    page, = site.write_pages(["impact"], tmp_path)
    assert page.stat().st_mode & 0o044 == 0o044 & ~umask()


def umask():
    """What new files are shut out from here."""
    now = os.umask(0o077)
    os.umask(now)
    return now


def test_a_clock_set_back_leaves_drafts_alone(tmp_path, killed):
    aged(killed, -3600.0)
    write_atomically(tmp_path / "sheet.html", b"new")
    assert killed.exists()
