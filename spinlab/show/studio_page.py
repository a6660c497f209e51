"""The studio as widgets: choose, make, watch it grow, stop it."""

from __future__ import annotations

import html as _html

import ipywidgets as w

from ..physics.players import PLAYERS
from . import deck, facts, panels
from .desk import demonstration_tables
from .exhibits import exhibit, exhibits
from .frame import framed_picture
from .gallery import PACK_LOOKS
from .moving import CLIPS
from .pack import Shown
from .studio import Job
from .style import UNITS, look

_WIDE, _LABEL = w.Layout(width="auto"), {"description_width": "8em"}
_BUTTON = w.Layout(width="auto", min_width="13em")


def _choice(label, options, **more):
    return w.Dropdown(description=label, options=options, layout=_WIDE, style=_LABEL, **more)


def _button(words, icon="file"):
    return w.ToggleButton(description=words, icon=icon, layout=_BUTTON)


class Page:
    """Five parts one below the other: name, handout, picture, clip and slides, claim."""

    def __init__(self, studio):
        self.studio = studio
        self.coach = w.Text(description="Your name", placeholder="may stay empty", layout=_WIDE, style=_LABEL)
        self.link = w.Text(description="Link", placeholder="may stay empty; printed with its QR code", layout=_WIDE,
                           style=_LABEL)
        self.units = _choice("Units", [(UNITS[name].name, name) for name in UNITS], value=studio.units)
        self.theme = _choice("Colours", [("light", "light"), ("dark", "dark")], value=studio.theme)
        sources = [(f"shots: {name}", ("table", path)) for name, path in demonstration_tables().items()]
        sources += [(f"player: {name}", ("player", name)) for name in PLAYERS]
        sources += [(f"lesson: {make.__name__.replace('_', ' ')}", ("panel", make)) for make in panels.EVERY]
        self.sheet, self.paper = _choice("Handout of", sources), _choice("Paper", ["A4", "Letter"])
        self.picture = _choice("Picture", [(one.title, name) for name, one in exhibits().items()],
                               value="dry-and-wet-wet")
        self.look = _choice("For", [("every use", PACK_LOOKS), *[(name, (name,)) for name in PACK_LOOKS]])
        self.clip = _choice("Clip", list(CLIPS))
        self.size, self.form = _choice("Size", ["wide", "tall"]), _choice("As", ["mp4", "gif", "webp"])
        self.captions = _choice("Captions", ["beside", "burnt", "none"])
        self.lesson = _choice("Slides of lesson", list(deck.LESSONS), value="02")
        self.claim = w.Combobox(description="Claim", options=facts.EXAMPLES, placeholder="wet halves the spin",
                                continuous_update=False, layout=_WIDE, style=_LABEL)
        self.bar = w.FloatProgress(min=0, max=1, layout=w.Layout(width="auto", flex="1 1 12em"))
        self.halt, self.said, self.answer = _button("Stop", "stop"), w.HTML(), w.HTML()
        self.job = Job(self._watched)
        self.box = w.VBox([*self._parts(), self.said, w.HTML("<h3>Check a claim</h3>"), self.claim, self.answer])
        self.claim.observe(self._checked, "value")
        self.halt.observe(lambda change: change["new"] and self._halted(), "value")

    def _parts(self):
        columns = w.Layout(grid_template_columns="repeat(auto-fit, minmax(17em, 1fr))", grid_gap="2px 14px")
        row = w.Layout(flex_flow="row wrap", align_items="center", grid_gap="4px 14px")
        makers = (("Write the handout", self._handout), ("Write the picture", self._pictures), ("Make the clip", self._clip),
                  ("Write the slides", self._slides), ("Write the words", self._words))
        self.makers = [self._maker(words, make) for words, make in makers]
        fields = [self.coach, self.link, self.units, self.theme, self.sheet, self.paper, self.picture, self.look, self.clip,
                  self.size, self.form, self.captions, self.lesson]
        buttons, watch = w.HBox(self.makers, layout=row), w.HBox([self.bar, self.halt], layout=row)
        return [w.GridBox(fields, layout=columns), buttons, watch]

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
            self.job.start(make())
            self._say("Working …")
        except ValueError as trouble:
            self._say(str(trouble))

    # what each button makes: the choices are read now, the work is done in the background

    def _handout(self):
        (kind, what), paper = self.sheet.value, self.paper.value
        make = {"table": self.studio.of_demonstration, "player": self.studio.of_player,
                "panel": lambda make, paper: self.studio.of_panel(make(), paper=paper)}[kind]
        return lambda progress, stop: make(what, paper=paper)

    def _pictures(self):
        name, looks = self.picture.value, self.look.value
        return lambda progress, stop: self.studio.pictures(name, looks=looks, progress=progress, stop=stop)

    def _clip(self):
        chosen = {"form": self.form.value, "size": self.size.value, "captions": self.captions.value}
        name = self.clip.value
        return lambda progress, stop: self.studio.clip(name, progress=progress, stop=stop, **chosen)

    def _slides(self):
        lesson = self.lesson.value
        return lambda progress, stop: self.studio.slides(lesson, progress=progress, stop=stop)

    def _words(self):
        return lambda progress, stop: self.studio.words()

    def _halted(self):
        self.halt.value = False
        self.job.stop()

    def _watched(self, done, whole, words):
        self.bar.value = done / whole
        if words:
            self._say(words)

    def _say(self, words):
        self.said.value = f'<p role="status"><b>{_html.escape(words)}</b></p>'

    def _checked(self, change):
        if not change["new"].strip():
            return
        try:
            answer = self.studio.check(change["new"])
        except ValueError as trouble:
            self.answer.value = f'<p role="alert"><b>{_html.escape(str(trouble))}</b></p>'
            return
        shown = f"<p style='font-size:1.25em;line-height:1.35' role='status'>{_html.escape(str(answer))}</p>"
        if answer.picture:
            shown += _image(answer.picture, self.units.value) + f"<p>{_html.escape(answer.source)}</p>"
        self.answer.value = shown


def _image(name, units):
    """A picture inside a page, with its words."""
    one = exhibit(name)
    picture = framed_picture(one.build, look("talk"), title=one.title)
    sentence = picture.show(one.make(), UNITS[units])

    shown = Shown(png=picture.encoded("png"), sentence=sentence)
    return f'<img style="max-width:100%" alt="{_html.escape(shown.sentence)}" src="{shown.data}">'
