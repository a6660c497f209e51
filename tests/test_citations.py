"""Whatever the package cites says how it is known: seen, quoted, from memory, computed, our judgement, common practice."""

import ast
import re

from test_house import MODULES, name_of, room

MONTHS = "January|February|March|April|May|June|July|August|September|October|November|December"
# a name with a year, a year behind volume and page, a DOI, or a body that sets standards
CITED = re.compile(rf"""\b(?!{MONTHS})[A-Z][\w.’-]+(?:\ et\ al\.)?,?\ \(?(?:1[89]|20)\d\d\b(?!-)
                    | \d:\d+,?\ \(?(?:1[89]|20)\d\d\b(?!-)
                    | \bdoi\b | \bISO\ \d | IAPWS | CIPM | NASA | Equipment\ Rules""", re.VERBOSE)  # fmt: skip
MARKED = re.compile(r"from\s+memory|\bquoted\b|\bseen\b|judgement|\bcomputed\b|common practice"
                    r"|[([][SQMCJ](?:[,/ ]+[SQMCJ])*[)\]]")
ROOMS = ("kernel", "physics", "evidence", "records", "outcomes", "fields")


def paragraphs_of(path):
    """Every paragraph of every docstring of a file, private ones too."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef) and ast.get_docstring(node):
            for paragraph in re.split(r"\n\s*\n", ast.get_docstring(node)):
                yield f"{name_of(path)}.{getattr(node, 'name', '')}", paragraph


def test_every_citation_says_how_it_is_known():
    """In the same paragraph as an author's year, a DOI or a standard stands its mark."""
    rooms = [path for path in MODULES if room(name_of(path)) in ROOMS]
    cited = [(name, text) for path in rooms for name, text in paragraphs_of(path) if CITED.search(text)]
    assert len(cited) > 40
    assert not [(name, text) for name, text in cited if not MARKED.search(text)]


def test_the_reader_finds_citations_and_marks():
    """The check itself is checked."""
    for text in ("Holm 1979", "Gobush (1996)", "Metrologia 45:149 (2008)", "BIT 11:168, 1971", "doi 10.1000/1", "ISO 2533",
                 "Smith et al. 2018"):
        assert CITED.search(text) and not MARKED.search(text), text
    for text in ("models since 1 January 2010", "1     shot     2026-05-04T10:31:07", "1900 draws", "line 2000"):
        assert not CITED.search(text), text
    for text in ("Penner 2003, quoted", "Chou 1994 (Q)", "(S, C)", "Holm 1979, from\n    memory"):
        assert MARKED.search(text), text
    assert not MARKED.search("a length [m] and S alone")
