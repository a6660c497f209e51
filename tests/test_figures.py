"""Pictures: they fit, they say what they show, they can be read, they are to scale.

Marks: S seen, Q quoted, M from memory, C computed, J our judgement.
"""

import re
from dataclasses import replace

import matplotlib as mpl
import numpy as np
import pytest
from matplotlib.lines import Line2D
from matplotlib.patches import Polygon
from matplotlib.text import Text

from spinlab import Ball, Between, Delivery, Face, play
from spinlab.physics.grooves import area
from spinlab.show import figures, shapes
from spinlab.show.draw_difference import group, meanings
from spinlab.show.draw_green import INSIDE, ellipse
from spinlab.show.draw_grooves import section_outline
from spinlab.show.draw_scene import instant, pressed_ball
from spinlab.show.picture import Picture
from spinlab.show.style import LOOKS, METRIC, YARDS, contrast, look
from spinlab.units import deg, mm, rpm, um

FACE, BALL = Face(), Ball.published_soft_cover()
ARRIVING = Delivery(head_speed=20.0, dynamic_loft=44 * deg, attack_angle=-6 * deg)
WET = Between(water=40 * um)
BLOCKED = WET.but(soil_in_grooves=1.0)
STATES = {"dry": ("dry", Between()), "damp": ("water", Between(water=3 * um)), "wet": ("wet", WET),
          "wet, blocked": ("blocked", BLOCKED)}


def filmed(name):
    meaning, between = STATES[name]
    return figures.film_strike(ARRIVING, FACE, BALL, between, name=name, meaning=meaning)


def slow_motion():
    return figures.SlowMotion(shots=(filmed("dry"), filmed("wet")), moment=0.4)


def flown(*names):
    return [figures.Flown(name=name, meaning=STATES[name][0],
                          shot=play(ARRIVING, FACE, BALL, STATES[name][1], points=40, trace=60)) for name in names]


def curves():
    loft = np.linspace(20, 75, 12) * deg
    made = []
    for i, (name, (meaning, _)) in enumerate(STATES.items()):
        spin = (7000 - 1200 * i) * rpm * np.sin(loft) * np.cos(0.3 * (1 + i) * loft)
        made.append(figures.Curve(name=name, meaning=meaning, spin=spin, low=0.85 * spin, high=1.15 * spin))
    return figures.Curves(loft=loft, curves=tuple(made), here=50 * deg)


def fan():
    from spinlab import strike

    states = tuple(figures.Launched(name=name, meaning=meaning, launch=strike(ARRIVING, FACE, BALL, between))
                   for name, (meaning, between) in STATES.items())
    return figures.Fan(arriving=ARRIVING, launched=states)


def pattern():
    rng = np.random.default_rng(4)
    played = tuple(figures.Played(name=name, meaning=meaning, along=50 + far + s * rng.standard_normal(200),
                                  right=1.2 * rng.standard_normal(200))
                   for name, meaning, far, s in (("low", "dry", 0, 2), ("high", "grass", -1, 3), ("wet face", "wet", 3, 3)))
    return figures.Pattern(played=played, hole=50.0)


def condition(name, meaning, mean, seed, aside=()):
    shots = (mean + 500 * np.random.default_rng(seed).standard_normal(8)) * rpm
    middle, low, high = group(shots)
    return figures.Condition(name=name, meaning=meaning, shots=shots, set_aside=np.array(aside) * rpm, mean=middle, low=low,
                             high=high, modelled=mean * rpm)


def compared():
    conditions = (condition("dry", "dry", 6300, 1, aside=[4500]), condition("wet", "wet", 3400, 2),
                  condition("blocked", "blocked", 1900, 3))
    gaps = tuple(figures.Gap(name=c.name, value=c.mean - conditions[0].mean, low=c.mean - conditions[0].mean - 600 * rpm,
                             high=c.mean - conditions[0].mean + 600 * rpm, modelled=c.modelled - conditions[0].modelled,
                             modelled_band=(c.modelled - 7000 * rpm, c.modelled - 5500 * rpm)) for c in conditions[1:])
    return figures.Compared(of="spin_rate", conditions=conditions, gaps=gaps)


