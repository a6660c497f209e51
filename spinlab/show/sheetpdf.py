"""A sheet as PDF: real text, fonts embedded, headings and pictures tagged, made small enough to stand on one page.

Written with fpdf2 (pure Python; Matplotlib's own DejaVu fonts); no browser is needed.
"""

from __future__ import annotations

import io
from functools import cached_property
from pathlib import Path

from fpdf import FPDF

from .pack import Section, Sheet, logo_bytes, qr_png, signed

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
        page.check_letters(coach)
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


class _Page(FPDF):
    """The page at one size of text; lengths in millimetres."""

    def __init__(self, sheet, paper, scale, *, whole):
        super().__init__(format=PAPERS[paper])
        self.sheet, self.scale, self.whole = sheet, scale, whole
        self.set_margins(MARGIN, 11)
        self.c_margin = 0
        self.set_auto_page_break(whole, 10)
        folder = _fonts()
        self.add_font("DejaVu", fname=folder / "DejaVuSans.ttf")
        self.add_font("DejaVu", style="B", fname=folder / "DejaVuSans-Bold.ttf")
        self.set_lang("en")
        self.set_title(sheet.title)
        self.set_producer("wedge-spinlab")
        self.set_creator("wedge-spinlab")
        self.add_page()

    def check_letters(self, name):
        """Refuse a name that the font cannot write, rather than leave letters out."""
        lacking = sorted({letter for letter in name if letter != " " and ord(letter) not in self.fonts["dejavu"].cmap})
        if lacking:
            raise ValueError(f"the PDF's font has no {' '.join(lacking)}; use other letters, or take the HTML page")

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
        """A paragraph or, with another `tag`, a heading (H1, H2); returns its height."""
        x, width = self.l_margin if x is None else x, width or self.epw
        high = self._pen(size, style, colour)
        self.set_x(x)
        options = {"align": align, "new_x": "LMARGIN", "new_y": "NEXT"}
        if dry:
            return self.multi_cell(width, high, words, dry_run=True, output="HEIGHT", **options) + after
        top = self.get_y()
        if self.whole and top + self.multi_cell(width, high, words, dry_run=True, output="HEIGHT", **options) > self.bottom:
            self.multi_cell(width, high, words, **options)  # a tag may not reach over the end of a page
        else:
            with self._marked_sequence() as element:  # the library tags pictures by itself, text only here
                self.multi_cell(width, high, words, **options)
            element.s = f"/{tag}"
        self.set_y(self.get_y() + after)
        return self.get_y() - top

    def _header(self, coach, logo, date):
        top, aside = self.get_y(), 0.0
        if coach or logo or date:
            aside, y = 44.0, top
            x = self.w - MARGIN - aside
            if logo:
                self.image(io.BytesIO(logo), x=x, y=y, w=aside, h=15 * self.scale, keep_aspect_ratio=True, alt_text="Logo")
                y += 15 * self.scale + 1
            self.set_y(y)
            for words in filter(None, (coach, date)):
                self._text(words, 0.9, colour=QUIET, x=x, width=aside, align="R")
        below = self.get_y()
        self.set_y(top)
        self._text(self.sheet.title, 1.75, style="B", tag="H1", width=self.epw - aside - 2 * bool(aside))
        self.set_y(max(self.get_y(), below) + 0.8)
        self._rule(0.9, (0, 114, 178))

    def _rule(self, wide, colour):
        self.set_draw_color(*colour)
        self.set_line_width(wide)
        self.line(MARGIN, self.get_y(), self.w - MARGIN, self.get_y())
        self.set_y(self.get_y() + 1.6)

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
        if grid.caption:
            self._text(grid.caption, 0.82, colour=QUIET, after=0.4)
        high = self._pen(0.86)
        rows = [grid.head, *grid.rows]
        natural = [max(self.get_string_width(str(row[i])) for row in rows) * 1.06 + 2.4 for i in range(len(grid.head))]
        if sum(natural) > self.epw:
            high = self._pen(max(0.86 * self.epw / sum(natural), 0.6))
        self.set_draw_color(*LINE)
        self.set_line_width(0.2)
        widths = [self.epw * one / sum(natural) for one in natural]
        aligns = ["LEFT", *["RIGHT"] * (len(grid.head) - 1)]
        with self.table(col_widths=widths, text_align=aligns, borders_layout="HORIZONTAL_LINES", padding=(0.5, 0.8),
                        line_height=7.6 if grid.blank else high, width=self.epw) as table:
            for cells in rows:
                table.row(list(map(str, cells)))
        self.set_y(self.get_y() + 1.4)

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
        top, total = self.get_y(), 0.0
        if section.care:
            x, width = x + 2.5, width - 2.5
        place = {"x": x, "width": width, "dry": dry}
        colour = CARE if section.care else BLUE
        total += self._text(section.title, 1.02, style="B", colour=colour, after=0.5, tag="H2", **place)
        for words in section.words:
            total += self._text(words, after=0.7, **place)
        for number, words in enumerate(section.items, 1):
            if not dry:
                if self.whole and self.get_y() + 8 > self.bottom:
                    self.add_page()
                y = self.get_y()
                self._text(f"{number}." if section.ordered else "•", x=x, width=INDENT + 1)
                self.set_y(y)
            total += self._text(words, after=0.5, x=x + INDENT, width=width - INDENT, dry=dry)
        if section.care and not dry and self.get_y() > top:
            self.set_draw_color(*CARE)
            self.set_line_width(0.9)
            self.line(x - 2, top, x - 2, self.get_y())
        if not dry:
            self.set_y(self.get_y() + 1.6)
        return total + 1.6

    def _footer(self, link):
        aside = 17.0 if link else 0.0
        top = self.get_y()
        if link:
            x = self.w - MARGIN - aside
            self.image(io.BytesIO(qr_png(link)), x=x, y=top, w=aside, h=aside, link=link, alt_text=f"QR code of {link}")
        width = self.epw - aside - 3 * bool(link)
        self._text(self.sheet.footer, 0.8, colour=QUIET, width=width)
        if link:
            self._pen(0.8, colour=BLUE)
            self.set_x(MARGIN)
            self.multi_cell(width, None, link, link=link, align="L", new_x="LMARGIN", new_y="NEXT")
            self.set_y(max(self.get_y(), top + aside))


def _shape(png):
    """Height over width of a PNG."""
    wide, high = (int.from_bytes(png[i:i + 4], "big") for i in (16, 20))
    return high / wide


def _fonts() -> Path:
    from matplotlib import get_data_path

    return Path(get_data_path()) / "fonts" / "ttf"
