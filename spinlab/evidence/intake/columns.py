"""What a column is called: the trade's general words → our names, with the ranges a shot can have.

Only words of the trade are known here, in English with the commonest in German, French and Spanish.  A word that could
mean two things is asked about.  Anything else is kept as it is.
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from functools import lru_cache

from ...units import unit


@dataclass(frozen=True, kw_only=True)
class Column:
    """One of our columns.

    `low` … `high` [SI] is what any golf shot can have: a value outside refuses its row.  `usual` [SI] is where the middle
    of a column must lie for a unit to be believed.  `turns` are the words that set a value's sign.
    """

    name: str
    quantity: str = "text"
    low: float = 0.0
    high: float = 0.0
    usual: tuple[float, float] = (0.0, 0.0)
    talk: str = ""
    turns: str = ""
    words: tuple[str, ...] = ()

    @property
    def measured(self) -> bool:
        """Does it hold a measured number (and not words)?"""
        return self.low < self.high


def _column(name, quantity, low, high, usual, talk, words, turns=""):
    scale = unit(talk).to_si(1.0)
    usual = tuple(scale * value for value in usual)
    words = (name.replace("_", " "), *(word.strip() for word in words.split(",")))
    return Column(name=name, quantity=quantity, low=scale * low, high=scale * high, usual=usual, talk=talk, turns=turns,
                  words=words)


def _text(name, words, quantity="text"):
    return Column(name=name, quantity=quantity, words=(name, *(word.strip() for word in words.split(","))))


_ALL = [
    _column("head_speed", "speed", 0.5, 75, (4, 62), "m/s", """club speed, club head speed, clubhead speed, swing speed,
        speed of the head, speed of the club, schlagerkopfgeschwindigkeit, vitesse de tete, vitesse du club,
        velocidad de la cabeza, velocidad del palo"""),
    _column("ball_speed", "speed", 0.5, 100, (3, 92), "m/s", """speed of the ball, initial ball speed, ball launch speed,
        ballgeschwindigkeit, vitesse de balle, vitesse de la balle, velocidad de bola, velocidad de la bola"""),
    _column("attack_angle", "angle", -30, 20, (-20, 10), "°", """attack, angle of attack, eintreffwinkel,
        angle d attaque, angulo de ataque""", turns="up down"),
    _column("dynamic_loft", "angle", -10, 85, (4, 75), "°", """delivered loft, dyn loft, loft at impact, loft delivered,
        dynamischer loft, loft dynamique, loft dinamico"""),
    _column("spin_loft", "angle", 0, 95, (5, 85), "°", "spinloft"),
    _column("launch_angle", "angle", -30, 90, (4, 75), "°", """launch, vertical launch angle, vertical launch,
        angle of launch, take off angle, takeoff angle, abflugwinkel, startwinkel, angle de lancement, angle de decollage,
        angulo de lanzamiento, angulo de salida"""),
    _column("launch_direction", "angle", -90, 90, (-25, 25), "°", """horizontal launch angle, horizontal launch,
        start direction, starting direction, ball direction, direction of launch, startrichtung,
        direction de depart, direccion de salida""", turns="right left"),
    _column("spin_rate", "angular speed", -3000, 20000, (800, 15000), "rpm", """spin, backspin, back spin, backspin rate,
        total spin, ball spin, drall, rueckwaertsdrall, ruckwartsdrall, taux de spin, effet retro, efecto de retroceso"""),
    _column("spin_tilt", "angle", -90, 90, (-45, 45), "°", """spin axis, spin axis tilt, axis tilt, tilt of the spin axis,
        spin axis angle, drallachse, spinachse, axe de rotation, eje de giro""", turns="right left"),
    _column("carry", "length", 0, 400, (2, 330), "m", """carry distance, carry length, distance carried, carry weite,
        portee, vuelo"""),
    _column("total", "length", 0, 450, (2, 360), "m", """total distance, total length, distance with roll, gesamtweite,
        gesamtlange, distance totale, distancia total"""),
    _column("apex", "length", 0, 90, (0.5, 70), "m", """height, apex height, peak height, max height, maximum height,
        highest point, flughohe, hauteur, hauteur maximale, altura, altura maxima"""),
    _column("descent_angle", "angle", 0, 90, (5, 85), "°", """landing angle, angle of descent, land angle, descent,
        vertical landing angle, landewinkel, einfallwinkel, angle d atterrissage, angulo de caida"""),
    _column("landing_speed", "speed", 0.5, 100, (3, 60), "m/s", """speed at landing, land speed, ball speed at landing,
        landegeschwindigkeit, vitesse d atterrissage, velocidad de caida"""),
    _column("landing_spin", "angular speed", -3000, 20000, (500, 15000), "rpm", """spin at landing, backspin at landing,
        landing backspin, land spin"""),
    _column("run_out", "length", -40, 150, (-15, 100), "m", """runout, roll, roll out, run, roll distance,
        pitch mark to rest, from pitch mark to rest, ausrollen, roule"""),
    _column("side", "length", -150, 150, (-60, 60), "m", """offline, off line, lateral, side distance, distance offline,
        lateral distance, distance from the line, seitliche abweichung, ecart lateral, desviacion lateral""",
            turns="right left"),
    _text("strike", "strike location, impact location, impact point, contact, strike quality, treffpunkt", "strike"),
    _text("club", "club name, club used, club type, wedge, schlager, palo"),
    _text("ball", "ball name, ball type, ball model, golf ball, cover, balle, bola"),
    _text("condition", """conditions, state, face condition, face state, club condition, ball condition, treatment, setup,
        wet or dry, zustand, bedingung, etat, estado, condicion"""),
    _text("shot", """shot number, shot no, shot nr, shot id, no, nr, number, stroke, schlag, schlag nr, coup,
        golpe""", "number or text"),
    _text("time", "time of day, clock, timestamp, date and time, date time, datetime, zeit, uhrzeit, heure, hora", "time"),
    _text("date", "day, datum, fecha", "time"),
    _text("note", "notes, comment, comments, remark, remarks, bemerkung, notiz, remarque, nota"),
    _text("block", "round, set, series, group, pair, durchgang, serie"),
]

COLUMNS: dict[str, Column] = {column.name: column for column in _ALL}
"""Every column of ours by its name."""

DOUBTFUL = {
    "speed": ("head_speed", "ball_speed"), "velocity": ("head_speed", "ball_speed"),
    "geschwindigkeit": ("head_speed", "ball_speed"), "vitesse": ("head_speed", "ball_speed"),
    "velocidad": ("head_speed", "ball_speed"),
    "loft": ("dynamic_loft", "spin_loft", "club"),
    "angle": ("launch_angle", "attack_angle", "descent_angle"), "winkel": ("launch_angle", "attack_angle", "descent_angle"),
    "distance": ("carry", "total"), "length": ("carry", "total"),
    "weite": ("carry", "total"), "distancia": ("carry", "total"),
    "direction": ("launch_direction", "side"),
}
"""Words that could mean several of our columns."""

_WORDS = {word: column.name for column in _ALL for word in column.words}
CANDIDATES = {"speed": ("m/s", "mph", "km/h", "ft/s"), "angle": ("°", "rad"), "angular speed": ("rpm", "rad/s"),
              "length": ("m", "yd", "ft")}
"""Units that are thought of when none is given."""


def plain(text) -> str:
    """Words without case, accents, punctuation and double blanks: what headings are compared by."""
    text = unicodedata.normalize("NFKD", str(text).replace("ß", "ss")).casefold()
    text = "".join(letter for letter in text if not unicodedata.combining(letter))
    return " ".join(re.findall(r"[^\W_]+", text))


def is_unit(text) -> bool:
    """Does this text name a unit (not merely a dash or a number)?"""
    text = str(text).strip().strip("[]()").strip()
    if not text or len(text) > 24 or text[0] in "-–—" or text[0].isdigit() and not text.startswith("1/"):
        return False
    try:
        unit(text)
    except ValueError:
        return False
    return True


@dataclass(frozen=True, kw_only=True)
class Heading:
    """A heading taken apart: our `name` for it (None if not ours), `unit` as written, several names in `doubt`."""

    name: str | None = None
    unit: str | None = None
    doubt: tuple[str, ...] = ()
    unknown_unit: str | None = None
    down: bool = False


@lru_cache(maxsize=4096)
def heading(text: str) -> Heading:
    """Take a heading apart: ``Head speed [mph]``, ``head_speed_mph``, ``Spin, rpm``, ``Attack angle (° down)``."""
    text = text[:200]
    bracket = re.search(r"[\[(<{]([^\])>}]*)[\])>}]", text)
    if bracket:
        bare = (text[:bracket.start()] + " " + text[bracket.end():]).strip()
        inside, down = bracket[1].strip(), False
        if plain(inside).split()[-1:] == ["down"] or "down positive" in plain(inside):
            inside, down = re.sub(r"[\s,]*(positive|down)[\s,]*", " ", inside, flags=re.I).strip(), True
        if is_unit(inside) or (down and not inside):
            return _named(bare, inside or None, down=down)
        whole = _named(text, None)
        if whole.name:
            return whole
        found = _named(bare, None)
        wordlike = len(plain(inside)) > 6 or plain(inside) in ("est", "avg", "r", "l")
        return found if wordlike or not plain(inside) else Heading(name=found.name, doubt=found.doubt, unknown_unit=inside)
    found = _named(text, None)
    if found.name or found.doubt:
        return found
    parts = re.split(r"[\s,;:_/]+(?:in\s+)?", text.strip())
    for count in (1, 2):
        cut = re.fullmatch(r"(.*?)[\s,;:_]+(?:in[\s_]+)?(\S+(?:\s\S+){%d})" % (count - 1), text.strip().replace("_", " "))
        if len(parts) > count and cut and is_unit(cut[2]):
            found = _named(cut[1], cut[2])
            if found.name or found.doubt:
                return found
    return Heading()


def _named(text, unit_text, *, down=False):
    words = "shot" if text.strip() in ("#", "№") else plain(text)
    name = _WORDS.get(words)
    return Heading(name=name, unit=unit_text, doubt=() if name else DOUBTFUL.get(words, ()), down=down)


def score(row) -> float:
    """How many cells of a row are headings we know; a doubtful one counts half, a row with numbers little."""
    known = [heading(cell) for cell in row if isinstance(cell, str) and cell.strip()]
    total = sum(1.0 if found.name else 0.5 if found.doubt else 0.0 for found in known)
    numbers = sum(isinstance(cell, float) or bool(re.fullmatch(r"\s*[+−-]?\d[\d.,]*\s*", cell)) for cell in row)
    return total if numbers <= len(row) // 4 else total / 4
