"""Panels, pictures and looks without a browser.  Answers of the toy are known by hand: carry = v² sin 2θ / g."""

import math
import subprocess
import sys
import warnings
from pathlib import Path

import numpy as np
import pytest
import toy
from matplotlib.figure import Figure
from PIL import Image

from spinlab.panels import spoken
from spinlab.show import style
from spinlab.show.panel import Choice, Knob, Panel
from spinlab.show.picture import Picture
from spinlab.units import GRAVITY, deg, mph, yd


def carry(speed, angle):
    return speed**2 * math.sin(2 * angle) / GRAVITY


@pytest.fixture
def panel():
    return toy.panel()


# --- knobs → compute → draw

def test_values_are_si_and_feed_the_next_cell(panel):
    assert panel.values == {"speed": 18.0, "angle": 30 * deg, "surface": "short"}
    panel.set(speed=45 * mph, surface="long grass")
    assert panel.values["speed"] == pytest.approx(20.1168, abs=1e-12)
    assert panel.values["surface"] == "long"
    assert panel.result.carry == pytest.approx(carry(20.1168, 30 * deg), rel=1e-12)


def test_sentence_carries_the_number_of_the_result(panel):
    panel.set(speed=20.0, angle=45 * deg)
    # 20²/9.80665 = 40.789 m, a quarter of it high (by hand) [C]
    assert panel.sentence == "The ball carries 40.8 m and rises 10.2 m from the short grass."
    panel.units = "yards"
    # 40.789/0.9144 = 44.607 yd, 10.197/0.3048 = 33.46 ft (by hand) [C]
    assert panel.sentence == "The ball carries 44.6 yd and rises 33.5 ft from the short grass."


def test_the_other_units_change_no_value_and_no_result(panel):
    before, result = panel.values, panel.result
    panel.units = "yards"
    assert panel.values == before
    assert panel.result is result


def test_one_switch_turns_the_units_of_every_panel_and_of_later_ones(panel):
    other, _wire = toy.panel(), Wire()
    other._view = _wire
    panel.units = "yards"
    assert other.units == "yards" and " yd " in other.sentence
    assert _wire.said[-1][0]["units"] == "yards", "its page is told"
    assert toy.panel().units == "yards", "one made later speaks the same"
    assert toy.panel(units="metric").units == "metric"
    with pytest.raises(ValueError, match="metric, yards"):
        panel.units = "furlongs"
    assert (panel.units, spoken.units_of()) == ("yards", "yards")
    other.units = "metric"
    assert panel.units == "metric" and " m " in panel.sentence


@pytest.mark.parametrize(("wrong", "parts"), [
    ({"speed": 60.0}, ["Speed", "60 m/s", "0.44704 m/s … 22.352 m/s", "choose a value"]),
    ({"speed": math.nan}, ["Speed", "got nan"]),
    ({"speed": "fast"}, ["Speed", "number", "'fast'"]),
    ({"speed": np.ones(3)}, ["Speed", "one number"]),
    ({"surface": "sand"}, ["Surface", "short grass, long grass", "'sand'"]),
    ({"loft": 1.0}, ["loft", "speed, angle, surface"]),
    ({"angle": 85 * deg, "surface": "long grass"}, ["angle", "0° … 80°", "85°", "flatter"]),
])
def test_bad_input_is_refused_in_words_and_the_last_picture_stays(panel, wrong, parts):
    before, values, sentence = panel._picture.encoded("png"), panel.values, panel.sentence
    with pytest.raises(ValueError) as refused:
        panel.set(**wrong)
    for part in parts:
        assert part in str(refused.value)
    assert panel.error == str(refused.value)
    assert (panel.values, panel.sentence) == (values, sentence)
    assert panel._picture.encoded("png") == before
    panel.set(speed=10.0)
    assert panel.error == ""


def test_a_failing_compute_or_draw_is_seen():
    def broken(**values):
        raise ZeroDivisionError("no ball")

    with pytest.raises(ZeroDivisionError, match="no ball"):
        Panel(knobs=[Knob("a", "A", low=0.0, high=1.0, step=0.1, value=0.5)], compute=broken, build=toy.build)


def test_states_reset_and_unknown_state(panel):
    panel.go("fast and high")
    assert (panel.values["speed"], panel.values["angle"], panel.state) == (22.0, 60 * deg, "fast and high")
    panel.go("low")
    assert panel.values["speed"] == 18.0, "a state starts from where the knobs stood at first"
    panel.set(speed=5.0)
    assert panel.state == ""
    panel.reset()
    assert panel.values == {"speed": 18.0, "angle": 30 * deg, "surface": "short"}
    with pytest.raises(ValueError, match="low, high, fast and high"):
        panel.go("medium")
    with pytest.raises(ValueError, match="Speed"):
        toy.panel().states and Panel(knobs=panel.knobs.values(), compute=toy.throw, build=toy.build,
                                     states={"bad": {"speed": 99.0}})


