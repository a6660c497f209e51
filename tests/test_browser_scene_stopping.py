"""The flight-and-stop scene in a real browser: its words are Python's; grips, guess, motion."""

import re

import browser as b
import numpy as np
import pytest
from test_browser_scene import ASK, drag, everything, middle, opened, settled, value
from test_scene_stopping import places

from spinlab.panels import page as pages
from spinlab.panels.stopping import flight_and_stop
from spinlab.panels.words import Speaker
from spinlab.units import deg, rpm

pytestmark = pytest.mark.skipif(bool(b.why_not()), reason=b.why_not() or "a browser is here")


@pytest.fixture(scope="module")
def scene():
    return flight_and_stop()


@pytest.fixture(scope="module")
def folder(tmp_path_factory, scene):
    place = tmp_path_factory.mktemp("stopping")
    pages.write(scene, place / "stopping.html")
    return place


@pytest.fixture
def page(chrome, folder):
    seen = opened(chrome, folder, "stopping")
    settled(seen.page)
    yield seen.page
    assert seen.errors == [] and seen.away == []
    seen.close()


def test_the_page_says_what_python_says(page, scene):
    """30 random places, five with bands: sentence and facts, letter for letter."""
    rows = [(values, k % 6 == 0) for k, values in enumerate(places(scene, 30, 8))]
    speak = Speaker(scene.by_name)
    for (values, banded), (sentence, *facts) in zip(rows, page.evaluate(ASK, rows)):
        named = scene.named(values, scene.bands(values) if banded else {})
        rules = scene.sentences if banded else scene.first_sentences
        assert sentence == speak.choose(rules, named), values
        assert facts == [speak.say(kind, named[name]) for _, name, kind in scene.facts], values


def test_the_cards_are_pythons(page, scene):
    for name, values in scene.states.items():
        page.get_by_role("button", name=name, exact=True).click()
        settled(page)
        page.wait_for_timeout(50)
        answer, bands = scene.answer(scene.start | values), scene.bands(scene.start | values)
        speak = Speaker(scene.by_name)
        for k, ball in enumerate(("low", "high")):
            run = speak.say("distance", answer[f"{ball}_run_out"])
            assert page.locator(".run").nth(k).text_content() == f"runs {run}"
            low, high = bands[f"{ball}_run_out"]
            words = f"likely {speak.number('distance', low)} to {speak.say('distance', high)}"
            assert words in page.locator(".stopping").text_content()


def grip(page, words):
    return page.get_by_role("slider", name=re.compile(words))


def test_by_pointer(page):
    x, y = middle(grip(page, "Landing spot"))
    drag(page, (x, y), (x - 90, y))
    carry = value(page, "carry")
    assert carry < 41
    settled(page)
    assert page.evaluate("scene.answer.low_carry") == pytest.approx(carry, abs=0.001)
    x, y = middle(grip(page, "Flag"))
    drag(page, (x, y), (x + 60, y))
    assert value(page, "flag") > 52
    x, y = middle(grip(page, "Low: turn"))
    drag(page, (x, y), (x + 20, y + 40))
    assert value(page, "low_launch") < 25 * deg
    x, y = middle(grip(page, "High: turn"))
    drag(page, (x, y), (x + 25, y))
    assert value(page, "high_launch") < 50 * deg
    x, y = middle(grip(page, "Low: pull"))
    drag(page, (x, y), (x - 400, y))
    assert value(page, "low_spin") == 0.0
    settled(page)
    assert page.evaluate("scene.answer.low_carry") == pytest.approx(carry, abs=0.001)


def test_what_is_held_stays_under_the_hand(page):
    """A landing spot pulled far out does not run away though the scale could change."""
    turn = grip(page, "Landing spot")
    x, y = middle(turn)
    page.mouse.move(x, y)
    page.mouse.down()
    for k in range(1, 9):
        page.mouse.move(x + 15 * k, y)
        page.wait_for_timeout(40)
        assert middle(turn)[0] == pytest.approx(x + 15 * k, abs=9), "within a step of half a metre"
    page.mouse.up()
    assert 52 < value(page, "carry") < 60


def test_by_keys(page):
    for words, name, key, low, high in (
        ("Landing spot", "carry", "ArrowLeft", 44.4, 44.6),
        ("Flag", "flag", "PageUp", 54.9, 55.1),
        ("Low: turn", "low_launch", "ArrowUp", 31.4 * deg, 31.6 * deg),
        ("High: pull", "high_spin", "Home", 0.0, 0.0),
    ):
        grip(page, words).focus()
        page.keyboard.press(key)
        assert low <= value(page, name) <= high, name
    grip(page, "Flag").focus()
    page.keyboard.press("Enter")
    box = page.get_by_role("textbox", name="Flag, number")
    box.fill("47")
    box.press("Enter")
    assert value(page, "flag") == 47


def test_by_touch(chrome, folder):
    seen = opened(
        chrome, folder, "stopping", 390, 844, has_touch=True, is_mobile=True, device_scale_factor=2
    )
    page = seen.page
    settled(page)
    hand = seen.context.new_cdp_session(page)
    for words, dx, name in (
        ("Landing spot", -8, "carry"),
        ("Flag", 6, "flag"),
        ("Low: pull", -9, "low_spin"),
    ):
        before = value(page, name)
        turn = grip(page, words)
        turn.scroll_into_view_if_needed()
        x, y = middle(turn)
        touch = {"type": "touchStart", "touchPoints": [{"x": x, "y": y}]}
        hand.send("Input.dispatchTouchEvent", touch)
        for k in range(1, 6):
            touch = {"type": "touchMove", "touchPoints": [{"x": x + dx * k, "y": y}]}
            hand.send("Input.dispatchTouchEvent", touch)
        hand.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})
        assert (value(page, name) - before) * dx > 0, name
    assert seen.errors == []
    seen.close()


