"""A claim understood: what is set against what, of which result, in which sense, denied or not, always or sometimes."""

from __future__ import annotations

from ..units import deg
from .claim_words import ABSENT, BELONGS, DEGREES, OPPOSITE, RELATIVE, Reading, Unclear, Word, words_of

LOFTS = (40.0, 68.0)
_FAR = {"short", "shorter", "far", "further", "farther", "longer"}


def read(claim: str) -> Reading:
    """Understand a claim, or say what is in the way.

    Raises
    ------
    Unclear
        a word is not known, two things are claimed or compared at once, or something is missing
    """
    words, slips = words_of(claim)
    words = [word for word in words if word.kind != "skip"]
    if not words:
        raise Unclear("nothing is claimed")
    asked = words[-1].kind == "question"
    if asked and words[0].kind == "not":
        raise Unclear("a question that begins with a denial can be taken both ways; ask it without the denial")
    walk = _Walk([word for word in words if word.kind != "question"])
    walk.all()
    return walk.reading(tuple(slips))


class _Walk:
    """One way through the words of a claim, noting what each says."""

    def __init__(self, words):
        self.words, self.at, self.side = words, 0, 0
        self.named, self.given, self.under, self.beside = [{}, {}], {}, {}, {}
        self.of = self.sense = self.scope = ""
        self.sign, self.turn, self.degrees, self.causes, self.denials, self.size = 1.0, 1.0, 0, 0, 0, None
        self.made = self.grip = self.hedged = self.good = self.far = self.long = False
        self.place = ""  # "when" or "with" while a phrase that begins so goes on

    def all(self):
        while self.at < len(self.words):
            word = self.words[self.at]
            getattr(self, f"_{word.kind}")(word)
            self.at += 1
            if word.kind not in ("when", "with", "and", "factor"):
                self.place = ""

    def _next(self, beyond=()) -> Word:
        ahead = self.at + 1
        while ahead < len(self.words) and self.words[ahead].kind in beyond:
            ahead += 1
        return self.words[ahead] if ahead < len(self.words) else Word("end")

    def _before(self) -> Word:
        return self.words[self.at - 1] if self.at else Word("end")

    # -- what is set against what

    def _factor(self, word):
        name, value = word.value
        before = self._before()
        for noun in (self._next(), before):
            if noun.kind == "noun":
                if noun.said not in BELONGS.get(name, ()):
                    raise Unclear(f"“{word.said}” together with “{noun.said}” is not understood here")
                break
        if name == "speed" and self.of == "run_out" and word.said != "speed":  # stops quicker
            return self._degree(Word("degree", -1.0 if value == "slow" else 1.0, word.said))
        if name == "grooves" and before.kind == "factor":
            if before.value[0] in ("wear", "soil"):  # worn grooves: what is worn, not that there are any
                return None
            raise Unclear(f"“{before.said} grooves” can be taken two ways; say “when {before.said}, grooves …”")
        if name in ("wear", "soil") and before.kind == "factor" and before.value[0] == "grooves":
            self.named[self.side].pop("grooves", None)
        return self._put(name, value)

    def _put(self, name, value):
        room = {"when": self.under, "with": self.beside}.get(self.place, self.named[self.side])
        if room.setdefault(name, value) != value:
            raise Unclear(f"it names {value} and {room[name]} of one thing at once")

    def _number(self, word):
        self._loft(word.value)

    def _loft(self, degrees):
        if not LOFTS[0] <= degrees <= LOFTS[1]:
            low, high = LOFTS
            raise ValueError(f"lofts from {low:g}° to {high:g}° can be compared, got {degrees:g}°; ask for two wedges")
        self._put("loft", degrees)

    def _angle(self, word):
        if word.value >= 30 * deg:
            self._loft(word.value / deg)
        elif any(w.kind == "down" or w.value == ("attack", "steep") for w in self.words):
            self._put("attack", word.value)
        else:
            self._amount("launch_angle", word)

    def _speed(self, word):
        self._put("speed", word.value)

    def _than(self, word):
        if self.side:
            raise Unclear("it compares twice; ask for one comparison at a time")
        self.side = 1

    def _comma(self, word):
        if all(w.kind in ("factor", "and", "noun") for w in self.words[:self.at]) and not self.side:
            self.under |= self.named[0]
            self.named[0] = {}

    def _when(self, word):
        self.place = "when"

    def _with(self, word):
        self.place = "with"

    def _and(self, word):
        if not (self._before().kind == self._next().kind == "factor"):
            raise Unclear("it claims two things at once; ask for one at a time")

    def _noun(self, word):
        """Whose it is; the property that goes with it looks here."""

    _down = _noun

    # -- what is said of it

    def _of(self, word):
        if self.of not in ("", word.value):
            raise Unclear("it speaks of two results at once; ask for one")
        self.of = word.value

    def _grip(self, word):
        self._of(word)
        self.made = self.grip = True

    def _stop(self, word):
        self._of(word)
        self.turn = -1.0

    _run = _of

    def _degree(self, word):
        ahead = self._next(beyond=("noun",) if self._next().said in ("club", "swing", "head") else ())
        if ahead.kind == "factor" and word.said not in ("better", "best", "worse"):
            if ahead.value not in DEGREES:
                raise Unclear(f"“{word.said} {ahead.said}” is not understood here")
            self._put(ahead.value[0], DEGREES[ahead.value][word.value < 0])
            self.at = self.words.index(ahead, self.at)
            return
        self.sign, self.degrees = self.sign * word.value, self.degrees + 1
        self.good |= word.said in ("better", "best", "worse")
        self.far |= word.said in _FAR

    def _cause(self, word):
        self.sign, self.causes = self.sign * word.value, self.causes + 1
        self.good |= word.said in ("help", "helps", "hurt", "hurts")

    def _make(self, word):
        self.made = True

    def _sensed(self, sense, size=None):
        if self.sense or self.side:
            raise Unclear("its measure is not understood; say one thing, such as “halves the spin”")
        self.sense, self.size = sense, size

    def _measure(self, word):
        self._sensed(word.kind, word.value)

    _effect = _same = _times = _measure

    def _nothing(self, word):
        self._sensed("effect")
        self.denials += 1

    def _percent(self, word):
        self._amount("", word)

    def _length(self, word):
        self.long = True
        self._amount("", word)

    def _spin(self, word):
        self._amount("spin_rate", word)

    def _amount(self, of, word):
        """So much more or less; a number that stands elsewhere means something else, such as the length of the pitch."""
        if self._next().kind != "degree" and self._before().kind != "cause":
            raise Unclear(f"what “{word.said}” belongs to is not understood")
        self._sensed("percent" if word.kind == "percent" else "by", word.value)
        if of:
            self._of(Word("of", of))

    def _hedge(self, word):
        self.hedged = True

    def _not(self, word):
        ahead = self.words[self.at + 1:self.at + 3] if word.said not in ("myth", "false", "wrong", "untrue") else []
        quicker = self.of == "run_out" and ahead and ahead[0].value in (("speed", "fast"), ("speed", "slow"))
        if ahead and not quicker and (ahead[0].kind == "factor" or [w.kind for w in ahead] == ["degree", "factor"]):
            raise Unclear(f"what “{word.said}” denies is not clear; say it without the denial")
        self.denials += 1

    def _no(self, word):
        ahead = self._next()
        if ahead.kind == "factor" and ahead.value[0] in ABSENT:
            self._put(ahead.value[0], ABSENT[ahead.value[0]])
            self.at += 1
        elif ahead.kind in ("degree", "effect"):
            self.denials += 1
        else:
            raise Unclear(f"“{word.said} {ahead.said}” is not understood here")

    def _scope(self, word):
        if self.scope:
            raise Unclear(f"“{self.scope}” and “{word.said}” do not go together")
        self.scope = word.value

    # -- put together

    def reading(self, slips) -> Reading:
        factor, this, that, given = self._compared()
        sense, size = self._said()
        of = self._result()
        if self.scope == "never" and self.denials:
            raise Unclear("“never” and another denial can be taken two ways")
        return Reading(factor=factor, this=this, that=that, of=of, sense=sense, given=given, size=size,
                       denied=self.denials % 2 == 1, scope=self.scope, slips=slips,
                       grip=factor == "grooves" and sense == "more" and (self.grip or self.made and not self.degrees))

    def _compared(self):
        left, right = self.named
        if not (left or right):  # only “when wet, the ball spins less”
            if self.causes or self.made or self.sense == "effect":
                raise Unclear("it is not clear what does it")
            left, self.under, self.beside = self.under | self.beside, {}, {}
        elif self.beside:
            raise Unclear("it is not clear what stands beside what; begin a condition with “when”")
        given = self.under | {name: left[name] for name in left if right.get(name) == left[name]}
        differ = [name for name in left if name in right and left[name] != right[name]]
        alone = [name for name in {**left, **right} if (name in left) != (name in right)]
        if len(differ) + len(alone) != 1:
            raise Unclear("it must set one thing against another" if not differ + alone else
                          f"it changes {' and '.join(differ + alone)} at once; change one thing at a time")
        name = (differ + alone)[0]
        if name != "cover" and any(word.said in ("cover", "covers") for word in self.words):
            raise Unclear("it speaks of a cover, but not of a soft or a hard one")
        if name in given or not differ and name not in left:
            raise Unclear("it does not say what is set against what")
        this, that = left[name], right.get(name, OPPOSITE.get((name, left[name])))
        if that is None:
            raise Unclear(f"it does not say against what; name both, such as a {left[name]:g} and another")
        if RELATIVE & {(name, this), (name, that)} and OPPOSITE.get((name, this)) != that:
            raise Unclear("more or less of a thing goes against more or less of the same")
        if isinstance(this, float) != isinstance(that, float):
            raise Unclear("a number goes against a number")
        return name, this, that, given

    def _said(self):
        """The sense and its size; words that turn it round have been multiplied into a sign."""
        if self.hedged:  # does not spin as much as: less; spins as much as: the same
            if self.sense or self.degrees or self.causes:
                raise Unclear("“as much as” with another measure is not understood")
            if self.denials != 1:
                return "same", 0.0
            self.denials, self.sign, self.degrees = 0, -1.0, 1
        if self.of == "run_out" and self.turn < 0 and self.far:
            self.sign = -self.sign  # stops shorter: sooner
        sign = self.sign * self.turn
        if self.sense in ("effect", "same"):
            if self.degrees or (self.causes and self.sense == "same"):
                raise Unclear("two measures at once are not understood")
            return self.sense, 0.0
        if self.sense == "times":
            if self.degrees or self.turn < 0 or self.causes > 1:
                raise Unclear("half of what is not clear")
            return "times", 1 - self.size if self.sign < 0 else self.size
        if not (self.degrees or self.causes) and (not self.made or self.sense):
            raise Unclear("it does not say whether more or less")
        if self.sense == "percent":
            return "times", 1 + sign * self.size
        if self.sense == "by":
            return "by", sign * self.size
        return ("more" if sign > 0 else "less"), 0.0

    def _result(self):
        of = self.of
        if of in ("", "apex") and self.far:
            of = "carry"
        if not of and (self.good or self.sense == "effect" or self.grip):
            of = "spin_rate"
        if not of:
            raise Unclear("it does not say of what: spin, launch, carry or run-out")
        if self.long and of not in ("carry", "run_out", "apex") or self.good and of not in ("spin_rate", "run_out"):
            raise Unclear("its measure does not go with its result")
        return of
