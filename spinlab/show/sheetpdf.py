"""A sheet as PDF: real text, fonts embedded, made small enough to stand on one page.

Written with fpdf2 (pure Python; Matplotlib's own DejaVu fonts); no browser is needed.  Headings, paragraphs, lists, tables,
pictures and links are tagged (`spinlab.show.tagged` says what is not).
"""

from __future__ import annotations

import io
from functools import cached_property
from pathlib import Path

from .pack import Section, Sheet, logo_bytes, qr_png, signed
from .tagged import Tagged, check_letters

PAPERS = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}
MARGIN, INDENT, GUTTER = 13.0, 4.0, 6.0
BLUE, INK, QUIET, LINE, CARE = (0, 74, 117), (27, 42, 51), (69, 82, 91), (201, 206, 210), (176, 74, 0)
SCALES = (1.2, 1.1, 1.0, 0.95, 0.9, 0.86, 0.82, 0.78, 0.74, 0.7, 0.66, 0.62)
"""Sizes of the text, tried from the largest; a sheet too long for the smallest goes on to a second page."""
_TEXT = 9.2


def pdf(sheet: Sheet, *, paper="A4", coach="", logo=None, date="", link="") -> bytes:
    """The sheet as PDF, on one page if it can be.

    Parameters are those of `spinlab.show.pack.html`; so are the errors.
    """
    signed(paper=paper, coach=coach, link=link)
    picture = logo_bytes(logo)[1] if logo is not None else None

    def drawn(scale, whole=False):
        page = _Page(sheet, paper, scale, whole=whole)
        check_letters(_texts(sheet, coach, date), page.fonts["dejavu"].cmap)
        page.draw(coach=coach, logo=picture, date=date, link=link)
        return page

    best, low, high = None, 0, len(SCALES)
    while low < high:  # the first size that fits; the sizes fall
        middle = (low + high) // 2
        page = drawn(SCALES[middle])
        if page.fits:
            best, high = page, middle
        else:
            low = middle + 1
    return bytes((best or drawn(SCALES[-4], whole=True)).output())


