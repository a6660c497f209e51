"""A file, bytes or pasted text → rows of cells with their line numbers.  What the cells mean is for other modules.

Everything is bounded: a file that is too large, too wide or too deep is refused with words before it is unpacked.
"""

from __future__ import annotations

import csv
import io
import re
from dataclasses import dataclass
from pathlib import Path

from ...units import written

MAX_BYTES = 64_000_000
MAX_ROWS = 500_000
MAX_COLUMNS = 500
MAX_LINE = 200_000
MAX_CELL = 10_000
MAX_CELLS = 6_000_000  # 100,000 shots of 60 columns: about 700 MB while they are read
_TOO_MANY = f"the table has more than {written(MAX_CELLS)} cells; keep the lines and columns of the shots"
_TRIED = 20_000  # letters of a line that are looked at while the separator is sought

UNSEEN = re.compile("[\x01-\x08\x0b-\x1f\x7f-\x9f\u2028-\u202e\u2066-\u2069\ufeff]")
"""Signs that nobody sees in a table, but that steer a terminal or turn the direction of what follows."""

_SEPARATORS = {"\t": "tabs", ";": "semicolons", "|": "upright bars", ",": "commas"}
_NOT_TABLES = {
    b"\xd0\xcf\x11\xe0": "an old spreadsheet (.xls); save it as .xlsx or CSV",
    b"%PDF": "a PDF; export the table as CSV or .xlsx",
    b"\x89PNG": "a picture; export the table as CSV or .xlsx",
    b"\xff\xd8\xff": "a picture; export the table as CSV or .xlsx",
    b"\x1f\x8b": "a compressed file; unpack it first",
    b"GIF8": "a picture; export the table as CSV or .xlsx",
}


class TableError(ValueError):
    """A table that cannot be read at all, said in words for its owner."""


@dataclass(frozen=True, kw_only=True)
class Sheet:
    """Rows of cells as they stand in the source.

    A cell is text, or a float where a workbook holds a number.  `lines` counts from 1 in the source; blank lines are left
    out of `rows` but not of the counting.
    """

    rows: list[list]
    lines: list[int]
    how: str
    notes: tuple[str, ...] = ()


def load(source, *, sheet=None) -> Sheet:
    """Rows of a path, of bytes, of an open file or of pasted text (text with a line break in it).

    Raises
    ------
    TableError
        the source is missing, too large, not a table, or empty.
    """
    content, name = _content(source)
    if isinstance(content, bytes):
        if content[:4] == b"PK\x03\x04":
            from .workbook import load_workbook

            return _bounded(load_workbook(content, sheet=sheet, name=name))
        for magic, what in _NOT_TABLES.items():
            if content.startswith(magic):
                raise TableError(f"{name} is {what}")
        content, coding = decode(content, name)
    else:
        coding = "text"
    return _bounded(_from_text(content, coding, name))


def _content(source):
    """Bytes or text of any source, and a name for messages."""
    if isinstance(source, str) and ("\n" in source or "\r" in source):
        return source.lstrip("\ufeff"), "the pasted text"
    if isinstance(source, (bytes, bytearray, memoryview)):
        content, name = bytes(source), "the table"
    elif hasattr(source, "read"):
        content, name = source.read(MAX_BYTES + 1), "the open file"
    elif isinstance(source, (str, Path)):
        content, name = _file(source)
    else:
        raise TableError(f"a table is a path, bytes or pasted text, got {type(source).__name__}")
    if len(content) > MAX_BYTES:
        raise TableError(f"{name} is larger than {MAX_BYTES / 1e6:g} MB, the most read here; keep the lines of the shots")
    return content, name


def _file(source):
    path = Path(source)
    name = f"“{UNSEEN.sub(' ', path.name or str(path))[:80]}”"
    try:
        if not path.exists():
            raise TableError(f"there is no file {name} in “{path.parent}”; check the name, or paste the table's lines")
        if not path.is_file():
            raise TableError(f"{name} is not a file; give the table itself")
        with path.open("rb") as opened:
            return opened.read(MAX_BYTES + 1), name
    except (OSError, ValueError) as error:
        if isinstance(error, TableError):
            raise
        said = getattr(error, "strerror", None) or str(error)
        raise TableError(f"{name} cannot be opened: {said}") from None


def decode(content: bytes, name="the table") -> tuple[str, str]:
    """Text of bytes and the name of the coding: by its mark, by its zeros, else UTF-8, else an older one."""
    marks = ((b"\xef\xbb\xbf", "utf-8-sig"), (b"\xff\xfe\x00\x00", "utf-32"), (b"\x00\x00\xfe\xff", "utf-32"),
             (b"\xff\xfe", "utf-16"), (b"\xfe\xff", "utf-16"))
    codings = [coding for mark, coding in marks if content.startswith(mark)][:1]
    start = content[:4000]
    if not codings and start.count(0) > len(start) // 4:
        codings = ["utf-16-le" if start[1::2].count(0) >= start[::2].count(0) else "utf-16-be"]
    for coding in [*codings, "utf-8", *["mac_roman"] * _mac_roman(content[:100_000]), "cp1252", "latin-1"]:
        try:
            text = content.decode(coding)
        except UnicodeDecodeError:
            continue
        break
    odd = len(re.findall(r"[\x00-\x08\x0e-\x1f\x7f]", text[:20_000]))
    if odd > 2 + len(text[:20_000]) // 100:
        raise TableError(f"{name} does not hold readable text; export the table as CSV or .xlsx")
    shown = {"utf-8-sig": "UTF-8 with a mark", "mac_roman": "Mac Roman",
             "cp1252": "Latin-1", "latin-1": "Latin-1"}.get(coding, coding.upper())
    return text.lstrip("\ufeff"), shown


