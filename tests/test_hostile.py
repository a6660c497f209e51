"""Hostile words in a table, a session, a name or a report go through everything that is made of them, and stay words.

What a spreadsheet, a terminal, a page or a shell takes for a command is common practice, no source; the direction marks are
those of Unicode Standard Annex 9 (M).
"""

import csv
import io
import re
from html.parser import HTMLParser

import openpyxl
import pytest

from spinlab import doctor, files, shell
from spinlab.evidence import report, table
from spinlab.evidence.journal import Field, Journal, new_path
from spinlab.evidence.lines import seal, unseal
from spinlab.show import clip, desk, pack, planner, sheetpdf, studio, words
from spinlab.show.entry import Entry
from spinlab.units import rpm

TAGS = "<script>alert(1)</script> \"'></td><img src=x onerror=alert(1)> {{ 7*7 }} &lt;b&gt;"
STEERING = "\x1b]0;x\x07\x1b[31m \u202egnp.exe \u2066x \x85 \x9b31m"
NAMES = {
    "formula": "=cmd|' /C calc'!A0 ../../etc/passwd $x_{$ \\nosuch{ $\\frac{1}{0}$ %s {0}",
    "tags": TAGS,
    "steering": "wet\nas\r\nrain " + STEERING,
    "long": "w" * 300,
}
STEERS = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\u2028-\u202e\u2066-\u2069]")


def rows(name):
    """A table of shots with this name wherever a name may stand."""
    yield ["player", "condition", "note", name, "spin rate [rpm]", "launch angle [°]", "dynamic loft [°]"]
    for k in range(8):
        yield [name, name if k % 2 else "dry", name, name, 6000 + 37 * k + 900 * (k % 2), 28 + 0.1 * k, 44]


def as_csv(name) -> bytes:
    out = io.StringIO()
    csv.writer(out).writerows(rows(name))
    # so much is steered that it would be taken for no text at all: ordinary lines around it
    return (out.getvalue() + ",,ordinary words that are good to read,,,,\n" * 450).encode("utf-8")


def as_workbook(name) -> bytes:
    book, out = openpyxl.Workbook(), io.BytesIO()
    for line in rows(re.sub(r"[\x00-\x08\x0b-\x1f]", "", name)):  # a workbook cannot hold them
        book.active.append(line)
    for line in book.active.iter_rows():
        for cell in line:
            cell.data_type = "n" if isinstance(cell.value, (int, float)) else "s"
    book.save(out)
    return out.getvalue()


class Page(HTMLParser):
    """A page as a browser takes it."""

    def __init__(self, page):
        super().__init__()
        self.words, self.tags = [], []
        self.feed(page)

    def handle_data(self, data):
        self.words.append(data)

    def handle_starttag(self, tag, attributes):
        self.tags.append((tag, dict(attributes)))


def harmless(page) -> str:
    """The words of a page in which nothing runs and nothing is fetched."""
    seen = Page(page)
    for tag, about in seen.tags:
        assert tag not in ("script", "iframe", "object", "base", "form"), tag
        assert not [name for name in about if name.startswith("on")], about
        assert about.get("src", "data:").startswith("data:"), about
    assert not STEERS.search(page)
    return " ".join(seen.words)


@pytest.fixture(scope="module", params=NAMES)
def name(request):
    return NAMES[request.param]


@pytest.fixture(scope="module")
def made(name):
    """The report of a table with this name in it."""
    read = table.read(as_csv(name))
    return report.make(read, baseline="dry", rule=pack.default_rule(), model_bands=False)


def plainly(name):
    """A name as it must be told: the same letters, blanks for what steers."""
    return " ".join(STEERS.sub(" ", name).split())


def test_a_workbook_tells_the_same_words_as_text(name):
    read = table.read(as_workbook(name))
    assert set(read.frame["condition"]) - {"dry"} <= {plainly(name), plainly(re.sub(r"[\x00-\x08\x0b-\x1f]", "", name))}
    assert not STEERS.search(read.report())