def split():
    parts = tuple((name, v * rpm, (v - 150) * rpm, (v + 150) * rpm) for name, v in
                  (("clean face", 1500), ("dry face and ball", 1100), ("ball", 350), ("loft delivered", -150)))
    return figures.Split(of="spin_rate", begin=("as you are", 3400 * rpm), end=("well kept", 6200 * rpm), parts=parts)


def screening():
    loft = np.array([44, 45.5, 38, 43, 49.5, 46, 44.5, 42]) * deg
    return figures.Screening(of="dynamic_loft", values=loft, aside=(loft < 40 * deg) | (loft > 48 * deg), low=40 * deg,
                             high=48 * deg)


def cleanings():
    from spinlab import strike
    from spinlab.catalogue import CLEANINGS, SOIL
    from spinlab.physics.cleaning import clean

    left = {how: clean(Between(water=20 * um, grass=0.1, **SOIL["caked"]), how) for how in CLEANINGS}
    ways = tuple(figures.Cleaned(name=how, between=b, launch=strike(ARRIVING, FACE, BALL, b)) for how, b in left.items())
    return figures.Cleanings(ways=ways, spotless=strike(ARRIVING, FACE, BALL))


def wedges():
    rising = np.linspace(0, 1, 10) * np.array([[1.0], [0.7], [0.5]])
    return figures.Wedges(loft=np.linspace(46, 64, 10) * deg, names=("clean, dry", "dirty", "wet"), here=56 * deg,
                          meanings=("dry", "soil", "wet"), spin=(5000 + 3000 * rising) * rpm,
                          descent=(30 + 20 * rising) * deg, run_out=20 - 21 * rising)


def greens():
    from spinlab import Green
    from spinlab.physics.stopping import stops, two_shots

    made = [green() for green in (Green.tuned_soft, Green.tuned_medium, Green.tuned_firm, Green.tuned_gripping)]
    return figures.Greens(stops=stops(two_shots(), made, n=20), names=("low", "high"), meanings=("dry", "wet"))


def readings():
    """A central strike, one with the usual offset, and one that is mis-read."""
    base = {"launch_angle": 31 * deg, "ball_speed": 21.5, "spin_rate": 6500 * rpm}
    lofts = {"agrees": 46.7, "offset": 44.0, "mis-read": 52.0}
    return figures.Readings(shots=tuple(
        figures.Reading(name=name, meaning=meaning, dynamic_loft=loft * deg, **base)
        for (name, loft), meaning in zip(lofts.items(), ("dry", "wet", "grass"), strict=True)))


SHOWN = {
    "contact_slow_motion": slow_motion,
    "contact_pair": slow_motion,
    "launch_fan": fan,
    "spin_against_loft": curves,
    "flight_side_view": lambda: flown("dry", "wet"),
    "green_from_above": pattern,
    "difference_plot": compared,
    "groove_section": lambda: figures.Section(grooves=FACE.grooves, between=Between(water=90 * um, soil_in_grooves=0.3,
                                                                                  soil_on_lands=0.4)),
    "film_against_time": lambda: [filmed("wet"), filmed("wet, blocked")],
    "set_aside_plot": screening,
    "shares_bars": split,
    "ways_of_cleaning": cleanings,
    "wedges_compared": wedges,
    "stops_on_greens": greens,
    "words_of_trade": lambda: figures.Terms(arriving=ARRIVING, grooves=FACE.grooves,
                                            shot=play(ARRIVING, FACE, BALL, points=40)),
    "two_lofts": readings,
    "order_strip": lambda: figures.Order(order=("dry", "wet", "wet", "dry") * 3, done=5),
}


@pytest.fixture(scope="module")
def results():
    return {name: make() for name, make in SHOWN.items()}


def drawn(name, result, in_look, units=METRIC):
    picture = Picture(getattr(figures, name), in_look)
    picture.show(result, units)
    return picture


