"""The planning desk: from the effect to be shown to a sheet to print and a session ready to be typed in.

Without a browser it is plain Python: ``Planner(effect=2000*rpm)``, ``planner.choose(scatter="steady hitter")``,
``planner.plan``, ``planner.write()``.  Everything is SI; the widgets show degrees, rpm, metres or yards.
"""

from __future__ import annotations

import html as _html
from pathlib import Path

from ..evidence import plan as plans
from ..evidence import table
from ..evidence.journal import new_path
from ..evidence.wording import saying
from ..files import inside
from ..messages import message_of
from ..panels.spoken import follow, units_of
from ..units import deg, rpm, unit
from . import figures, pack
from .desk import demonstration_tables, rule_boxes
from .entry import Entry
from .plate import STYLE, folded, listed, plate
from .style import UNITS

MEASURES = {"spin_rate": 1500 * rpm, "launch_angle": 5 * deg, "carry": 5.0}
"""What can be planned for, and the effect that is offered to begin with [SI]: what wet against dry gives (our judgement)."""
ORDERS = {"ABBA": "turn about: 1 2 2 1", "ABBABAAB": "turn about: 1 2 2 1 2 1 1 2", "blocks": "in blocks, drawn by lot",
          "last": "all of the first, then the second"}
"""Orders as people read them."""
_OWN = "own"
COLUMNS = ("head_speed", "dynamic_loft", "launch_angle", "spin_rate", "carry")


class Planner:
    """A demonstration being planned.

    Parameters
    ----------
    effect : float, optional
        the difference to be shown [SI]; what is usual for `of` if left out
    scatter : str or path
        a hitter of `spinlab.evidence.plan.SCATTER`, or an earlier table of one's own
    of, conditions, wanted, order, lost, dynamic_loft, seed
        as in `spinlab.evidence.plan.plan`
    folder, sessions : path
        where the sheet goes, and where live entry keeps its sessions
    """

    def __init__(self, effect=None, *, of="spin_rate", scatter="club player", conditions=("dry", "wet"), wanted=0.9,
                 order="ABBA", lost=0.15, dynamic_loft=(40 * deg, 48 * deg), seed=1, units=None, folder=".",
                 sessions="sessions"):
        self.folder, self.sessions = Path(folder), Path(sessions)
        self.error, self.written, self.prepared, self._view = "", None, None, None
        self.choices = {"of": of, "scatter": scatter, "conditions": tuple(conditions), "wanted": wanted, "order": order,
                        "lost": lost, "dynamic_loft": dynamic_loft, "seed": seed, "units": units_of(units)}
        self.choose(effect=MEASURES.get(of) if effect is None else effect)

    def choose(self, **changes) -> Planner:
        """Change what is planned for, and plan again; what is left out stays.  Where it cannot be, the last plan stays."""
        now = self.choices | changes
        unknown = set(now) - {*self.choices, "effect"}
        if unknown:
            raise ValueError(f"a plan has no {', '.join(sorted(unknown))}; it has {', '.join(self.choices)}")
        if now["of"] not in MEASURES:
            raise ValueError(f"a plan is for one of {', '.join(MEASURES)}, got {now['of']!r}")
        if now["units"] not in UNITS:
            raise ValueError(f"units must be one of {', '.join(UNITS)}, got {now['units']!r}")
        if now["of"] != self.choices["of"] and "effect" not in changes:
            now["effect"] = MEASURES[now["of"]]
        asked = {name: now[name] for name in ("of", "conditions", "wanted", "lost", "dynamic_loft", "seed", "order")}
        self.plan = plans.plan(now["effect"], _scatter(now["scatter"], now["of"]), columns=COLUMNS,
                               carry_over="last" if now["order"] == "last" else "dried", **asked)
        self.choices = now
        return self

    @property
    def units(self) -> str:
        """What the numbers are told in: metric or yards."""
        return self.choices["units"]

    @property
    def sentence(self) -> str:
        """The plan, to say aloud."""
        return self.plan.sentence(self.units)

    def write(self, *, coach="", logo=None, paper="A4", name="plan.html") -> Path:
        """Write the sheet to print; returns where it is."""
        self.folder.mkdir(parents=True, exist_ok=True)
        sheet = pack.plan_sheet(self.plan, units=self.units)
        self.written = pack.write(pack.html(sheet, coach=coach, logo=logo, paper=paper), inside(self.folder, name))
        return self.written

    def prepare(self, name="demonstration", *, player="") -> Path:
        """Begin a session for live entry: its columns, conditions and their order, its rule and units are the plan's."""
        plan, path = self.plan, new_path(self.sessions, name)
        Entry(path, columns=(*plan.columns, "note"), units=self.units, conditions=plan.conditions, order=plan.order,
              rule=plan.rule, name=name, player=player)
        self.prepared = path
        return path

    def _repr_mimebundle_(self, **options):
        if self._view is None:
            self._view = _View(self)
        return self._view.box._repr_mimebundle_(**options) | {"text/plain": self.sentence}