def test_what_is_said_steers_no_terminal(made, name):
    told = made.text("metric")
    assert plainly(name) in told and not STEERS.search(told)


def test_the_handout_is_words(made, name):
    sheet = pack.demonstration_sheet(made)
    assert plainly(name) in harmless(pack.html(sheet, coach=plainly(name)[:80]))
    assert not re.search(rb"/(JavaScript|Launch|EmbeddedFile|SubmitForm|URI)", sheetpdf.pdf(sheet))


def test_claims_are_no_formulas(made, name, tmp_path):
    claims = words.claims((), report=made)
    written = words.write(claims, tmp_path / "claims.csv").read_text(encoding="utf-8-sig")
    cells = [cell for row in csv.reader(io.StringIO(written)) for cell in row]
    assert not [cell for cell in cells if re.match(r"\s*([=+@\t\r]|-(?!\d+(\.\d+)?$))", cell)]
    assert not STEERS.search(words.plain_text(claims))
    assert plainly(name) in harmless(words.write(claims, tmp_path / "claims.html").read_text(encoding="utf-8"))


def test_the_desk_shows_words(name):
    shown = desk.Desk(as_csv(name), baseline="dry")
    shown._repr_mimebundle_()
    view = shown._view
    assert plainly(name) in harmless(view.said.value) + harmless(view.more.value)
    harmless(view.picture.value + view.wrong.value)


def test_a_plan_and_its_session_keep_the_names(name, tmp_path):
    typed = plainly(name)[:200]  # what can be typed into a box
    laid = planner.Planner(2000 * rpm, conditions=("dry", typed), folder=tmp_path, sessions=tmp_path / "s")
    laid._repr_mimebundle_()
    harmless("".join(part.value for part in (laid._view.said, laid._view.more, laid._view.picture)))
    assert typed in harmless(laid.write(coach=typed[:80]).read_text(encoding="utf-8"))
    entry = Entry(laid.prepare(name, player=name))
    for k in range(4):
        entry.add(name[:200] if k % 2 else "dry", spin_rate=str(6000 + k), note=name[:200])
    assert len(entry.shots) == 4 and not STEERS.search(entry.table + entry.verdict)
    for line in csv.reader(io.StringIO(entry.table)):
        assert not re.match(r"[=+@]|-(?!\d+(\.\d+)?$)", line[-1]), line
    assert sorted(path.name for path in tmp_path.iterdir()) == ["plan.html", "s"]


def test_a_forged_session_steers_nothing(tmp_path):
    """Its checks hold: anybody can work them out."""
    path = tmp_path / "a.journal"
    Journal.create(path, fields=[Field.of("condition"), Field.of("spin_rate")])
    forged = seal(["1", "shot", "2026-05-04T10:31:07", "1", "wet STEER", "6450"]).rpartition(b"\t")[0]
    forged = forged.replace(b"STEER", "\x1b[31m\u202e".encode())
    from zlib import crc32

    path.write_bytes(path.read_bytes() + forged + b"\t%08x\n" % crc32(forged))
    shot, = Journal.open(path).shots.values()
    assert not STEERS.search(shot.cells["condition"]) and shot.cells["condition"].startswith("wet")
    assert unseal(seal(["a\u202eb"])) == ["a b"]


def test_a_tables_own_name_steers_no_terminal(tmp_path, monkeypatch, capsys):
    path = tmp_path / "\x1b[31mred\u202e.csv"
    path.write_bytes(as_csv("wet"))
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv(shell.READY, "1")
    assert not STEERS.search(table.read(path).report())
    assert shell.run(["report", "\x1b[31mred \u202e.csv"]) == 2
    assert not STEERS.search(capsys.readouterr().err.replace("\r", ""))


# -- files only in the folder that was chosen -------------------------------------------------------------------------

OUTSIDE = ["../x", "..", ".", "", "/var/x", "a/b", "..\\x", "C:\\x", "C:x", "\\\\host\\x", "a\0b", "con", "NUL.html", "x.",
           "x ", "é" * 120, "a:b", "x\n", "aux.pdf"]


