"""From a table to what may be said about it: read, screened, compared, and set beside the model."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from . import compare as comparing
from . import modelled as model
from . import screen as screening
from . import table as tables
from .owngreen import OwnGreen, own_green
from .wording import few, listed

MEASURES = ("spin_rate", "launch_angle", "carry")
_DRY_WORDS, _WET_WORDS = ("dry", "clean"), ("wet", "water", "rain", "poured", "damp")


@dataclass(frozen=True, kw_only=True)
class Report:
    """One demonstration, told whole.

    `table` as it was read, `screened` by the rule, `kept` the shots compared (like with like), `headline` the verdict on
    spin, launch and carry, `modelled` the model's pair (None where it could not be made, `why_not` says why), `everything`
    the verdict had every shot been kept, and `notes`, each a sentence.
    """

    table: tables.Table
    by: str
    baseline: str
    other: str
    screened: screening.Screened
    kept: object
    headline: comparing.Headline
    everything: comparing.Headline | None
    modelled: model.Modelled | None
    why_not: str
    notes: tuple[str, ...]

    @cached_property
    def green(self) -> OwnGreen | None:
        """What the run-outs of all shots kept say of the green; None where there are too few."""
        try:
            return own_green(self.screened.kept)
        except ValueError:
            return None

    def sentences(self, units="metric") -> dict[str, str]:
        """What may be said: ``measured``, ``modelled``, ``screening``, ``limits``; where there is something to say also
        ``everything`` (had every shot been kept) and ``green``."""
        counts = self.screened.counts
        aside = counts["set aside"]
        was = f"{few(aside)} shot{'s were' if aside != 1 else ' was'} set aside by the rule: {self.screened.rule.words}."
        said = {
            "measured": self.headline.sentence(units),
            "modelled": self.modelled.sentence(units) if self.modelled else f"No model pair: {self.why_not}.",
            "screening": was[0].upper() + was[1:],
            "limits": "One player, one day, one wedge: the shots show what happened here. How large it is with other clubs, "
                      "balls and swings, they do not show.",
        }
        if self.everything and self.everything.sentence(units) != said["measured"]:
            said["everything"] = "With every shot kept: " + self.everything.sentence(units)
        if self.green:
            said["green"] = self.green.say(units)
        return said

    def text(self, units="metric") -> str:
        """The whole report in plain words."""
        said = self.sentences(units)
        parts = [self.table.report(), "", self.screened.report(), "", f"{self.other} against {self.baseline}"]
        parts += [said["measured"]]
        parts += [said["everything"]] if "everything" in said else []
        parts += [said["modelled"], *([said["green"]] if "green" in said else []), said["limits"]]
        parts += ["", *(f"Note: {note}." for note in (*self.notes, *self.headline.warnings))]
        return "\n".join(parts).rstrip()


def conditions(frame, by="condition") -> list[str]:
    """The conditions of a table, in the order they appear."""
    if by not in frame.columns:
        have = [c for c in ("condition", "ball", "club") if c in frame.columns]
        raise ValueError(f"the table has no column {by!r} to compare by; it has {listed(have) if have else 'none of words'}")
    return [str(name) for name in dict.fromkeys(frame[by].dropna())]


def choose(frame, by="condition", baseline=None, other=None) -> tuple[str, str]:
    """Which two conditions to set against each other: those asked for, else the driest against the wettest by their names,
    else the first two."""
    names = conditions(frame, by)
    if len(names) < 2:
        raise ValueError(f"two conditions are needed to compare, column {by!r} has {listed(names) if names else 'none'}")
    for asked in (baseline, other):
        if asked is not None and asked not in names:
            raise ValueError(f"there is no condition {asked!r}; there are {listed(map(repr, names))}")
    baseline = baseline or _first(names, _DRY_WORDS, other) or next(n for n in names if n != other)
    other = other or _first(names, _WET_WORDS, baseline) or next(n for n in names if n != baseline)
    if other == baseline:
        raise ValueError(f"baseline and other are both {other!r}; choose two different conditions of {listed(names)}")
    return baseline, other


def _first(names, words, taken):
    """The first name that is, or starts with, one of the words."""
    for word in words:
        for name in sorted(names, key=len):
            if name != taken and name.casefold().split(",")[0].split()[:1] == [word]:
                return name
    return None


def like_with_like(frame, by, baseline, other) -> tuple[object, tuple[str, ...]]:
    """Only shots whose ball and club were used in both conditions, and a note where that leaves some out."""
    two = frame[frame[by].isin([baseline, other])]
    notes = []
    for column in ("ball", "club"):
        if column == by or column not in two.columns:
            continue
        used = [set(two.loc[two[by] == name, column].dropna()) for name in (baseline, other)]
        shared = used[0] & used[1]
        apart = two[column].notna() & ~two[column].isin(shared)
        if shared and apart.any():
            names = listed(sorted(map(str, set(two.loc[apart, column]))))
            notes.append(f"{int(apart.sum())} shots with {names} are left out of this comparison, because the other "
                         f"condition has none with that {column}")
            two = two[~apart]
        elif not shared and all(used):
            names = listed(sorted(map(str, used[0] | used[1])))
            notes.append(f"the two conditions were hit with a different {column} ({names}), so a difference may be the "
                         f"{column}'s")
    return two, tuple(notes)


def make(source, *, by="condition", baseline=None, other=None, rule=None, adjust=(), face=None, states=None,
         model_bands=True, progress=None, **options) -> Report:
    """Read, screen, compare and model one demonstration.

    Parameters
    ----------
    source : path, bytes, pasted text, or a `Table`
    by, baseline, other : str, optional
        the column of conditions and the two to compare (see `choose`)
    rule : spinlab.evidence.screen.Rule, optional
        the rule for mis-hits, written beforehand; every shot is kept if left out
    adjust : sequence of str
        delivery to hold equal, such as ``["dynamic_loft"]``
    face, states : Face, dict
        for the modelled pair (see `spinlab.evidence.modelled.expect`)
    progress : callable, optional
        called with a few words as each part begins
    options
        units, columns, sidecar, sheet: go to `spinlab.evidence.table.read`

    Raises
    ------
    spinlab.evidence.table.TableError, ValueError
        in words meant for the user.
    """
    step = progress or (lambda words: None)
    step("reading the table")
    table = source if isinstance(source, tables.Table) else tables.read(source, **options)
    if not len(table.frame):
        raise ValueError("the table holds no shots that could be read; its report says why:\n" + table.report())
    baseline, other = choose(table.frame, by, baseline, other)
    step("setting mis-hits aside")
    screened = screening.screen(table.frame, by=by, rule=rule or screening.Rule())
    kept, notes = like_with_like(screened.kept, by, baseline, other)
    step("comparing")
    headline = comparing.headline(kept, by=by, baseline=baseline, other=other, of=MEASURES, adjust=adjust)
    everything = None
    if screened.counts["set aside"]:
        whole, _ = like_with_like(table.frame, by, baseline, other)
        everything = comparing.headline(whole, by=by, baseline=baseline, other=other, of=MEASURES, adjust=adjust)
    step("asking the model")
    pair, why_not = None, ""
    try:
        pair = model.expect(kept, by=by, baseline=baseline, other=other, face=face, states=states, bands=model_bands)
        notes += model.average_delivery(kept)[1]
    except ValueError as error:
        why_not = str(error)
    return Report(table=table, by=by, baseline=baseline, other=other, screened=screened, kept=kept, headline=headline,
                  everything=everything, modelled=pair, why_not=why_not, notes=tuple(notes))