def seen_texts(picture):
    """Every text that is really drawn, with its box in pixels."""
    seen, figure = [], picture.figure

    def note(text, renderer, *rest, **options):
        if text.get_visible() and text.get_text().strip():
            seen.append((text, text.get_window_extent(renderer)))

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Text, "draw", note)
        figure.canvas.draw()
    return seen


# -- they fit ---------------------------------------------------------------------------------------------------------


def test_every_builder_is_tried():
    others = {"film_strike", "measured", "split_of", "curves_of", "screening_of"}  # they prepare what a builder draws
    assert {name for name in figures.__all__ if name[:1].islower()} - others == set(SHOWN)


@pytest.mark.parametrize("name", SHOWN)
@pytest.mark.parametrize("of_look", LOOKS)
def test_text_is_large_stays_inside_and_covers_no_other(name, of_look, results):
    picture = drawn(name, results[name], look(of_look), YARDS)
    width, height = picture.figure.canvas.get_width_height()
    seen = seen_texts(picture)
    assert seen
    for text, box in seen:
        assert text.get_fontsize() >= picture.look.points(picture.look.small) - 0.01, text.get_text()
        assert box.x0 >= -2 and box.y0 >= -2 and box.x1 <= width + 2 and box.y1 <= height + 2, (text.get_text(), box)
    for i, (one, a) in enumerate(seen):
        for other, b in seen[i + 1:]:
            across = min(a.x1, b.x1) - max(a.x0, b.x0)
            up = min(a.y1, b.y1) - max(a.y0, b.y0)
            least = 0.3 * min(a.height, b.height)
            assert across <= least or up <= least, (one.get_text(), other.get_text())


# -- only artists change ----------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", SHOWN)
def test_drawing_again_makes_no_artists(name, results):
    picture = drawn(name, results[name], look("page"))
    before = len(picture.figure.findobj())
    pixels = picture.pixels.copy()
    sentence = picture.sentence
    assert picture.show(results[name], METRIC) == sentence
    assert len(picture.figure.findobj()) == before
    assert np.array_equal(pixels, picture.pixels)


@pytest.mark.parametrize("name", ["contact_slow_motion", "contact_pair"])
def test_a_moment_later_moves_the_picture(name, results):
    picture = drawn(name, results[name], look("page"))
    pixels = picture.pixels.copy()
    picture.show(replace(results[name], moment=0.7), METRIC)
    assert not np.array_equal(pixels, picture.pixels)


@pytest.mark.parametrize("moment", [0.0, 1.0])
@pytest.mark.parametrize("name", ["contact_slow_motion", "contact_pair"])
def test_first_and_last_instant_can_be_drawn(name, moment, results):
    sentence = drawn(name, replace(results[name], moment=moment), look("page")).sentence
    assert "nan" not in sentence and ("touching" in sentence if moment == 0 else "parting" in sentence)


def test_fewer_states_hide_what_is_left_over(results):
    picture = drawn("launch_fan", results["launch_fan"], look("page"))
    one = replace(results["launch_fan"], launched=results["launch_fan"].launched[:1])
    picture.show(one)
    assert not any("wet" in text.get_text() for text, _ in seen_texts(picture))


# -- they say what they show ------------------------------------------------------------------------------------------


@pytest.mark.parametrize("units", [METRIC, YARDS], ids=lambda u: u.name)
@pytest.mark.parametrize("name", [name for name in SHOWN if name != "order_strip"])
def test_every_number_that_moves_is_in_the_sentence(name, units, results):
    picture = drawn(name, results[name], look("page"), units)
    for text, _ in seen_texts(picture):
        if text.get_gid() == shapes.MOVES:
            for number in re.findall(r"[+−]?\d[\d.\u202f]*\d|\d", text.get_text()):
                assert number in picture.sentence, (number, picture.sentence)


def test_sentences_change_with_the_units(results):
    picture = drawn("flight_side_view", results["flight_side_view"], look("page"), METRIC)
    carry = float(results["flight_side_view"][0].shot.carry)
    assert f"{carry:.1f} m" in picture.sentence
    picture.show(results["flight_side_view"], YARDS)
    assert f"{carry / 0.9144:.1f} yd" in picture.sentence  # 1 yd = 0.9144 m by definition (1959) [M]