@pytest.mark.parametrize("outside", OUTSIDE)
def test_a_name_leads_out_of_no_folder(outside, tmp_path):
    room = tmp_path / "room"
    room.mkdir()
    with pytest.raises(ValueError, match="plain"):
        files.inside(room, outside)
    with pytest.raises(ValueError, match="plain"):
        studio.Studio(room).place(outside)
    path = new_path(room, outside)
    assert path.parent == room and files.inside(room, path.name) == path
    assert list(tmp_path.iterdir()) == [room]


def test_desks_write_into_their_folder_only(tmp_path):
    room = tmp_path / "room"
    with pytest.raises(ValueError, match="plain"):
        desk.Desk(as_csv("wet"), folder=room).handout(name="../escaped.html")
    with pytest.raises(ValueError, match="plain"):
        planner.Planner(2000 * rpm, folder=room).write(name="/var/escaped.html")
    for making in (lambda s: s.slides("../02"), lambda s: s.clip("../x"), lambda s: s.pictures("../x"),
                   lambda s: s.clip(form="x/../../mp4")):
        with pytest.raises(ValueError):
            making(studio.Studio(room))
    assert not [path for path in tmp_path.rglob("*") if path.is_file()]


@pytest.mark.parametrize("plain", ["a.html", "leçon é.pdf", "日本.mp4", "it's 100%.txt", "-dash", ".hidden", "console.csv"])
def test_plain_names_are_taken(plain, tmp_path):
    assert files.inside(tmp_path, plain) == tmp_path / plain


def test_a_clips_words_reach_ffmpeg_as_words():
    """A list of arguments: no shell reads them; a place is a file, never a protocol or an option."""
    command = clip.ffmpeg_command(192, 108, 10, "$(touch x); -y 'a'", "concat:-x.mp4")
    assert command[0] == "ffmpeg" and "title=$(touch x); -y 'a'" in command and command[-1] == "file:concat:-x.mp4"


# -- a report that is sent along ---------------------------------------------------------------------------------------

HOME, USERS, DRIVE = "/" + "home", "/" + "Users", "C:\\" + "Users"
TOLD = {
    f"{HOME}/robin fairway/x, {HOME}/ROBIN Fairway/y": "~/x, ~/y",
    f"{DRIVE}\\Robin Miller\\Desktop\\spin": "~\\Desktop\\spin",
    "c:/users/kim/a": "~/a",
    f"{HOME}/kim/a, {USERS}/kim, /media/kim/STICK": "~/a, ~, ~/STICK",
    f"file://{HOME}/robin%20fairway/a": "file://~/a",
    f"in {HOME}/kim: no room": "in ~: no room",
    f"{HOME}/robin fairway-old/x": "~/x",
    "jo is here; joint, jo_laptop": "(person) is here; joint, (person)_laptop",
    "Robins-Laptop.example.org, robins-laptop": "(machine), (machine)",
    "http://127.0.0.1:8888/?token=abcdef123&x=1": "http://127.0.0.1:8888/?token=(hidden)&x=1",
    "Authorization: Bearer abc.def": "Authorization: (hidden)",
    "password: hunter2": "password: (hidden)",
    "0123456789abcdef" * 3: "(hidden)",
    "mail kim.k+x@example.org now": "mail (address) now",
    "https://kim:pw@example.org/x": "(hidden)@example.org/x",
}


@pytest.mark.parametrize("written", TOLD)
def test_a_report_names_nobody(written, monkeypatch):
    monkeypatch.setattr(doctor.Path, "home", lambda: doctor.Path(HOME) / "robin fairway")
    monkeypatch.setattr(doctor.platform, "node", lambda: "Robins-Laptop.example.org")
    monkeypatch.setenv("USER", "jo")
    assert doctor.without_person(written) == TOLD[written]


@pytest.mark.parametrize("told", ["Python 3.11, 127.0.0.1, numpy>=2.0", "the token is needed", "a/b and c/d",
                                  "files can be written here", "3.1 GB free; a first setup needs 2.5 GB"])
def test_what_is_not_personal_stays(told):
    assert doctor.without_person(told) == told
