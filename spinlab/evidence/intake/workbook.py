"""An .xlsx workbook → rows of cells, guarded against packed bombs."""

from __future__ import annotations

import datetime
import io
import zipfile

from ...units import written
from .sheet import MAX_COLUMNS, MAX_ROWS, UNSEEN, Sheet, TableError, check_cells

MAX_UNPACKED = 100_000_000
MAX_SHEET_CELLS = 3_000_000
MAX_PARTS = 2_000


def load_workbook(content: bytes, *, sheet=None, name="the workbook") -> Sheet:
    """Rows of one sheet: the one named, else the sheet that names most columns (the first of equals)."""
    from .columns import score

    _guard(content, name)
    try:
        import openpyxl

        book = openpyxl.load_workbook(io.BytesIO(content), read_only=True, data_only=True)
        titles = [page.title for page in book.worksheets]
        if sheet is not None and sheet not in titles:
            raise TableError(f"{name} has no sheet {sheet!r}; it has: {', '.join(map(repr, titles[:20]))}")
        pages = {title: _rows(book[title]) for title in titles[:50] if sheet in (None, title)}
        book.close()
    except TableError:
        raise
    except Exception as error:  # a broken workbook can fail anywhere in its parts; its owner needs words, not a traceback
        raise TableError(f"{name} cannot be read as a workbook ({type(error).__name__}); open it, save it as CSV") from None
    pages = {title: page for title, page in pages.items() if page[0]}
    if not pages:
        raise TableError(f"{name} holds no filled cells; it needs a line of column names and a line for each shot")
    chosen = max(pages, key=lambda title: max(score(row) for row in pages[title][0][:50]))
    others = [title for title in pages if title != chosen]
    notes = [f"sheet “{chosen}” was read; not read: {', '.join(f'“{title}”' for title in others)} (name one with sheet=)"]
    rows, lines = pages[chosen]
    return Sheet(rows=rows, lines=lines, how=f"workbook, sheet “{chosen}”", notes=tuple(notes if others else ()))


def _guard(content, name):
    """Refuse what would unpack to something huge, before unpacking it."""
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as packed:
            parts = packed.infolist()
            if sum(part.file_size for part in parts) > MAX_UNPACKED or len(parts) > MAX_PARTS:
                raise TableError(f"{name} unpacks to more than {MAX_UNPACKED // 10**6} MB; keep only the sheet of the shots")
            if not any(part.filename.startswith("xl/") for part in parts):
                raise TableError(f"{name} is a packed folder, not a workbook; give the table inside it")
            for part in parts:
                if part.filename.endswith((".xml", ".rels")):
                    with packed.open(part) as opened:
                        # a workbook needs no document type; one can make a small file grow without end
                        if b"<!DOCTYPE" in opened.read(4000):
                            raise TableError(f"{name} is not a plain workbook; open it and save it again")
    except TableError:
        raise
    except Exception:  # damage shows itself in many ways (zlib, struct, unknown packing); its owner needs one sentence
        raise TableError(f"{name} is damaged: its packing cannot be opened; save it again or export CSV") from None


def _rows(page):
    rows, lines, cells = [], [], 0
    if not hasattr(page, "iter_rows"):  # a sheet that is only a chart
        return rows, lines
    page.reset_dimensions()  # the stated size may be wrong
    for line, values in enumerate(page.iter_rows(max_col=MAX_COLUMNS, values_only=True), start=1):
        row = [_cell(value) for value in values]
        while row and row[-1] == "":
            row.pop()
        if row:
            check_cells(row, line)
            rows.append(row)
            lines.append(line)
            cells += len(row)
        if line > MAX_ROWS or cells > MAX_SHEET_CELLS:
            raise TableError(f"the sheet has more than {written(MAX_ROWS)} lines or {written(MAX_SHEET_CELLS)} cells; "
                             "keep only the lines of the shots")
    return rows, lines


def _cell(value):
    if value is None:
        return ""
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, (int, float)):
        return float(value) if abs(value) < 1e300 else str(value)
    if isinstance(value, datetime.datetime):
        return value.isoformat(sep=" ").removesuffix(" 00:00:00")
    return value.isoformat() if isinstance(value, (datetime.date, datetime.time)) else UNSEEN.sub(" ", str(value)).strip()