def test_nothing_gives_the_answer_away_before_the_lock(page, scene):
    page.get_by_role("button", name="Guess first").click()
    page.wait_for_timeout(700)
    speak, answer = Speaker(scene.by_name), scene.answer(scene.start)
    text = everything(page)
    for name in ("low", "high"):
        for of in ("run_out", "total"):
            assert speak.say("distance", answer[f"{name}_{of}"]) not in text, (name, of)
    assert "both stop alike" not in text and "past the flag" not in text
    assert page.locator(".stopping").text_content().count("runs ?") == 2
    assert page.locator(".green .ball").first.is_hidden()
    assert page.locator(".green .range.dry").first.get_attribute("d") == "M0 0"
    marks = ".green .dot:not(.said):not(.guessing *)"
    places = (
        f"[...document.querySelectorAll('{marks}')].map((one) => one.getAttribute('transform'))"
    )
    assert page.evaluate(places) == [None] * 8
    for number in (0, 1):
        x, y = middle(page.locator(".grip.guessing .dot").nth(number))
        drag(page, (x, y), (x - 60, y))
    guesses = page.evaluate(
        "['low', 'high'].map((name) => scene.guessing.of(`${name}_run_out`).value)"
    )
    assert all(5 < guess < 9.5 for guess in guesses), guesses
    page.get_by_role("button", name="Lock my guess").click()
    outcome = page.locator(".outcome").inner_text()
    assert f"The answer: {speak.say('distance', answer['low_run_out'])}." in outcome
    assert page.locator(".said").first.is_visible(), "the guess stays as a ghost"


def test_slow_motion_bounces_turns_and_rests(page, scene):
    """One clock for both; the balls turn as they go and are where Python's way has them."""
    ways = {name: scene.answer(scene.start)[f"{name}_way"] for name in ("low", "high")}
    whole = max(way.time[-1] for way in ways.values())
    turned = set()
    for moment in (0.1, 0.35, 0.5, 0.6, 1.0):
        page.evaluate(f"scene.moment = {moment}; scene.redraw()")
        run = page.locator(".run").nth(0).text_content()
        x = float(np.interp(moment * whole, ways["low"].time, ways["low"].x))
        ran = x - 45.0
        assert run == ("in the air" if ran < 0 else f"runs {Speaker({}).say('distance', ran)}")
        turned.add(page.locator(".green .mark.dry").get_attribute("transform"))
    assert len(turned) == 5
    assert page.locator(".reading").text_content() == f"time {Speaker({}).say('seconds', whole)}"


def test_the_balls_roll_as_they_are_drawn(page):
    """A ball drawn so many times larger turns so many times slower: x = R φ in the picture."""
    first, later = page.evaluate("""() => {
      const { low_way: way, high_way: other } = scene.answer;
      const whole = Math.max(way.time.at(-1), other.time.at(-1));
      return [0, 1].map((k) => {
        const end = way.time.at(-1);
        scene.moment = (end - 0.5 + 0.3 * k) / whole;
        scene.redraw();
        const mark = document.querySelector(".green .mark.dry");
        const place = mark.closest(".ball").getAttribute("transform");
        const [turn, scale] = mark.getAttribute("transform").match(/[-.\\d]+/g);
        return [Number(place.match(/\\(([-.\\d]+)/)[1]), Number(turn), Number(scale) * 1000];
      });
    }""")
    (x0, turn0, radius), (x1, turn1, _) = first, later
    assert x1 > x0 + 3
    assert (x1 - x0) == pytest.approx(radius * np.radians(turn1 - turn0), rel=0.02)


def test_kept_shots_stay_as_ghosts(page):
    page.get_by_role("button", name="Keep").click()
    page.get_by_role("button", name="low, no spin", exact=True).click()
    settled(page)
    assert page.locator(".ghost").count() == 4
    page.get_by_role("button", name="Compare two").click()
    assert page.locator(".compared tbody tr").first.inner_text().startswith("Low runs")


@pytest.mark.parametrize("width, height", [(390, 844), (1280, 800)])
def test_words_stay_inside_their_panels(chrome, folder, width, height):
    seen = opened(chrome, folder, "stopping", width, height)
    page = seen.page
    for units in ("metric", "yards"):
        page.evaluate(f"scene.setUnits({units!r})")
        for state in ("both stop", "low, no spin", "into the wind"):
            page.evaluate(f"scene.go({state!r})")
            settled(page)
            page.wait_for_timeout(60)
            over = page.evaluate("""() => [
              ...document.querySelectorAll(".stopping > g")
            ].flatMap((panel) => {
              const back = panel.querySelector("rect.card, :scope > g > rect");
              const frame = back.getBoundingClientRect();
              return [...panel.querySelectorAll("text")].filter((text) => text.textContent)
                .map((text) => [text.textContent, text.getBoundingClientRect()])
                .filter(([, box]) => box.right > frame.right + 1 || box.bottom > frame.bottom + 1)
                .map(([text]) => text);
            })""")
            assert over == [], (units, state)
    seen.close()


def test_spin_of_the_low_ball_is_all_it_takes(page):
    """The lesson's turn: pull the low ball's spin off and it runs through the green."""
    turn = grip(page, "Low: pull")
    turn.focus()
    for _ in range(5):
        page.keyboard.press("PageDown")
    settled(page)
    assert value(page, "low_spin") == pytest.approx(1500 * rpm)
    assert page.locator(".says").inner_text().endswith("height wins.")