# --- knobs alone

def test_knob_in_both_units():
    knob = Knob("v", "Speed", unit="m/s", low=5 * mph, high=50 * mph, step=0.5, value=20 * mph)
    metric, yards = knob.described("metric"), knob.described("yards")
    assert (metric["unit"], metric["step"], metric["min"], metric["max"]) == ("m/s", 0.5, 2.5, 22.0)
    # 0.5 m/s is 1.12 mph: the nearest round step is 1 mph [C]
    assert (yards["unit"], yards["step"], yards["min"], yards["max"]) == ("mph", 1.0, 5.0, 50.0)
    assert knob.read(50, "yards") == 50 * mph
    assert knob.show(20 * mph, "yards") == 20.0
    with pytest.raises(ValueError, match=r"Speed must lie in 5 mph … 50 mph, got 51 mph"):
        knob.read(51, "yards")
    with pytest.raises(ValueError, match="empty box"):
        knob.read(None, "yards")


def test_knob_that_makes_no_sense_is_refused():
    with pytest.raises(ValueError, match="low < high"):
        Knob("a", "A", low=1.0, high=1.0, step=0.1, value=1.0)
    with pytest.raises(ValueError, match="different things"):
        Knob("a", "A", unit="m/s", yards_unit="yd", low=0.0, high=1.0, step=0.1, value=0.5)
    with pytest.raises(ValueError, match="A must lie in"):
        Knob("a", "A", low=0.0, high=1.0, step=0.1, value=2.0)


def test_choice_takes_labels_and_objects():
    soft, hard = object(), object()
    choice = Choice("ball", "Ball", {"soft": soft, "hard": hard}, value="hard")
    assert choice.value == "hard"
    assert choice.check(soft, "") == "soft"


# --- messages as a page sends them

class Wire:
    """Stands where the widget would."""

    def __init__(self):
        self.said = []

    def send(self, message, buffers):
        self.said.append((message, buffers))


def painted(wire):
    """The picture that stands on a page which has heard everything, put together as the page does it."""
    for message, buffers in wire.said:
        if not buffers:
            continue
        about, bytes_ = message["picture"], buffers[0]
        if about["whole"]:
            pixels = np.zeros(about["width"] * about["height"], np.uint32)
        count = len(bytes_) // 10
        begin, colour = np.frombuffer(bytes_[: 8 * count], np.uint32).reshape(2, count)
        for first, length, one in zip(begin, np.frombuffer(bytes_[8 * count:], np.uint16), colour):
            pixels[first: first + length] = one
    return pixels.view(np.uint8).reshape(about["height"], about["width"], 4)


def test_only_what_changed_goes_down_and_a_page_that_greets_gets_all(panel):
    panel._view = wire = Wire()
    hello = {"hello": {"width": 500, "narrow": False, "theme": "light"}}
    panel._heard(None, {"n": 1} | hello)
    for n, angle in enumerate((31, 80, 31, 31), 2):
        panel._heard(None, {"n": n, "values": {"angle": angle}, "units": "metric"})
        assert np.array_equal(painted(wire), panel._picture.pixels)
    sizes = [len(buffers[0]) for _, buffers in wire.said]
    assert max(sizes[1:]) < 0.5 * sizes[0]
    assert sizes[4] == 0, "nothing changed"
    assert [message["picture"]["whole"] for message, _ in wire.said] == [True, False, False, False, False]
    assert [message["picture"]["serial"] for message, _ in wire.said] == [1, 2, 3, 4, 5]
    panel._heard(None, {"n": 6} | hello)
    assert wire.said[-1][0]["picture"]["whole"]
    wire.said = wire.said[-1:]
    assert np.array_equal(painted(wire), panel._picture.pixels)


def test_page_messages_are_answered_once_each_and_in_order(panel):
    panel._view = wire = Wire()
    panel._heard(None, {"n": 1, "hello": {"width": 600, "narrow": False, "theme": "dark"}})
    panel._heard(None, {"n": 2, "values": {"angle": 45}, "units": "metric"})
    panel._heard(None, {"n": 3, "values": {"angle": 145}, "units": "metric"})
    panel._heard(None, {"n": 4, "units": "yards"})
    panel._heard(None, {"n": 5, "values": {"speed": 40}, "units": "yards"})
    panel._heard(None, {"n": 6, "do": "go", "state": "high"})
    panel._heard(None, {"n": 7, "do": "keep"})
    panel._heard(None, {"n": 8, "do": "reset"})
    answers = [message for message, _ in wire.said]
    assert [answer["n"] for answer in answers] == [1, 2, 3, 4, 5, 6, 7, 8]
    assert answers[1]["values"]["angle"] == 45.0
    assert "got 145°" in answers[2]["error"]
    assert answers[2]["values"]["angle"] == 45.0
    assert wire.said[2][1] == [], "with an error no new picture comes"
    assert answers[4]["values"]["speed"] == 40.0
    assert answers[6]["kept"] == [answers[6]["sentence"]]
    assert answers[7]["kept"] == []
    seen = painted(wire)
    assert seen.shape[1] == 600
    assert tuple(seen[2, 2]) == (0x12, 0x20, 0x2A, 0xFF), "the dark paper"
    assert np.array_equal(seen, panel._picture.pixels)


