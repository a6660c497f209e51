"""Whole files or none."""

import os

import pytest

from spinlab.files import write_atomically


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