class _Page(Tagged):
    """The page at one size of text; lengths in millimetres.  With `whole`, what does not fit goes on to further pages."""

    def __init__(self, sheet, paper, scale, *, whole):
        super().__init__(title=sheet.title, format=PAPERS[paper])
        self.sheet, self.scale, self.whole = sheet, scale, whole
        self.set_margins(MARGIN, 11)
        self.c_margin = 0
        self.set_auto_page_break(False)
        folder = _fonts()
        self.add_font("DejaVu", fname=folder / "DejaVuSans.ttf")
        self.add_font("DejaVu", style="B", fname=folder / "DejaVuSans-Bold.ttf")
        self.add_page()

    @cached_property
    def bottom(self):
        return self.h - 10

    @property
    def fits(self):
        return self.pages_count == 1 and self.get_y() <= self.bottom

    def draw(self, *, coach, logo, date, link):
        """Everything, from above."""
        self._header(coach, logo, date)
        if self.sheet.lead:
            self._text(self.sheet.lead, 1.08, style="B", after=1.4)
        self._pictures()
        for grid in self.sheet.tables:
            self._table(grid)
        self._columns()
        self._footer(link)

    # -- parts

    def _pen(self, size, style="", colour=INK):
        self.set_font("DejaVu", style, _TEXT * size * self.scale)
        self.set_text_color(*colour)
        return 0.352778 * _TEXT * size * self.scale * 1.27  # height of a line

    def _text(self, words, size=1.0, *, style="", colour=INK, x=None, width=None, after=0.0, dry=False, align="L", tag="P"):
        """A paragraph or, with another `tag`, a heading (H1, H2), a label …; returns its height on the last page."""
        x, width = self.l_margin if x is None else x, width or self.epw
        high = self._pen(size, style, colour)
        if dry:
            return self.multi_cell(width, high, words, dry_run=True, output="HEIGHT", align=align) + after
        top = self.get_y()
        for lines in self._on_pages(words, width, high, tag):
            self.set_x(x)
            with self.mark(tag, lines):
                self.multi_cell(width, high, lines, align=align, new_x="LMARGIN", new_y="NEXT")
        self.set_y(self.get_y() + after)
        return self.get_y() - top

    def _on_pages(self, words, width, high, tag):
        """What fits on this page and, on new ones, the rest: a tag may not reach over the end of a page."""
        if not self.whole:
            yield words
            return
        lines = self.multi_cell(width, high, words, dry_run=True, output="LINES")
        least = 4 if tag in ("H1", "H2") else min(2, len(lines))  # no heading alone at the foot of a page
        while lines:
            room = int((self.bottom - self.get_y()) / high + 1e-6)
            if room < least:
                self.add_page()
                continue
            yield "\n".join(lines[:room])
            lines = lines[room:]

    def _header(self, coach, logo, date):
        self._pen(0.9)
        longest = max(map(self.get_string_width, coach.split()), default=0.0) + 0.5
        top, aside = self.get_y(), min(max(44.0, longest), 76.0) if coach or logo or date else 0.0
        self._text(self.sheet.title, 1.75, style="B", tag="H1", width=self.epw - aside - 2 * bool(aside))
        below, x, y = self.get_y(), self.w - MARGIN - aside, top
        if logo:
            self.image(io.BytesIO(logo), x=x, y=y, w=aside, h=15 * self.scale, keep_aspect_ratio=True, alt_text="Logo")
            y += 15 * self.scale + 1
        self.set_y(y)
        for words in filter(None, (coach, date)):
            self._text(words, 0.9, colour=QUIET, x=x, width=aside, align="R")
        self.set_y(max(self.get_y(), below) + 0.8)
        self._rule(0.9, (0, 114, 178))
        self.set_y(self.get_y() + 1.6)

    def _rule(self, wide, colour, *, down_from=None, x=MARGIN):
        """A line across the page here, or one at `x` from above down to here."""
        self.set_draw_color(*colour)
        self.set_line_width(wide)
        y = self.get_y()
        with self.decoration():
            self.line(x, y if down_from is None else down_from, self.w - MARGIN if down_from is None else x, y)

    def _pictures(self):
        count = len(self.sheet.pictures)
        if not count:
            return
        wide = (self.epw - GUTTER * (count - 1)) / count
        top, ends = self.get_y(), []
        for i, shown in enumerate(self.sheet.pictures):
            x = MARGIN + i * (wide + GUTTER)
            high = min(wide * _shape(shown.png), (88 if count == 1 else 60) * self.scale)
            self.image(io.BytesIO(shown.png), x=x, y=top, w=wide, h=high, keep_aspect_ratio=True, alt_text=shown.sentence)
            self.set_y(top + high + 0.6)
            if shown.caption:
                self._text(shown.caption, 0.82, colour=QUIET, x=x, width=wide)
            ends.append(self.get_y())
        self.set_y(max(ends) + 1.2)

    def _table(self, grid):
        # no column takes more than half: a long word is broken, and there is room for the others
        natural = [min(self._widest(grid, i) * 1.06 + 2.4, 0.5 * self.epw) for i in range(len(grid.head))]
        size = 0.86 * min(max(self.epw / sum(natural), 0.7), 1)
        widths = [self.epw * one / sum(natural) for one in natural]
        with self.part("Table"):
            if grid.caption:
                self._text(grid.caption, 0.82, colour=QUIET, after=0.4, tag="Caption")
            with self.part("THead"):
                self._row(grid, grid.head, widths, size, style="B")
            with self.part("TBody"):
                for cells in grid.rows:
                    self._row(grid, cells, widths, size)
        self.set_y(self.get_y() + 1.4)

    def _widest(self, grid, column):
        """The widest cell of a column, set at the usual size."""
        self._pen(0.86, "B")
        head = self.get_string_width(str(grid.head[column]))
        self._pen(0.86)
        return max([head, *(self.get_string_width(str(row[column])) for row in grid.rows)])

    def _row(self, grid, cells, widths, size, style=""):
        """One row with a line below: its first cell is the heading of the row, those of the first row of the columns."""
        line = self._pen(size, style)
        heights = [self.multi_cell(wide - 1.6, line, str(cell), dry_run=True, output="HEIGHT") for cell, wide in
                   zip(cells, widths)]
        high = max(6.2 if grid.blank and not style else 0, *heights) + 1
        if self.whole and self.get_y() + high > self.bottom:
            self.add_page()
        top, x = self.get_y(), MARGIN
        with self.part("TR"):
            for i, (cell, wide, own) in enumerate(zip(cells, widths, heights)):
                role, scope = ("TH", {"Scope": "Column"}) if style else ("TH", {"Scope": "Row"}) if i == 0 else ("TD", {})
                with self.part(role, **scope):
                    self.set_y(top + (high - own) / 2)
                    if str(cell):
                        align = "L" if i == 0 or grid.text or grid.blank else "R"
                        self._text(str(cell), size, style=style, x=x + 0.8, width=wide - 1.6, align=align)
                x += wide
        self.set_y(top + high)
        self._rule(0.4 if style else 0.2, LINE)
        for i in range(1, len(widths) if grid.blank else 0):  # boxes to write in
            self._rule(0.2, LINE, down_from=top, x=MARGIN + sum(widths[:i]))

    def _columns(self):
        """Sections in two columns of like height; one after the other where they take more than a page."""
        if self.whole:
            for section in self.sheet.sections:
                self._section(section, MARGIN, self.epw)
            return
        wide = (self.epw - GUTTER) / 2
        heights = [self._section(section, MARGIN, wide, dry=True) for section in self.sheet.sections]
        cut = min(range(len(heights) + 1), key=lambda k: (max(sum(heights[:k]), sum(heights[k:])), k))
        top, ends = self.get_y(), [self.get_y()]
        for x, sections in ((MARGIN, self.sheet.sections[:cut]), (MARGIN + wide + GUTTER, self.sheet.sections[cut:])):
            self.set_y(top)
            for section in sections:
                self._section(section, x, wide)
            ends.append(self.get_y())
        self.set_y(max(ends))

    def _section(self, section: Section, x, width, *, dry=False):
        """One section, or only its height."""
        if dry:
            return self._section_body(section, x + 2.5 * section.care, width - 2.5 * section.care, dry=True) + 1.6
        top, page = self.get_y(), self.page
        with self.part("Sect"):
            total = self._section_body(section, x + 2.5 * section.care, width - 2.5 * section.care)
        if section.care and self.page == page:
            self._rule(0.9, CARE, down_from=top, x=x + 0.5)
        self.set_y(self.get_y() + 1.6)
        return total + 1.6

    def _section_body(self, section, x, width, *, dry=False):
        """Heading, paragraphs, list; returns their height."""
        place = {"x": x, "width": width, "dry": dry}
        colour = CARE if section.care else BLUE
        total = self._text(section.title, 1.02, style="B", colour=colour, after=0.5, tag="H2", **place)
        for words in section.words:
            total += self._text(words, after=0.7, **place)
        inner = {"after": 0.5, "x": x + INDENT, "width": width - INDENT, "dry": dry}
        if dry:
            return total + sum(self._text(words, **inner) for words in section.items)
        if section.items:
            with self.part("L"):
                for number, words in enumerate(section.items, 1):
                    total += self._item(f"{number}." if section.ordered else "☐" if section.ticks else "•", words, inner)
        return total

    def _item(self, label, words, inner):
        """One item of a list with its label before it."""
        if self.whole and self.get_y() + 8 > self.bottom:
            self.add_page()
        with self.part("LI"):
            y = self.get_y()
            self._text(label, x=inner["x"] - INDENT, width=INDENT + 1, tag="Lbl")
            self.set_y(y)
            return self._text(words, tag="LBody", **inner)

    def _footer(self, link):
        aside = 17.0 if link else 0.0
        width = self.epw - aside - 3 * bool(link)
        if self.whole and self.get_y() + max(aside, self._text(self.sheet.footer, 0.8, width=width, dry=True)) > self.bottom:
            self.add_page()
        top = self.get_y()
        self._text(self.sheet.footer, 0.8, colour=QUIET, width=width)
        if link:
            self._link(link, width)
            x = self.w - MARGIN - aside
            self.image(io.BytesIO(qr_png(link)), x=x, y=top, w=aside, h=aside, alt_text=f"QR code of {link}")
            self.set_y(max(self.get_y(), top + aside))

    def _link(self, link, width):
        y = self.get_y()
        with self.part("Link") as element:
            high = self._text(link, 0.8, colour=BLUE, width=width, tag="Span")
            self.tagged_link(element, (MARGIN, y, min(self.get_string_width(link), width), high), link, link)


def _shape(png):
    """Height over width of a PNG."""
    wide, high = (int.from_bytes(png[i:i + 4], "big") for i in (16, 20))
    return high / wide


def _fonts() -> Path:
    from matplotlib import get_data_path

    return Path(get_data_path()) / "fonts" / "ttf"


def _texts(sheet, *more):
    """Every word that the page will show."""
    yield from (sheet.title, sheet.lead, sheet.footer, *more)
    yield from (picture.caption for picture in sheet.pictures)
    for grid in sheet.tables:
        yield from (grid.caption, *map(str, grid.head), *(str(cell) for row in grid.rows for cell in row))
    for section in sheet.sections:
        yield from (section.title, *section.words, *section.items)
