"""The studio as widgets: choose, make, watch it grow, stop it."""

from __future__ import annotations

import html as _html

import ipywidgets as w

from ..files import write_atomically
from ..panels.spoken import follow
from ..physics.players import PLAYERS
from . import facts, handouts
from .desk import demonstration_tables
from .exhibits import exhibit, exhibits
from .gallery import PACK_LOOKS
from .moving import CLIPS
from .pack import PAPERS, data_uri, logo_bytes
from .plate import STYLE, plate
from .studio import Job
from .style import UNITS

_WIDE, _LABEL = w.Layout(width="auto"), {"description_width": "6em"}
_BUTTON = w.Layout(width="auto", min_width="13em")
_COLUMNS = w.Layout(grid_template_columns="repeat(auto-fit, minmax(min(100%, 19em), 1fr))", grid_gap="2px 14px",
                    flex="1 1 30em", width="auto")
_ROW = w.Layout(flex_flow="row wrap", align_items="flex-start", grid_gap="4px 14px", padding="0.4em 0 0.5em")
_SEEN = {".png": "image/png", ".gif": "image/gif", ".webp": "image/webp"}
_MOST_SEEN = 4_000_000
"""The largest file [bytes] that is shown at once; larger ones are only named."""


def _choice(label, options, **more):
    return w.Dropdown(description=label, options=options, layout=_WIDE, style=_LABEL, **more)


def _button(words, icon="file"):
    return w.ToggleButton(description=words, icon=icon, layout=_BUTTON)


