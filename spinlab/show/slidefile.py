"""A PDF of slides that says what stands on each: its title as a heading, its sentence, its picture in words.

Matplotlib writes the PDF and knows no tags; here they are put around what it draws (ISO 32000-1, 14.7 and 14.8 [M]).  It
uses inner parts of Matplotlib (`PdfFile.writeObject`, `newPage`, `finalize`), which the tests hold.  Labels within a picture
are part of the picture, whose words stand for them; PDF/UA is not claimed.
"""

from __future__ import annotations

from matplotlib.backends.backend_pdf import FigureCanvasPdf, Name, PdfFile, PdfPages, Verbatim
from matplotlib.text import Text

_ORDER = ("H1", "Figure", "P")
"""In which order a slide is read."""


class SlideFile(PdfFile):
    """A PDF whose pages hold a heading, words and one picture each, tagged so."""

    def __init__(self, target, *, metadata):
        self._slides, self._marks, self._picture = [], [], None
        super().__init__(target, metadata=metadata)

    def writeObject(self, object, contents):  # noqa: N802
        """Say in the catalog that there are tags, and on each page which row of the tree is its own."""
        kind = contents.get("Type") if isinstance(contents, dict) else None
        if kind == Name("Catalog"):
            self.tree = self.reserveObject("structure")
            contents |= {"Lang": b"en", "MarkInfo": {"Marked": True}, "StructTreeRoot": self.tree,
                         "ViewerPreferences": {"DisplayDocTitle": True}}
        elif kind == Name("Page"):
            contents |= {"StructParents": len(self.pageList), "Tabs": Name("S")}
        super().writeObject(object, contents)

    def newPage(self, width, height):  # noqa: N802
        """A slide begins, and with it its picture."""
        super().newPage(width, height)
        self._marks, self._picture = [], {"role": "Figure", "marks": []}
        self._begin(self._picture)

    def _begin(self, element):
        """What is drawn from here on belongs to this element."""
        element["marks"].append(len(self._marks))
        self._marks.append(element)
        self.output(Verbatim(f"/{element['role']} <</MCID {len(self._marks) - 1}>> BDC".encode()))

    def _end(self):
        self.output(Verbatim(b"EMC"))

    def words(self, role, words, draw):
        """Draw words that are a heading (H1) or a paragraph (P); the picture, left for that, goes on behind them."""
        self._end()
        self._begin({"role": role, "marks": [], "words": words})
        draw()
        self._end()
        self._begin(self._picture)

    def end_slide(self, alternative):
        """All is drawn; `alternative` are the words for the picture."""
        self._end()
        self._picture["words"] = alternative
        self._slides.append(self._marks)

    def finalize(self):
        """Write the tree before the end of the file."""
        document, slides, rows = self.reserveObject("document"), [], []
        for number, (page, marks) in enumerate(zip(self.pageList, self._slides)):
            slide, row = self.reserveObject("slide"), [None] * len(marks)
            elements = {id(element): element for element in marks}.values()
            kids = [self._element(element, slide, page, row) for element in
                    sorted(elements, key=lambda element: _ORDER.index(element["role"]))]
            self.writeObject(slide, {"Type": Name("StructElem"), "S": Name("Sect"), "P": document, "K": kids})
            slides.append(slide)
            rows += [number, row]
        self.writeObject(document, {"Type": Name("StructElem"), "S": Name("Document"), "P": self.tree, "K": slides})
        self.writeObject(self.tree, {"Type": Name("StructTreeRoot"), "K": [document], "ParentTree": {"Nums": rows}})
        super().finalize()

    def _element(self, element, slide, page, row):
        """Write one element and enter it for each of its marks."""
        own, words = self.reserveObject("element"), "Alt" if element["role"] == "Figure" else "ActualText"
        self.writeObject(own, {"Type": Name("StructElem"), "S": Name(element["role"]), "P": slide, "Pg": page,
                               "K": element["marks"], words: element["words"]})
        for number in element["marks"]:
            row[number] = own
        return own


class Slides(PdfPages):
    """Figures as pages of one PDF: ``with Slides(target, metadata=…) as slides: slides.add(figure, alternative)``."""

    def __init__(self, target, *, metadata):
        super().__init__(target, metadata=metadata)
        self._file = SlideFile(target, metadata=metadata)

    def add(self, figure, alternative):
        """A figure as the next page: its own bold text is the heading, its other texts are paragraphs."""
        file, whole = self._file, figure.draw
        for text in [child for child in figure.get_children() if isinstance(child, Text) and child.get_text()]:
            role, said = "H1" if text.get_weight() == "bold" else "P", " ".join(text.get_text().split())
            text.draw = lambda renderer, draw=text.draw, role=role, said=said: file.words(role, said, lambda: draw(renderer))

        def drawn(renderer):
            whole(renderer)
            file.end_slide(alternative)

        figure.draw = drawn
        FigureCanvasPdf(figure).print_pdf(self)