def test_an_exception_that_is_no_refusal_is_shown_and_passed_on():
    calls = []

    def compute(**values):
        calls.append(values)
        if len(calls) > 1:
            raise KeyError("loft")
        return toy.throw(speed=10.0, angle=0.5)

    panel = Panel(knobs=[Knob("a", "A", low=0.0, high=1.0, step=0.1, value=0.5)], compute=compute, build=toy.build)
    panel._view = wire = Wire()
    with pytest.raises(KeyError):
        panel._heard(None, {"n": 1, "values": {"a": 0.7}, "units": "metric"})
    assert wire.said[-1][0]["error"] == "KeyError: 'loft'"


def test_where_widgets_cannot_run_a_picture_still_shows(panel):
    data, _ = panel._repr_mimebundle_()
    assert {"image/png", "text/plain", "application/vnd.jupyter.widget-view+json"} <= set(data)
    assert data["text/plain"] == panel.sentence


# --- kept figures

def test_blitting_gives_the_pixels_of_a_full_draw():
    quick, full = (Picture(toy.build, style.look()) for _ in range(2))
    for angle in (20, 70, 45):
        quick.show(toy.throw(speed=20.0, angle=angle * deg))
    full.show(toy.throw(speed=20.0, angle=45 * deg))
    assert np.array_equal(quick.pixels, full.pixels)


def test_a_step_draws_only_what_moves():
    picture = Picture(toy.build, style.look())
    picture.show(toy.throw(speed=20.0, angle=20 * deg))
    draws, whole = [], Figure.draw
    try:
        Figure.draw = lambda self, renderer: (draws.append(1), whole(self, renderer))[1]
        picture.show(toy.throw(speed=20.0, angle=21 * deg))
        assert draws == []
        picture.show(toy.throw(speed=20.0, angle=21 * deg), style.YARDS)
        assert draws == [1], "new units mean new labels"
    finally:
        Figure.draw = whole


def test_kept_curves_stay_as_ghosts_in_every_unit(panel):
    picture = panel._picture
    without = picture.pixels.copy()
    panel.keep().set(angle=60 * deg)
    ghost, = picture._ghosts
    assert ghost.get_xdata()[-1] == pytest.approx(carry(18.0, 30 * deg))
    assert not ghost.get_animated()
    panel.units = "yards"
    ghost, = picture._ghosts
    assert ghost.get_xdata()[-1] == pytest.approx(carry(18.0, 30 * deg) / yd)
    for speed in (8.0, 9.0, 10.0):
        panel.set(speed=speed).keep()
    assert len(panel.kept) == len(picture._ghosts) == 3, "the three latest stay"
    panel.forget()
    panel.units = "metric"
    panel.reset()
    assert np.array_equal(picture.pixels, without)


def test_scaling_keeps_proportions():
    picture = Picture(toy.build, style.look())
    picture.show(toy.throw(speed=20.0, angle=20 * deg))
    picture.scale(600)
    picture.show(toy.throw(speed=20.0, angle=20 * deg))
    assert picture.pixels.shape[:2] == (338, 600) or picture.pixels.shape[:2] == (337, 600)


@pytest.mark.parametrize("form", ["png", "pdf", "svg"])
def test_saving_holds_what_moves_too_and_leaves_the_picture_as_it_was(form, tmp_path):
    picture = Picture(toy.build, style.look("page"))
    picture.show(toy.throw(speed=20.0, angle=20 * deg))
    before = picture.pixels.copy()
    target = tmp_path / f"out.{form}"
    picture.save(target)
    if form == "png":
        saved = np.asarray(Image.open(target).convert("RGB")).astype(int)
        assert np.abs(saved - before[..., :3]).mean() < 0.5
    elif form == "svg":
        assert "carry" in target.read_text(encoding="utf-8")
    else:
        assert target.read_bytes().startswith(b"%PDF")
    picture.show(toy.throw(speed=20.0, angle=20 * deg))
    assert np.array_equal(picture.pixels, before)


# --- looks

