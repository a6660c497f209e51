"""Make the demonstration tables of this folder.  Everything here is invented; run `python data/make_tables.py`.

Each state of face and ball has a middle launch, spin and ball speed chosen from common practice (see README.md here); the
shots scatter round it as a good amateur's would.  The seed is fixed, so the tables come out the same every time.
"""

from __future__ import annotations

import csv
import datetime
import random
from pathlib import Path

HERE = Path(__file__).parent
WEDGE = "56 blasted"

# launch [°], spin [rpm], ball speed [mph] at 44.5° dynamic loft and 45 mph; carry [yd], apex [ft], descent [°], run-out [yd]
STATES = {
    ("dry", "hard cover B"): (30.9, 6080, 48.2, 47.3, 22.0, 37.6, 2.6),
    ("dry", "soft cover A"): (29.9, 6360, 48.1, 46.9, 21.3, 37.0, 2.2),
    ("damp", "soft cover A"): (34.2, 4720, 47.4, 47.0, 25.4, 40.6, 3.3),
    ("wet", "soft cover A"): (38.7, 3180, 46.9, 46.8, 29.8, 44.3, 4.3),
    ("wet with filled grooves", "soft cover A"): (41.6, 1960, 46.5, 46.3, 32.6, 46.8, 5.6),
    ("soiled", "soft cover A"): (34.0, 4510, 47.5, 47.1, 25.2, 40.3, 3.4),
}


def shot(chance, state, *, miss=None):
    """One invented shot in mph, degrees, rpm, yards and feet; `miss` is "thin" or "heavy"."""
    launch, spin, speed, carry, apex, descent, run = STATES[state]
    head = chance.gauss(45.0, 0.6)
    attack = chance.gauss(-6.0, 0.6)
    loft = chance.gauss(44.5, 1.0)
    if miss == "thin":
        attack, loft = attack + 2.9, loft - 8.5
    if miss == "heavy":
        head, attack, loft = head - 3.0, attack - 3.4, loft + 5.2
    more = loft - 44.5
    faster = head / 45.0
    return {
        "head": head, "attack": attack, "loft": loft,
        "ball": speed * faster - 0.22 * more + chance.gauss(0, 0.25) - (3.0 if miss == "heavy" else 0),
        "launch": launch + 0.78 * more + 0.15 * (attack + 6) + chance.gauss(0, 0.5),
        "direction": chance.gauss(0.3, 1.1),
        "spin": spin * faster * (1 + 0.012 * more) * (1 + chance.gauss(0, 0.03 if launch < 36 else 0.07))
        * (0.72 if miss == "thin" else 1),
        "tilt": chance.gauss(0.5, 2.0),
        "carry": carry * (1 + 1.7 * (faster - 1)) - 0.1 * more + chance.gauss(0, 0.6) - (4.5 if miss == "heavy" else 0),
        "apex": apex * (1 + 1.9 * (faster - 1)) + 0.6 * more + chance.gauss(0, 0.5),
        "descent": descent + 0.65 * more + chance.gauss(0, 0.5),
        "run": run + chance.gauss(0, 0.5) + (6 if miss == "thin" else 0),
        "side": chance.gauss(0.2, 0.9),
    }


def main_table(chance):
    """Commas, units in brackets, six states in blocks (wet last), two mis-hits and three missing cells."""
    blocks = [(("dry", "hard cover B"), 8), (("dry", "soft cover A"), 10), (("soiled", "soft cover A"), 7),
              (("damp", "soft cover A"), 8), (("wet", "soft cover A"), 10), (("wet with filled grooves", "soft cover A"), 6)]
    header = ["Shot", "Time", "Club", "Ball", "Condition", "Head speed [mph]", "Attack angle [°]", "Dynamic loft [°]",
              "Ball speed [mph]", "Launch angle [°]", "Launch direction [°]", "Spin rate [rpm]", "Spin axis [°]",
              "Carry [yd]", "Apex [ft]", "Landing angle [°]", "Run-out [yd]", "Side [yd]", "Note"]
    rows, clock = [], datetime.datetime(2026, 5, 9, 10, 5)
    misses, blanks = {13: "thin", 38: "heavy"}, {(21, "spin"), (29, "loft"), (44, "spin")}
    for state, count in blocks:
        clock += datetime.timedelta(minutes=4)
        for _ in range(count):
            number = len(rows) + 1
            hit = shot(chance, state, miss=misses.get(number))
            shown = {name: "" if (number, name) in blanks else f"{value:.0f}" if name == "spin" else f"{value:.1f}"
                     for name, value in hit.items()}
            note = {"thin": "felt low on the face", "heavy": "ground first"}.get(misses.get(number), "")
            clock += datetime.timedelta(seconds=chance.randint(35, 70))
            rows.append([number, clock.strftime("%H:%M:%S"), WEDGE, state[1], state[0], *(shown[name] for name in (
                "head", "attack", "loft", "ball", "launch", "direction", "spin", "tilt", "carry", "apex", "descent", "run",
                "side")), note])
    with (HERE / "pitch_states.csv").open("w", newline="", encoding="utf-8") as opened:
        csv.writer(opened, lineterminator="\n").writerows([header, *rows])


