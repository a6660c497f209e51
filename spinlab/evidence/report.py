"""From a table to what may be said about it: read, screened, compared, and set beside the model."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from ..messages import message_of
from . import compare as comparing
from . import modelled as model
from . import screen as screening
from . import table as tables
from .owngreen import OwnGreen, own_green
from .protocol import Protocol
from .wording import few, listed

MEASURES = ("spin_rate", "launch_angle", "carry")
_DRY_WORDS, _WET_WORDS = ("dry", "clean"), ("wet", "water", "rain", "poured", "damp")


@dataclass(frozen=True, kw_only=True)
class Report:
    """One demonstration, told whole.

    `table` as it was read, `protocol` the rule and the units that hold throughout, `screened` by the rule, `kept` the
    shots compared (like with like), `headline` the verdict on
    spin, launch and carry, `modelled` the model's pair (None where it could not be made, `why_not` says why), `everything`
    the verdict had every shot been kept, and `notes`, each a sentence.
    """

    table: tables.Table
    protocol: Protocol
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

    def brief(self, units=None) -> str:
        """The verdict in at most 15 words."""
        return self.headline.brief(units or self.protocol.units)

    def kept_and_all(self, units=None) -> str:
        """How many shots the rule set aside, and the verdict had every shot been kept; nothing where all were kept."""
        units, aside = units or self.protocol.units, self.screened.counts["set aside"]
        if not aside:
            return ""
        every = self.everything.brief(units) if self.everything else ""
        return f"{self._set_aside()} With every shot kept: {every}".rstrip()

    def _set_aside(self):
        aside = self.screened.counts["set aside"]
        was = f"{few(aside)} shot{'s were' if aside != 1 else ' was'} set aside by the rule."
        return was[0].upper() + was[1:]

    def sentences(self, units=None) -> dict[str, str]:
        """What may be said, in the protocol's units unless said otherwise: ``brief`` and ``ranges``, then ``measured`` (the
        same in full), ``modelled``, ``screening``, ``limits``; where there is something to say also ``everything`` (had
        every shot been kept) and ``green``."""
        units = units or self.protocol.units
        rule = self.screened.rule.words(units)
        said = {
            "brief": self.brief(units),
            "ranges": self.headline.ranges(units),
            "measured": self.headline.sentence(units),
            "modelled": self.modelled.sentence(units) if self.modelled else f"No model pair: {self.why_not}.",
            "screening": f"{self._set_aside()[:-1]}: {rule}.",
            "limits": "One player, one day, one wedge: the shots show what happened here. How large it is with other clubs, "
                      "balls and swings, they do not show.",
        }
        if self.everything and self.everything.sentence(units) != said["measured"]:
            said["everything"] = "With every shot kept: " + self.everything.sentence(units)
        if self.green:
            said["green"] = self.green.say(units)
        return said

    def doubts(self, units=None) -> tuple[str, ...]:
        """What to be careful about, each a sentence without a full stop."""
        return (*self.notes, *self.headline.doubts(units or self.protocol.units))

    def text(self, units=None) -> str:
        """The whole report in plain words."""
        units = units or self.protocol.units
        said = self.sentences(units)
        screened = screening.screen(self.table.frame, by=self.by, rule=self.screened.rule, units=units)
        parts = [said["brief"], said["ranges"], "", self.table.report(), "", screened.report(), ""]
        parts += [f"{self.other} against {self.baseline}", said["measured"]]
        parts += [said["everything"]] if "everything" in said else []
        parts += [said["modelled"], *([said["green"]] if "green" in said else []), said["limits"]]
        parts += ["", *(f"Note: {note}." for note in self.doubts(units))]
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


def _headline(frame, *, by, baseline, other, **options):
    """The verdict on two conditions; also where the rule left none of one of them."""
    counts = {name: int((frame[by] == name).sum()) for name in (baseline, other)}
    gone = [name for name, count in counts.items() if not count]
    if not gone:
        return comparing.headline(frame, by=by, baseline=baseline, other=other, of=MEASURES, **options)
    why = f"cannot be compared: the rule left no {listed(gone)} shot"
    return comparing.Headline(verdicts=(), names=(baseline, other), counts=counts,
                              open=tuple((measure, why) for measure in MEASURES))


def make(source, *, by="condition", baseline=None, other=None, rule=None, units=None, protocol=None, adjust=(),
         face=None, states=None, model_bands=True, progress=None, **options) -> Report:
    """Read, screen, compare and model one demonstration.

    Parameters
    ----------
    source : path, bytes, pasted text, or a `Table`
    by, baseline, other : str, optional
        the column of conditions and the two to compare (see `choose`)
    rule : spinlab.evidence.screen.Rule, optional
        the rule for mis-hits, written beforehand; left out, that of the protocol
    units : str, optional
        metric or yards; left out, those of the protocol
    protocol : spinlab.evidence.protocol.Protocol, optional
        rule and units; left out, those the source was typed with, else every shot is kept and metric is spoken
    adjust : sequence of str
        delivery to hold equal, such as ``["dynamic_loft"]``
    face, states : Face, dict
        for the modelled pair (see `spinlab.evidence.modelled.expect`)
    progress : callable, optional
        called with a few words as each part begins
    options
        columns, sidecar, sheet: go to `spinlab.evidence.table.read`

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
    protocol = protocol or table.protocol or Protocol()
    protocol = Protocol(rule=protocol.rule if rule is None else rule, units=units or protocol.units)
    baseline, other = choose(table.frame, by, baseline, other)
    step("setting mis-hits aside")
    screened = screening.screen(table.frame, by=by, rule=protocol.rule.within(table.frame.columns), units=protocol.units)
    kept, notes = like_with_like(screened.kept, by, baseline, other)
    if table.protocol and table.protocol.rule.words() != protocol.rule.words():
        notes += (f"the rule was changed after the shots were typed; fixed beforehand was: "
                  f"{table.protocol.rule.words(protocol.units)}",)
    step("comparing")
    asked = {"by": by, "baseline": baseline, "other": other, "adjust": adjust, "absent": table.why_absent}
    headline = _headline(kept, **asked)
    everything = None
    if screened.counts["set aside"]:
        whole, _ = like_with_like(table.frame, by, baseline, other)
        everything = _headline(whole, **asked)
    step("asking the model")
    pair, why_not = None, ""
    try:
        pair = model.expect(kept, by=by, baseline=baseline, other=other, face=face, states=states, bands=model_bands,
                            absent=table.why_absent)
        notes += model.average_delivery(kept, table.why_absent)[1]
    except (ValueError, ArithmeticError) as error:
        why_not = message_of(error)
    return Report(table=table, protocol=protocol, by=by, baseline=baseline, other=other, screened=screened, kept=kept,
                  headline=headline, everything=everything, modelled=pair, why_not=why_not, notes=tuple(notes))