# -- they can be read -------------------------------------------------------------------------------------------------


def test_contrast_by_the_published_formula():
    """WCAG 2.2: #767676 on white is the lightest grey that passes 4.5:1, #777777 fails (common practice, W3C notes; M)."""
    assert contrast("#767676", "#FFFFFF") == pytest.approx(4.54, abs=0.005)
    assert contrast("#777777", "#FFFFFF") == pytest.approx(4.48, abs=0.005)
    assert contrast("#000000", "#FFFFFF") == pytest.approx(21.0)
    # of the hues of Okabe and Ito (M), these three do not reach 3:1 on white, so they are outlined (C)
    assert all(contrast(hue, "#FFFFFF") < 3 for hue in ("#E69F00", "#56B4E9", "#F0E442"))


@pytest.mark.parametrize("theme", ["light", "dark"])
@pytest.mark.parametrize("name", SHOWN)
def test_colours_stand_out(name, theme, results):
    """Text 4.5:1 and lines 3:1 from what they lie on (WCAG 2.2, 1.4.3 and 1.4.11; M)."""
    of = look("page", theme)
    picture = drawn(name, results[name], of)
    for text, _ in seen_texts(picture):
        colour = mpl.colors.to_hex(text.get_color())
        # words on the metal are in the colour of the paper
        under = of.muted if colour == of.paper.lower() else of.paper
        assert contrast(colour, under) >= 4.5, text.get_text()
    for line in picture.figure.findobj(Line2D):
        if line.axes and line in line.axes.lines and line.get_visible() and line.get_linestyle() != "None":
            colour = mpl.colors.to_hex(line.get_color())
            if colour in (of.grid.lower(), of.paper.lower()):
                continue  # a ruler behind the picture, a gap cut into it
            assert contrast(colour, of.paper) >= 3 or line.get_path_effects(), line
    for patch in picture.figure.findobj(Polygon):
        if patch.get_visible() and patch.get_alpha() is None and patch.get_linewidth() > 0:
            edge, inside = (mpl.colors.to_hex(c) for c in (patch.get_edgecolor(), patch.get_facecolor()))
            assert max(contrast(edge, of.paper), contrast(inside, of.paper)) >= 3


def test_two_conditions_never_share_a_sign():
    signs = meanings(["wet, blocked grooves", "wet", "dry", "towelled", "dry again"])
    assert len(set(signs)) == 5
    assert signs[1:3] == ["wet", "dry"]


# -- they are to scale ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("of_look", ["page", "hand"])
@pytest.mark.parametrize("name", ["contact_slow_motion", "flight_side_view", "green_from_above", "groove_section",
                                  "launch_fan"])
def test_a_metre_is_as_long_up_as_across(name, of_look, results):
    picture = drawn(name, results[name], look(of_look), YARDS)
    ax = picture.figure.axes[0]
    place = ax.transData.transform([(0, 0), (1, 0), (0, 1)])
    assert place[1, 0] - place[0, 0] == pytest.approx(place[2, 1] - place[0, 1], rel=1e-6)


def test_the_pressed_ball_is_flat_over_hertz_patch():
    """Hertz: a² = R x, and the surface has sunk by x/2 at the patch's edge (Johnson, Contact Mechanics 1985, ch. 3; M)."""
    radius, x = 21.335 * mm, 2.0 * mm
    t, n = pressed_ball(radius, x).T
    a = np.sqrt(radius * x)
    lower = np.arange(len(t)) < 121
    assert np.max(n[lower & (np.abs(t) < 0.98 * a)]) < 0.02 * mm
    assert np.min(n[lower & (np.abs(t) > 1.2 * a)]) > 0.02 * mm
    edge = n[lower & (np.abs(t) < 1.001 * a)][0]
    round_ball = radius - x - np.sqrt(radius**2 - a**2)  # how deep an unpressed ball would lie there
    assert edge - round_ball == pytest.approx(x / 2, rel=0.06)
    assert np.max(n) == pytest.approx(2 * radius - x)