def european_table(chance):
    """Semicolons, decimal commas, a line of units, metres; dry and wet in turns with drying between, one dash."""
    header = ["Nr", "Datum", "Ball", "Zustand", "Head speed", "Attack angle", "Dynamic loft", "Ball speed", "Launch angle",
              "Backspin", "Carry", "Apex", "Descent angle", "Side"]
    below = ["", "", "", "", "m/s", "°", "°", "m/s", "°", "rpm", "m", "m", "°", "m"]
    order = ["dry", "wet", "wet", "dry", "wet", "dry", "dry", "wet", "dry", "wet", "wet", "dry"]
    rows = []
    for number, condition in enumerate(order, start=1):
        hit = shot(chance, (condition, "soft cover A"))
        turn = " R" if hit["side"] > 0 else " L"
        cells = [hit["head"] * 0.44704, hit["attack"], hit["loft"], hit["ball"] * 0.44704, hit["launch"]]
        cells = [f"{value:.1f}" for value in cells] + [f"{round(hit['spin'], -1):,.0f}".replace(",", "'").replace(".", ",")]
        cells += [f"{hit['carry'] * 0.9144:.1f}", f"{hit['apex'] * 0.3048:.1f}", f"{hit['descent']:.1f}"]
        cells = [cell.replace(".", ",").replace("-", "−") for cell in cells]
        if number == 7:
            cells[5] = "–"
        rows.append([number, "16.05.2026", "soft cover A", condition, *cells,
                     f"{abs(hit['side']) * 0.9144:.1f}".replace(".", ",") + turn])
    with (HERE / "wet_and_dry_metric.csv").open("w", newline="", encoding="utf-8-sig") as opened:
        csv.writer(opened, delimiter=";", lineterminator="\r\n").writerows([header, below, *rows])


def small_workbook(chance):
    """A workbook as it is handed in at a clinic: a title, six shots, an averages line."""
    from openpyxl import Workbook
    from openpyxl.styles import Font

    book = Workbook()
    page = book.active
    page.title = "Towel against tee"
    page.append(["Clinic at the Lower Meadow, towel against tee, 23 May"])
    page.append([])
    page.append(["Shot", "Condition", "Club speed (mph)", "Ball speed (mph)", "Launch angle (°)", "Spin (rpm)",
                 "Carry (yd)"])
    names, as_if = ("head", "ball", "launch", "spin", "carry"), {"towelled": "dry", "unwiped": "soiled"}
    hits = [(condition, shot(chance, (as_if[condition], "soft cover A"))) for condition in as_if for _ in range(3)]
    for number, (condition, hit) in enumerate(hits, start=1):
        page.append([number, condition, *(round(hit[name], 1) for name in names)])
    page.append(["Average", "", *(round(sum(hit[name] for _, hit in hits) / len(hits), 1) for name in names)])
    for cell in page[3]:
        cell.font = Font(bold=True)
    # a fixed date of making keeps the file the same
    book.properties.created = book.properties.modified = datetime.datetime(2026, 5, 23)
    book.save(HERE / "towel_and_tee.xlsx")


if __name__ == "__main__":
    main_table(random.Random(56))
    european_table(random.Random(57))
    small_workbook(random.Random(58))