@pytest.mark.parametrize("theme", ["light", "dark"])
def test_text_and_lines_stand_out(theme):
    look = style.look(theme=theme)
    # WCAG 2.2, 1.4.3 (4.5:1 for text, 7:1 enhanced) and 1.4.11 (3:1 for what must be seen) [M]
    assert style.contrast(look.ink, look.paper) >= 7
    assert style.contrast(look.muted, look.paper) >= 4.5
    assert style.contrast(look.muted, look.shade) >= 4.5
    for meaning in style.SIGNS:
        edged = bool(look.line(meaning)["path_effects"])
        assert edged or style.contrast(look.colour(meaning), look.paper) >= 3


def test_contrast_of_black_and_white_and_of_a_known_grey():
    # WCAG 2.2, definition of contrast ratio: black on white 21:1; #767676 is the well-known lightest grey with 4.5:1 [M]
    assert style.contrast("#000000", "#FFFFFF") == pytest.approx(21)
    assert style.contrast("#767676", "#FFFFFF") == pytest.approx(4.54, abs=0.01)


def test_no_two_meanings_share_colour_dash_or_marker():
    signs = list(style.SIGNS.values())
    assert len({hue for hue, _, _ in signs}) == len({marker for _, _, marker in signs}) == len(signs)


@pytest.mark.parametrize("name", list(style.LOOKS))
@pytest.mark.parametrize("theme", ["light", "dark"])
def test_every_look_draws_without_a_warning(name, theme):
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        look = style.look(name, theme)
        picture = Picture(toy.build, look)
        picture.show(toy.throw(speed=20.0, angle=40 * deg))
    assert picture.pixels.shape == (look.height, look.width, 4)


def test_a_look_leaves_the_settings_of_others_alone():
    import matplotlib

    before = dict(matplotlib.rcParams)
    Picture(toy.build, style.look(theme="dark")).show(toy.throw(speed=20.0, angle=40 * deg))
    assert dict(matplotlib.rcParams) == before


def test_units_say_numbers_as_people_read_them():
    assert style.METRIC.say("spin", 962.4) == "9\u202f190 rpm"
    assert style.METRIC.say("angle", -6 * deg) == "−6°"
    assert style.METRIC.say("distance", -0.001, 1) == "0.0 m"
    assert style.YARDS.say("speed", 20.1168) == "45 mph"


# --- what is loaded

def test_a_panel_that_is_only_computed_loads_no_widgets():
    code = ("import sys; sys.path.insert(0, 'tests'); import toy; toy.panel().set(speed=9.0); "
            "assert not {'anywidget', 'ipywidgets', 'matplotlib.pyplot'} & set(sys.modules)")
    root = Path(toy.__file__).parent.parent
    done = subprocess.run([sys.executable, "-c", code], cwd=root, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr


# --- quick while a slider moves

class Drawn(toy.Throw):
    """A throw that knows whether it is coarse."""

    rough = False


class Coarse(Drawn):
    rough = True


def hurried():
    """A panel that notes in which way it was asked."""
    asked = []

    def made(kind, name):
        def compute(**values):
            asked.append(name)
            return kind(**vars(toy.throw(**values, angle=0.5)))

        return compute

    speed = Knob("speed", "Speed", unit="m/s", low=1.0, high=22.0, step=0.5, value=18.0)
    return Panel(knobs=[speed], compute=made(Drawn, "full"), quick=made(Coarse, "quick"), build=toy.build), asked


def test_a_slider_that_moves_is_answered_quickly_and_settles_on_the_full_answer():
    panel, asked = hurried()
    panel._view = wire = Wire()
    panel._heard(None, {"n": 1, "values": {"speed": 9}, "units": "metric", "moving": True})
    panel._heard(None, {"n": 2, "values": {"speed": 10}, "units": "metric", "moving": True})
    assert [message["rough"] for message, _ in wire.said] == [True, True]
    panel._heard(None, {"n": 3, "values": {}, "units": "metric", "moving": False})
    assert asked == ["full", "quick", "quick", "full"]
    assert wire.said[-1][0]["rough"] is False and panel.values == {"speed": 10.0}


@pytest.mark.parametrize("ask", [lambda p: p.result, lambda p: p.sentence, lambda p: p.keep(), lambda p: p.picture("page")])
def test_whoever_asks_in_the_middle_of_a_move_gets_the_full_answer(ask):
    panel, asked = hurried()
    panel._view = Wire()
    panel._heard(None, {"n": 1, "values": {"speed": 9}, "units": "metric", "moving": True})
    ask(panel)
    assert asked[-1] == "full" and not panel.result.rough


def test_a_typed_value_is_never_answered_coarsely():
    panel, asked = hurried()
    panel._view = Wire()
    panel._heard(None, {"n": 1, "values": {"speed": 9}, "units": "metric"})
    panel.set(speed=7.0).reset()
    assert "quick" not in asked