def test_force_arrows_share_one_scale(results):
    picture = drawn("contact_slow_motion", results["contact_slow_motion"], look("talk"))
    now = instant(results["contact_slow_motion"].shots[0], 0.4)
    arrows = [p.get_xy() for p in picture.figure.axes[0].patches if len(p.get_xy()) == 8]
    lengths = sorted(np.hypot(*(points[3] - 0.5 * (points[0] + points[6]))) for points in arrows)
    assert len(lengths) == 2
    assert lengths[1] / lengths[0] == pytest.approx(now.normal / now.friction, rel=1e-6)


def test_slow_motion_ends_with_the_spin_of_the_launch(results):
    shot = results["contact_slow_motion"].shots[0]
    last = instant(shot, 1.0)
    assert last.spin == pytest.approx(float(shot.launch.spin_rate), rel=1e-6)
    assert last.time == pytest.approx(float(shot.launch.contact.time))
    # turned is the time integral of a spin that grows from nought: more than none, less than the last spin throughout
    assert 0.3 * last.spin * last.time < last.turned < 0.9 * last.spin * last.time


@pytest.mark.parametrize("grooves", [FACE.grooves, FACE.grooves.but(width=0.6 * mm, draft_angle=0.0),
                                     FACE.grooves.but(depth=0.5 * mm, draft_angle=30 * deg)])
def test_the_drawn_groove_has_the_area_that_is_computed(grooves):
    """Shoelace area under the lands against the closed form of `spinlab.physics.grooves.area` (plane geometry; C)."""
    x, y = section_outline(grooves, [0.0]).T
    drawn_area = 0.5 * abs(np.dot(x, np.roll(y, 1)) - np.dot(y, np.roll(x, 1)))
    assert drawn_area == pytest.approx(float(area(grooves)), rel=0.01)


def test_the_ellipse_holds_two_shots_of_three():
    """A plane normal distribution, drawn 40 000 times, against its closed form (C)."""
    rng = np.random.default_rng(7)
    along, right = rng.multivariate_normal([2, 1], [[4, 1.5], [1.5, 2]], 40_000).T
    inside = mpl.path.Path(ellipse(along, right, points=361)).contains_points(np.column_stack([right, along]))
    assert inside.mean() == pytest.approx(INSIDE, abs=0.008)


def test_average_with_its_range_against_scipy():
    from scipy import stats

    shots = np.array([6120.0, 6410, 5980, 6650, 6300, 6210])
    mean, low, high = group(shots)
    expected = stats.t.interval(0.95, 5, loc=shots.mean(), scale=stats.sem(shots))
    assert (mean, low, high) == pytest.approx((shots.mean(), *expected))


# -- shapes ------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("values", [[0.5, 0.5, 0.5], [0.0, 0.01, 1.0], [0.9, 0.1, 0.91, 0.95], [0.3]])
def test_labels_keep_apart_in_order_and_inside(values):
    placed = shapes.keep_apart(values, 0.2, 0.0, 1.0)
    order = np.argsort(values, kind="stable")
    assert np.all(np.diff(placed[order]) >= 0.2 - 1e-6)
    assert placed.min() >= -1e-9 and placed.max() <= 1 + 1e-9


def test_labels_that_are_apart_stay_where_they_are():
    assert shapes.keep_apart([0.1, 0.5, 0.9], 0.2, 0, 1) == pytest.approx([0.1, 0.5, 0.9])


def test_an_arrow_points_where_it_is_told():
    points = shapes.arrow((1, 1), (4, 5), width=0.2, head=0.6)
    assert points[3] == pytest.approx([4, 5])
    assert 0.5 * (points[0] + points[6]) == pytest.approx([1, 1])
    assert np.all(shapes.arrow((1, 1), (1, 1), width=0.2, head=0.6) == 1)