def _scatter(source, of):
    """A hitter's name as it is; an earlier table → its scatter, with the care that few shots need."""
    if isinstance(source, str) and source in plans.SCATTER:
        return source
    read = source if isinstance(source, table.Table) else table.read(source)
    return plans.scatter_of(read.frame, of=of)


class _View:
    """The planning desk as widgets."""

    def __init__(self, planner):
        import ipywidgets as w

        self.planner, self._quiet, self._own = planner, False, None
        look = {"layout": w.Layout(width="auto"), "style": {"description_width": "11em"}}
        self.of = w.Dropdown(description="To be shown in", options=[(saying(of).noun, of) for of in MEASURES], **look)
        self.effect = w.BoundedFloatText(min=0.1, max=20000, **look)
        self.first = w.Text(description="First condition", continuous_update=False, **look)
        self.second = w.Text(description="Second condition", continuous_update=False, **look)
        own = [(f"table {name}", path) for name, path in demonstration_tables().items()]
        self.scatter = w.Dropdown(description="Scatter like", options=[*((n, n) for n in plans.SCATTER), *own], **look)
        self.upload = w.FileUpload(accept=".csv,.tsv,.txt,.xlsx", description="Scatter of a table of your own",
                                   layout=w.Layout(width="auto", max_width="100%"))
        self.wanted = w.BoundedIntText(description="Chance wanted [%]", min=50, max=99, step=5, **look)
        self.order = w.Dropdown(description="Order", options=[(words, name) for name, words in ORDERS.items()], **look)
        self.lost = w.BoundedIntText(description="Mis-hits expected [%]", min=0, max=50, step=5, **look)
        self.rule = rule_boxes(**look)
        self.units = w.Dropdown(description="Units", options=[(UNITS[name].name, name) for name in UNITS], **look)
        self.coach = w.Text(description="Your name", placeholder="stands on the sheet, may stay empty", **look)
        button = w.Layout(width="auto", min_width="13em")
        self.write = w.ToggleButton(description="Write the sheet to print", icon="file", layout=button)
        self.prepare = w.ToggleButton(description="Prepare live entry", icon="table", layout=button)
        self.wrong, self.said, self.picture, self.more = (w.HTML() for _ in range(4))
        grid = w.Layout(grid_template_columns="repeat(auto-fit, minmax(min(100%, 26em), 1fr))", grid_gap="4px 18px")
        grid = w.GridBox([self.of, self.effect, self.first, self.second, self.scatter, self.order, self.wanted, self.lost,
                          *self.rule, self.units, self.coach], layout=grid)
        acts = w.HBox([self.upload, self.write, self.prepare],
                      layout=w.Layout(flex_flow="row wrap", grid_gap="4px 14px", padding="0.4em 0"))
        self.box = w.VBox([w.HTML(STYLE), grid, acts, self.wrong, self.said, self.picture, self.more],
                          layout=w.Layout(padding="0 1em"))
        self.box.add_class("spin-desk")
        self.show()
        for part in (self.of, self.effect, self.first, self.second, self.scatter, self.wanted, self.order, self.lost,
                     *self.rule, self.units):
            part.observe(self._chosen, "value")
        self.upload.observe(self._uploaded, "value")
        follow(self.units)
        self.write.observe(lambda change: self._press(change, self.planner.write, coach=self.coach.value), "value")
        self.prepare.observe(lambda change: self._press(change, self.planner.prepare), "value")

    def _chosen(self, change):
        if self._quiet:
            return
        p = self.planner
        if change["owner"] in (self.of, self.units):
            self._try(p.choose, of=self.of.value, units=self.units.value)
            return
        self._try(p.choose, effect=_unit(p).to_si(self.effect.value), conditions=(self.first.value, self.second.value),
                  scatter=self._own if self.scatter.value == _OWN else self.scatter.value, wanted=self.wanted.value / 100,
                  order=self.order.value, lost=self.lost.value / 100,
                  dynamic_loft=tuple(box.value * deg for box in self.rule))

    def _uploaded(self, change):
        if change["new"]:
            content = bytes(change["new"][0]["content"])
            self._try(lambda: self.planner.choose(scatter=table.read(content)))

    def _press(self, change, step, **options):
        if change["new"]:
            change["owner"].value = False
            self._try(step, **options)

    def _try(self, step, **options):
        """Take a step; what goes wrong is said on the desk and the last plan stays."""
        try:
            step(**options)
            self.planner.error = ""
        except Exception as error:
            self.planner.error = message_of(error)
        self.show()

    def show(self):
        """Put the plan into the widgets."""
        p, plan, choices = self.planner, self.planner.plan, self.planner.choices
        self._quiet = True
        say, shown = saying(plan.of), _unit(p)
        self.of.value, self.units.value, self.order.value = plan.of, p.units, choices["order"]
        self._like(choices["scatter"])
        self.effect.description = f"By at least [{shown.name}]"
        self.effect.step = {"rpm": 100}.get(shown.name, 0.5)
        if not p.error:
            self.effect.value = float(f"{shown.from_si(plan.effect):.4g}")
            self.first.value, self.second.value = plan.conditions[:2]
            self.wanted.value, self.lost.value = round(100 * choices["wanted"]), round(100 * choices["lost"])
            for box, angle in zip(self.rule, choices["dynamic_loft"]):
                box.value = round(angle / deg, 2)
        self._quiet = False
        self.wrong.value = f'<p role="alert"><b>{_html.escape(p.error)}</b></p>' if p.error else ""
        where = [p.written and f"The sheet is in {p.written}; open it in a browser and print it.",
                 p.prepared and f"Live entry is prepared in {p.prepared}; lesson 07 opens it by itself."]
        said = f"<p style='font-size:1.25em;line-height:1.35'>{_html.escape(p.sentence)}</p>"
        told = f"Scatter planned with: {say.number(plan.scatter, p.units)} from shot to shot (one standard deviation)."
        self.said.value = said + "".join(f"<p>{_html.escape(line)}</p>" for line in (told, *where) if line) + _odds(plan)
        self.picture.value = plate(figures.order_strip, figures.Order(order=plan.order), p.units,
                                   limit="max-width: min(100%, 40em)")
        lists = {"Rules, fixed before the first ball": plan.rules, "Take along": plan.kit, "Take care": plan.cautions}
        self.more.value = "".join(folded(title, listed(items), is_open=True) for title, items in lists.items())

    def _like(self, scatter):
        """Whose scatter it is; a table of one's own gets a place among the choices."""
        options = [option for option in self.scatter.options if option[1] != _OWN]
        known = isinstance(scatter, (str, Path)) and scatter in [value for _, value in options]
        self._own = None if known else scatter
        self.scatter.options = options if known else [*options, ("your own table", _OWN)]
        self.scatter.value = scatter if known else _OWN


def _unit(planner):
    say = saying(planner.plan.of)
    return unit(say.yards if planner.units == "yards" else say.metric)


def _odds(plan):
    """The chance for other numbers of shots, as a small table."""
    cells = [(n, pack.odds(chance)) for n, chance in plan.chances]
    head = "".join(f"<th scope='col'>{n}</th>" for n, _ in cells)
    row = "".join(f"<td>{words}</td>" for _, words in cells)
    return (f"<table><tr><th scope='row'>Shots each</th>{head}</tr>"
            f"<tr><th scope='row'>Chance to convince</th>{row}</tr></table>")