def _mac_roman(content) -> bool:
    """Are its degrees and accents those of Mac Roman, which some spreadsheets still save, rather than Latin-1's?"""
    mac = re.findall(rb"[\d([]\xa1|[A-Za-z][\x88\x8a\x8d-\x90\x9a\x9f]", content)
    return len(mac) > len(re.findall(rb"[\d([]\xb0|[A-Za-z][\xdf-\xff]", content))


def _from_text(text, coding, name):
    text = UNSEEN.sub(" ", text.replace("\r\n", "\n").replace("\r", "\n").replace("\x00", ""))
    if text.count("\n") > MAX_ROWS:
        raise TableError(f"{name} has more than {written(MAX_ROWS)} lines; keep only the lines of the shots")
    lines = text.split("\n")
    longest = max(map(len, lines))
    if longest > MAX_LINE:
        raise TableError(f"{name} has a line of {written(longest)} characters, more than {written(MAX_LINE)}; "
                         "is it a table of shots?")
    # some spreadsheets write their separator as a first line of its own
    told = re.fullmatch(r'"?sep=(.)"?', lines[0].strip(), re.I)
    notes = []
    if told:
        lines[0] = ""
        notes.append(f"line 1 names the separator: {told[1]}")
    separator = told[1] if told else _separator(lines)
    if separator != " " and text.count(separator) > MAX_CELLS:  # before they are cut apart: cells need much room
        raise TableError(_TOO_MANY)
    if separator == " ":
        from .blanks import split_blanks

        rows, numbers = split_blanks(lines)
        how = "blanks"
    else:
        rows, numbers, broken = _split(lines, separator)
        how = _SEPARATORS.get(separator, f"“{separator}”")
        if broken:
            notes.append("a quotation mark is opened and never closed: quotation marks were taken as plain characters")
    rows = [[cell.strip() for cell in row] for row in rows]
    kept = [i for i, row in enumerate(rows) if any(row)]
    if longest > MAX_CELL // 20:  # a cell in quotation marks may run over twenty lines
        for i in kept:
            check_cells(rows[i], numbers[i])
    return Sheet(rows=[rows[i] for i in kept], lines=[numbers[i] for i in kept], how=f"{how}, {coding}", notes=tuple(notes))


def _separator(lines):
    """The separator with which one line names most columns; among equals the one that cuts lines most evenly."""
    from .blanks import split_blanks
    from .columns import score

    start = [line[:_TRIED] for line in lines[:400] if line.strip()][:100]
    best, choice = (0.0, False, 0.0), ","
    for separator in [*_SEPARATORS, " "]:
        rows = split_blanks(start)[0] if separator == " " else _split(start, separator)[0]
        widths = [len(row) for row in rows]
        usual = max(set(widths), key=widths.count, default=0)
        if usual > 1:
            named = max(score(row) for row in rows)
            # blanks stand in headings, too: they separate only where nothing else does as well
            fits = (named, separator != " ", widths.count(usual) / len(widths))
            best, choice = (fits, separator) if fits > best else (best, choice)
    return choice


def _split(lines, separator):
    """Cells of lines, the number of each row's last line, and whether quotation marks had to be ignored."""
    for quoting in (csv.QUOTE_MINIMAL, csv.QUOTE_NONE):
        rows, numbers = [], []
        reader = csv.reader(io.StringIO("\n".join(lines), newline=""), delimiter=separator, quoting=quoting,
                            skipinitialspace=True)
        try:
            before = 0
            for row in reader:
                if reader.line_num - before > 20:  # an unclosed quotation mark swallows the rest of the file
                    raise csv.Error
                before = reader.line_num
                if len(row) > MAX_COLUMNS:  # some spreadsheets end their lines in thousands of blanks
                    filled = max((j for j, cell in enumerate(row) if cell.strip()), default=0)
                    row = row[: min(filled, MAX_COLUMNS) + 1]
                rows.append(row)
                numbers.append(before)
        except csv.Error:
            continue
        return rows, numbers, quoting == csv.QUOTE_NONE
    raise TableError("the table's cells cannot be told apart; export it again as CSV or .xlsx")


def _bounded(sheet):
    """The sheet, if it is of a size that can be a table of shots."""
    if not sheet.rows:
        raise TableError("the table is empty; it needs a line of column names and a line for each shot")
    widest = max(map(len, sheet.rows))
    if widest > MAX_COLUMNS:
        raise TableError(f"the table has more than {MAX_COLUMNS} columns; keep the columns of the shots")
    if len(sheet.rows) * widest > MAX_CELLS:
        raise TableError(_TOO_MANY)
    return sheet


def check_cells(row, line):
    """Refuse a cell too long to be a value or a note."""
    for cell in row:
        if isinstance(cell, str) and len(cell) > MAX_CELL:
            raise TableError(f"line {line} has a cell of {written(len(cell))} characters, more than "
                             f"{written(MAX_CELL)}; shorten it")