def test_measured_takes_the_report_as_it_is():
    from spinlab.evidence import report, screen, table

    rows = "\n".join(f"{c},{loft},{spin},20" for c, loft, spin in
                     [("dry", 44, 6300), ("dry", 45, 6500), ("dry", 43, 6100), ("dry", 38, 5200), ("dry", 44, 6400),
                      ("wet", 44, 3300), ("wet", 45, 3500), ("wet", 43, 3100), ("wet", 46, 3000)])
    read = table.read(f"condition,dynamic loft (deg),spin rate (rpm),head speed (m/s)\n{rows}\n".encode())
    made = report.make(read, rule=screen.written(dynamic_loft=(40 * deg, 48 * deg)), model_bands=False)
    shown = figures.measured(made)
    dry, wet = shown.conditions
    assert [(c.name, c.meaning, len(c.shots)) for c in (dry, wet)] == [("dry", "dry", 4), ("wet", "wet", 4)]
    assert dry.set_aside / rpm == pytest.approx([5200])
    assert dry.mean / rpm == pytest.approx(6325) and wet.mean / rpm == pytest.approx(3225)
    assert shown.gaps[0].value / rpm == pytest.approx(-3100)
    assert shown.gaps[0].low < shown.gaps[0].value < shown.gaps[0].high < 0
    with pytest.raises(ValueError, match="apex"):
        figures.measured(made, of="apex")


def test_a_split_starts_and_ends_where_the_shares_do():
    from spinlab.physics.setting import Setting
    from spinlab.physics.shares import shares

    kept = Setting(arriving=ARRIVING, face=FACE, ball=BALL)
    player = kept.but(ball=Ball.published_ionomer_cover(), between=Between(water=30 * um, soil_in_grooves=0.6))
    whole = shares(player, kept, n=20)
    shown = figures.split_of(whole)
    assert shown.begin[1] + sum(part[1] for part in shown.parts) == pytest.approx(shown.end[1], rel=1e-9)
    assert shown.end[1] == pytest.approx(float(play(ARRIVING, FACE, BALL).launch.spin_rate))
    sizes = [part[1] for part in shown.parts]
    assert sizes == sorted(sizes, reverse=True)
    sentence = drawn("shares_bars", shown, look("page")).sentence
    assert all(part[0] in sentence for part in shown.parts)


def test_curves_of_a_sweep_keep_its_numbers():
    from spinlab.physics.lofts import compare_lofts

    lofts = compare_lofts(FACE, BALL, lofts=np.array([46, 54, 60, 64]) * deg, head_speed=20.0)
    shown = figures.curves_of(lofts)
    assert [c.name for c in shown.curves] == list(lofts.states)
    assert len({c.meaning for c in shown.curves}) == len(shown.curves)
    assert np.array_equal(shown.curves[1].spin, lofts.spin_rate[1])
    assert f"at {lofts.best('dry') / deg:.0f}°" in drawn("spin_against_loft", shown, look("page")).sentence


def test_thousands_along_an_axis_are_parted_as_in_the_text():
    """Digits in groups of three (SI Brochure, 9th edition, 5.4.4 (M)); below a thousand an axis is matplotlib's own."""
    made = look("page")
    figure = made.figure()
    ax = made.axes(figure.add_subplot(), x=(0, 10_000), y=(0.0, 0.5))
    figure.canvas.draw()
    assert "8\u202f000" in [text.get_text() for text in ax.get_xticklabels()]
    assert "0.1" in [text.get_text() for text in ax.get_yticklabels()]


def test_two_readings_are_judged_on_both_sides():
    """31°, 21.5 m/s and 6,500 rpm ask for 46.7° of a central strike (mechanics, by hand in `central_strike`)."""
    base = {"meaning": "dry", "launch_angle": 31 * deg, "ball_speed": 21.5, "spin_rate": 6500 * rpm}
    for loft, words in ((46.7, "they agree"), (45.75, "they agree"), (45.6, "an offset"), (42.8, "an offset"),
                        (42.6, "mis-read, or the strike"), (47.6, "they agree"), (47.8, "mis-read, or the strike")):
        shot = figures.Reading(name="x", dynamic_loft=loft * deg, **base)
        said = drawn("two_lofts", figures.Readings(shots=(shot,)), look("page")).sentence
        assert words in said and "46.7° asked for" in said, (loft, said)
