"""The structure inside a PDF: what is a heading, a list, a row of a table, what a picture shows, what is mere decoration.

fpdf2 tags pictures alone, all in one flat row; here its marks are put into a tree (ISO 32000-1, 14.7 and 14.8 [M]), so that
a reading program steps from heading to heading and knows row and column of a cell.  What is not done: pictures have no
bounding box (/BBox), fonts and colours are not claimed to meet PDF/UA, and the file does not say that it does.
"""

from __future__ import annotations

import unicodedata
from contextlib import contextmanager

from fpdf import FPDF, ViewerPreferences
from fpdf.actions import URIAction
from fpdf.annotations import PDFAnnotation
from fpdf.structure_tree import NumberTree, StructElem, StructureTreeBuilder
from fpdf.syntax import PDFArray, PDFString

_FIRST_LINK = 10_000
"""Keys of links in the parent tree, clear of those of pages."""


class _Document(StructElem):
    """The root of the tree.  For fpdf2 its children are all marks, page by page; in the file they are the `parts` alone."""

    def __init__(self, root):
        super().__init__(struct_type="/Document", parent=root, kids=[])
        self._parts = PDFArray()

    def serialize(self, *arguments, **options):
        marks, self.k = self.k, self._parts
        try:
            return super().serialize(*arguments, **options)
        finally:
            self.k = marks


class _Parents(NumberTree):
    """Which element a mark or a link belongs to: a row of elements for a page, one element for a link."""

    def serialize(self, obj_dict=None, _security_handler=None):
        def of(key, elements):
            refs = " ".join(element.ref for element in elements)
            return f"{key} {refs}" if key >= _FIRST_LINK else f"{key} [{refs}]"

        pairs = "\n".join(of(key, elements) for key, elements in sorted(self.nums.items()))
        return super(NumberTree, self).serialize({"/Nums": f"[{pairs}]"})


class Tree(StructureTreeBuilder):
    """fpdf2's marks, each within the part that was open when it was made."""

    def __init__(self):
        super().__init__()
        root = self.struct_tree_root
        self.doc_struct_elem, self.groups, self.open = _Document(root), [], []
        root.k, root.parent_tree = PDFArray([self.doc_struct_elem]), _Parents()

    def begin(self, role, attributes=None):
        """Open a part."""
        part = StructElem(struct_type=f"/{role}", parent=self.doc_struct_elem, kids=[])
        part.a = attributes
        self._place(part)
        self.groups.append(part)
        self.open.append(part)
        return part

    def add_marked_content(self, **options):
        mark, page = super().add_marked_content(**options)
        self._place(mark)
        return mark, page

    def _place(self, element):
        if self.open:
            element.p = self.open[-1]
            self.open[-1].k.append(element)
        else:
            self.doc_struct_elem._parts.append(element)

    def __iter__(self):
        yield from (self.struct_tree_root, self.doc_struct_elem, self.struct_tree_root.parent_tree, *self.groups,
                    *self.doc_struct_elem.k)


class _Reference:
    """A link as a child of its element."""

    def __init__(self, annotation):
        self.annotation = annotation

    def serialize(self, *_, **__):
        return f"<</Type /OBJR /Obj {self.annotation.ref}>>"


class Tagged(FPDF):
    """A PDF whose words and pictures are put into a tree: ``with pdf.part("LI"), pdf.mark("LBody", words): …``."""

    def __init__(self, *, title, **options):
        super().__init__(**options)
        self.struct_builder = Tree()
        self.set_lang("en")
        self.set_title(title)
        self.set_producer("wedge-spinlab")
        self.set_creator("wedge-spinlab")
        self.viewer_preferences = ViewerPreferences(display_doc_title=True)

    @contextmanager
    def part(self, role, **attributes):
        """A part that holds others, such as Sect, L, Table; ``Scope="Column"`` is an attribute of a heading cell."""
        told = "".join(f" /{name} /{value}" for name, value in attributes.items())
        part = self.struct_builder.begin(role, f"<</O /Table{told}>>" if told else None)
        try:
            yield part
        finally:
            self.struct_builder.open.pop()

    @contextmanager
    def mark(self, role, words):
        """What is drawn now is a heading (H1, H2), a paragraph (P), a label (Lbl) …; it stays on one page.  The `words` are
        kept beside, because between two lines of the page there is no blank."""
        number = self.struct_builder.next_mcid_for_page(self.page)
        element = self._add_marked_content(struct_type=f"/{role}", mcid=number)
        element.actual_text = PDFString(" ".join(words.split("\n")))
        self._out(f"/{role} <</MCID {number}>> BDC")
        yield
        self._out("EMC")

    @contextmanager
    def decoration(self):
        """What is drawn now means nothing: rules, borders."""
        self._out("/Artifact BMC")
        yield
        self._out("EMC")

    def tagged_link(self, element, box, address, words):
        """A link over a box (x, y, width, height), as a child of an element of the tree; `words` say where it leads."""
        x, y, wide, high = (self.k * edge for edge in box)
        annotation = PDFAnnotation("Link", x=x, y=self.h_pt - y, width=wide, height=high, action=URIAction(address),
                                   contents=words)
        self.pages[self.page].add_annotation(annotation)
        key = _FIRST_LINK + len(self.struct_builder.groups)
        annotation.struct_parent = key
        element.k.append(_Reference(annotation))
        self.struct_builder.struct_tree_root.parent_tree.nums[key].append(element)
        self.pages[self.page].tabs = "/S"


def check_letters(texts, known) -> None:
    """Refuse what a page's font (`known` holds its letters' codes) cannot write, rather than leave letters out.

    Raises
    ------
    ValueError
        a letter is not in the font, or runs from right to left, which needs a setting of its own.
    """
    letters = sorted({letter for text in texts for letter in text if not letter.isspace()})
    turned = [letter for letter in letters if unicodedata.bidirectional(letter) in ("R", "AL", "AN")]
    if turned:
        raise ValueError(f"the PDF cannot set what runs from right to left ({' '.join(turned[:9])}); use other letters, or "
                         "write the page as .html")
    lacking = [letter for letter in letters if ord(letter) not in known]
    if lacking:
        raise ValueError(f"the PDF's font has no {' '.join(lacking[:9])}; use other letters, or write the page as .html")