class Page:
    """One row for each kind of thing, with its choices and its button; above them what all share, below them a claim."""

    def __init__(self, studio):
        self.studio, self.job = studio, Job(self._watched)
        self._shared()
        self._choices()
        self.bar = w.FloatProgress(min=0, max=1, layout=w.Layout(width="auto", flex="1 1 12em"))
        self.halt, self.said, self.seen, self.answer = _button("Stop", "stop"), w.HTML(), w.HTML(), w.HTML()
        self.claim = w.Combobox(description="Claim", options=facts.EXAMPLES, continuous_update=False, layout=_WIDE,
                                style=_LABEL, placeholder="wet halves the spin; then press Enter")
        watch = w.HBox([self.bar, self.halt], layout=w.Layout(flex_flow="row wrap", grid_gap="4px 14px"))
        self.box = w.VBox([*self._rows(), watch, self.said, self.seen, w.HTML("<h3>Check a claim</h3>"),
                           self.claim, self.answer, w.HTML(STYLE)], layout=w.Layout(padding="0 1em"))
        self.box.add_class("spin-desk")
        self.claim.observe(self._checked, "value")
        self.logo.observe(self._signed, "value")
        self.halt.observe(lambda change: change["new"] and self._halted(), "value")

    def _shared(self):
        s = self.studio
        self.coach = w.Text(description="Your name", value=s.coach, placeholder="may stay empty", layout=_WIDE, style=_LABEL)
        self.link = w.Text(description="Link", value=s.link, placeholder="with its QR code", layout=_WIDE, style=_LABEL)
        self.logo = w.FileUpload(accept=".png,.jpg,.jpeg", description="Your logo (PNG or JPEG)", layout=_BUTTON)
        self.units = _choice("Units", [(UNITS[name].name, name) for name in UNITS], value=s.units)
        follow(self.units)
        self.theme = _choice("Colours", ["light", "dark"], value=s.theme)

    def _choices(self):
        tables = demonstration_tables()
        sources = [(f"shots: {name}", ("table", path)) for name, path in tables.items()]
        sources += [(f"player: {name}", ("player", name)) for name in PLAYERS]
        sources += [(f"lesson {name}", ("lesson", name)) for name in handouts.WHAT if name.isdigit()]
        self.sheet, self.paper = _choice("Of", sources), _choice("Paper", list(PAPERS))
        pictures = [(one.title, (name,)) for name, one in exhibits().items()]
        self.picture = _choice("Picture", [*pictures, ("all of them (takes minutes)", ())], value=("dry-and-wet-wet",))
        self.look = _choice("For", [("every use", PACK_LOOKS), *[(name, (name,)) for name in PACK_LOOKS]])
        self.paperless = _choice("Paper", [("as the colours", False), ("none: see-through", True)])
        self.clip = _choice("Clip", [(name.replace("-", " "), name) for name in CLIPS])
        self.size, self.form = _choice("Size", ["wide", "tall"]), _choice("As", ["mp4", "gif", "webp"])
        self.captions = _choice("Captions", [("in a file beside", "beside"), ("in the picture", "burnt"), ("none", "none")])
        lessons = list(dict.fromkeys(one.lesson for one in exhibits().values()))
        self.lesson = _choice("Lesson", lessons, value="02")
        measured = [(f"shots: {name}", path) for name, path in tables.items()]
        self.shots = _choice("From", [("the model alone", ""), *measured])

    def _rows(self):
        rows = (("Handout", [self.sheet, self.paper], "Write the handout", self._handout),
                ("Picture", [self.picture, self.look, self.paperless], "Write the picture", self._pictures),
                ("Clip", [self.clip, self.size, self.form, self.captions], "Make the clip", self._clip),
                ("Slides", [self.lesson], "Write the slides", self._slides),
                ("Claims, storyboard", [self.shots], "Write the words", self._words))
        self.makers, made = [], [self._row("For all", [self.coach, self.link, self.units, self.theme], self.logo)]
        for name, fields, words, make in rows:
            self.makers.append(self._maker(words, make))
            made.append(self._row(name, fields, self.makers[-1]))
        return made

    @staticmethod
    def _row(name, fields, last):
        title = w.HTML(f"<b style='display:block;line-height:1.3'>{name}</b>", layout=w.Layout(width="8em"))
        return w.HBox([title, w.GridBox(fields, layout=_COLUMNS), last], layout=_ROW)

    def _maker(self, words, make):
        """A button that starts a piece of work."""
        button = _button(words)

        def pressed(change):
            if change["new"]:
                button.value = False
                self._start(make)

        button.observe(pressed, "value")
        return button

    def _start(self, make):
        s = self.studio
        s.coach, s.link, s.units, s.theme = self.coach.value, self.link.value.strip(), self.units.value, self.theme.value
        try:
            self._say("Working …")
            self.job.start(make())
        except ValueError as trouble:
            self._say(str(trouble))

    # what each button makes: the choices are read now, the work is done in the background

    def _handout(self):
        (kind, what), paper = self.sheet.value, self.paper.value
        make = {"table": self.studio.of_demonstration, "player": self.studio.of_player,
                "lesson": self.studio.of_lesson}[kind]
        return lambda progress, stop: make(what, paper=paper)

    def _pictures(self):
        names, looks, paperless = self.picture.value, self.look.value, self.paperless.value
        return lambda progress, stop: self.studio.pictures(*names, looks=looks, transparent=paperless, progress=progress,
                                                           stop=stop)

    def _clip(self):
        chosen = {"form": self.form.value, "size": self.size.value, "captions": self.captions.value}
        name = self.clip.value
        return lambda progress, stop: self.studio.clip(name, progress=progress, stop=stop, **chosen)

    def _slides(self):
        lesson = self.lesson.value
        return lambda progress, stop: self.studio.slides(lesson, progress=progress, stop=stop)

    def _words(self):
        table = self.shots.value or None
        return lambda progress, stop: self.studio.words(table=table)

    # what is heard and shown

    def _halted(self):
        self.halt.value = False
        self.job.stop()

    def _signed(self, change):
        """A logo that was chosen is kept beside what is made, if it is one."""
        if not change["new"]:
            return
        path = self.studio.place("your logo")
        try:
            write_atomically(path, bytes(change["new"][0]["content"]))
            logo_bytes(path)
        except (ValueError, OSError) as trouble:
            self.studio.logo = None
            path.unlink(missing_ok=True)
            self._say(str(trouble))
        else:
            self.studio.logo = path
            self._say("Your logo goes onto the handouts.")

    def _watched(self, done, whole, words, made):
        self.bar.value = done / whole
        if words:
            self._say(words)
            self.seen.value = _seen(made)

    def _say(self, words):
        self.said.value = f'<p role="status"><b>{_html.escape(words)}</b></p>'

    def _checked(self, change):
        if not change["new"].strip():
            return
        self.answer.value = "<p role='status'>Checking …</p>"  # the answer before belongs to another claim
        self.studio.units = self.units.value
        try:
            answer = self.studio.check(change["new"])
        except ValueError as trouble:
            self.answer.value = f'<p role="alert"><b>{_html.escape(str(trouble))}</b></p>'
            return
        shown = f"<p style='font-size:1.25em;line-height:1.35' role='status'>{_html.escape(str(answer))}</p>"
        if answer.picture:
            shown += _image(answer.picture, self.units.value) + f"<p>{_html.escape(answer.source)}</p>"
        self.answer.value = shown


def _seen(made):
    """The first picture or moving picture of what was made, shown small; nothing where there is none, or it is large."""
    path = next((path for path in made if path.suffix in _SEEN and path.stat().st_size <= _MOST_SEEN), None)
    if path is None:
        return ""
    told = "".join(file.read_text(encoding="utf-8") for file in made if file.suffix == ".txt")
    words = told.partition("Alternative text\n")[2].strip().partition("\n\n")[0] or f"What {path.name} shows."
    return (f'<img style="max-width:100%;max-height:50vh" alt="{_html.escape(words)}" '
            f'src="{data_uri(_SEEN[path.suffix], path.read_bytes())}">')


def _image(name, units):
    """A picture inside a page, with its title and its words."""
    one = exhibit(name)
    return f"<p><b>{_html.escape(one.title)}</b></p>{plate(one.build, one.make(), units)}"
