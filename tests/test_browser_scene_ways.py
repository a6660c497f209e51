"""The scenes of lessons 05 and 08 in a real browser: grips and rows by pointer, keys and touch, guesses,
and words that are Python's."""

import re

import browser as b
import numpy as np
import pytest
from scene_page import middle, value

from spinlab.panels import page as pages
from spinlab.panels.fixing import what_to_fix_first
from spinlab.panels.scene import Choice
from spinlab.panels.ways import which_repeats
from spinlab.panels.words import Speaker
from spinlab.units import deg, um

pytestmark = pytest.mark.skipif(bool(b.why_not()), reason=b.why_not() or "a browser is here")

MADE = {"which-repeats": which_repeats, "what-to-fix-first": what_to_fix_first}
ALL = "() => window.scene?.spec && scene.answer?.rested === scene.spec.rests && scene.fresh"


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    place = tmp_path_factory.mktemp("scenes")
    for name, make in MADE.items():
        pages.write(make(), place / f"{name}.html")
    return place


def opened(chrome, folder, name, fragment="", width=1280, height=800, **options):
    seen = b.Watched(chrome, width=width, height=height, offline=True, **options)
    seen.page.goto((folder / f"{name}.html").as_uri() + fragment)
    settled(seen.page)
    return seen


def settled(page):
    page.wait_for_function(ALL, timeout=15000)
    page.wait_for_timeout(60)


@pytest.fixture(params=MADE)
def shown(request, chrome, folder):
    seen = opened(chrome, folder, request.param)
    yield request.param, seen.page
    assert seen.errors == [] and seen.away == []
    seen.close()


@pytest.fixture
def ways(chrome, folder):
    seen = opened(chrome, folder, "which-repeats")
    yield seen.page
    assert seen.errors == [] and seen.away == []
    seen.close()


@pytest.fixture
def fixing(chrome, folder):
    seen = opened(chrome, folder, "what-to-fix-first")
    yield seen.page
    assert seen.errors == [] and seen.away == []
    seen.close()


def drag(page, start, end):
    page.mouse.move(*start)
    page.mouse.down()
    page.mouse.move(*end, steps=6)
    page.mouse.up()


def places(scene, count, seed):
    rng = np.random.default_rng(seed)
    for _ in range(count):
        values = {}
        for control in scene.controls:
            if isinstance(control, Choice):
                values[control.name] = str(rng.choice(list(control.options)))
            else:
                span = control.high - control.low
                power = 6 if control.name == "water" else 1
                values[control.name] = float(control.low + span * rng.uniform() ** power)
        yield values


ASK = """async rows => {
  const url = URL.createObjectURL(new Blob([scene.spec.code], { type: "text/javascript" }));
  const engine = (await import(url)).make(scene.spec);
  const notes = scene.spec.plots.flatMap((plot) => plot.marks.filter(({ kind }) => kind === "text"));
  return rows.map((values) => {
    const answer = { ...values, ...engine.answer(values, scene.spec.rests) };
    return [scene.speak.choose(scene.spec.say, answer),
      ...scene.spec.facts.map((fact) => scene.speak.say(fact.kind, answer[fact.of])),
      ...notes.map((note) => scene.speak.choose(note.text, answer))];
  });
}"""


def test_the_page_says_what_python_says(shown):
    """At 20 random places all that is said at rest, letter for letter."""
    name, page = shown
    scene = MADE[name]()
    rows = list(places(scene, 20, 5))
    speak = Speaker(scene.by_name)
    for values, (sentence, *rest) in zip(rows, page.evaluate(ASK, rows), strict=True):
        named = scene.named(values)
        assert sentence == speak.choose(scene.sentences, named), values
        facts = [speak.say(kind, named[of]) for _, of, kind in scene.facts]
        assert rest[: len(facts)] == facts, values


def test_prepared_states_say_pythons_sentence(shown):
    name, page = shown
    scene = MADE[name]()
    for state in scene.states:
        page.get_by_role("button", name=state, exact=True).click()
        said = scene.sentence(scene.start | scene.states[state])
        page.wait_for_function(
            "words => document.querySelector('.says').textContent === words",
            arg=said,
            timeout=15000,
        )
        assert said in page.locator(".picture > svg").get_attribute("aria-label")


def test_the_flag_and_the_ring_by_pointer(ways):
    flag = ways.get_by_role("slider", name="Distance: drag the flag")
    x, y = middle(flag)
    drag(ways, (x, y), (x + 120, y))
    assert value(ways, "distance") == pytest.approx(40, abs=1)
    ring = ways.get_by_role("slider", name="Near: pull the ring")
    x, y = middle(ring)
    drag(ways, (x, y), (x - 24, y))
    assert value(ways, "within") == pytest.approx(1, abs=0.25)
    settled(ways)
    assert "within 1.0" in ways.locator(".says").inner_text().replace("\u00a0", " ")


def test_few_shots_under_the_hand_and_all_of_them_at_rest(ways):
    count = "[...document.querySelector('.points.dry').getAttribute('d').matchAll(/M/g)].length"
    assert ways.evaluate(count) == 256
    flag = ways.get_by_role("slider", name="Distance: drag the flag")
    x, y = middle(flag)
    ways.mouse.move(x, y)
    ways.mouse.down()
    ways.mouse.move(x + 40, y, steps=3)
    ways.wait_for_function("() => scene.answer.rested === 0")
    assert ways.evaluate(count) == 16
    assert "about" in ways.locator(".note").first.text_content()
    assert "rest it" in ways.locator(".says").inner_text()
    ways.mouse.up()
    settled(ways)
    assert ways.evaluate(count) == 256


def test_the_flag_by_keys_and_a_cause_by_enter(ways):
    flag = ways.get_by_role("slider", name="Distance: drag the flag")
    flag.focus()
    ways.keyboard.press("Home")
    ways.keyboard.press("ArrowUp")
    assert value(ways, "distance") == 10.5
    ways.keyboard.press("End")
    assert value(ways, "distance") == 50
    loft = ways.get_by_role("button", name="loft", exact=True)
    loft.focus()
    ways.keyboard.press("Enter")
    assert value(ways, "practised") == "loft"
    settled(ways)
    halved = ways.get_by_role("button", name="loft: halved")
    assert halved.get_attribute("aria-pressed") == "true"
    halved.focus()
    ways.keyboard.press(" ")
    assert value(ways, "practised") == "nothing"


def test_rows_are_pressed_and_pressed_back(fixing):
    row = fixing.get_by_role("button", name=re.compile("^clean face: "))
    row.click()
    assert value(fixing, "cleaned") == "just now, towel"
    settled(fixing)
    done = fixing.get_by_role("button", name="clean face: well kept")
    assert done.get_attribute("aria-pressed") == "true"
    scene = what_to_fix_first()
    fixed = scene.start | {"cleaned": "just now, towel"}
    assert fixing.locator(".says").inner_text() == scene.sentence(fixed)
    done.focus()
    fixing.keyboard.press("Enter")
    assert value(fixing, "cleaned") == "not at all"


def test_rows_by_touch_on_a_telephone(chrome, folder):
    seen = opened(
        chrome, folder, "what-to-fix-first", width=390, height=844, has_touch=True, is_mobile=True,
        device_scale_factor=2,
    )  # fmt: skip
    row = seen.page.get_by_role("button", name=re.compile("^ball: "))
    assert row.bounding_box()["height"] >= 38
    row.tap()
    assert value(seen.page, "cover") == "soft cover"
    assert seen.page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    assert seen.errors == []
    seen.close()


def test_a_worker_that_nobody_waits_for_is_given_up(fixing):
    """The beginner's bands take seconds; what is asked meanwhile does not wait for them."""
    fixing.get_by_role("button", name="beginner", exact=True).click()
    fixing.wait_for_function("() => scene.answer.rested === 1", timeout=15000)
    fixing.get_by_role("button", name="well kept", exact=True).click()
    settled(fixing)
    assert fixing.locator(".says").inner_text().startswith("Nothing is left")
    assert fixing.evaluate("scene.answer.own_run") == pytest.approx(5.9, abs=0.05)


@pytest.mark.parametrize(("name", "told"), [("which-repeats", "bump-and-run"), ("what-to-fix-first", "clean the face")])
def test_the_guess_hides_the_answer(chrome, folder, name, told):
    seen = opened(chrome, folder, name)
    page = seen.page
    page.get_by_role("button", name="Guess first").click()
    page.wait_for_timeout(300)
    assert page.locator(".marks").first.locator("*").count() == 0
    assert page.locator(".clipped").first.locator("*").count() == 0
    assert page.locator(".says").is_hidden() and page.locator("[aria-live]").first.inner_text() == ""
    assert "hidden" in page.locator(".picture > svg").get_attribute("aria-label")
    for group in page.locator(".guess fieldset").all():
        group.get_by_role("radio").last.check()
    page.wait_for_function("() => scene.answer.rested === scene.spec.rests", timeout=15000)
    page.get_by_role("button", name="Lock my guess").click()
    assert f"The answer: {told}" in page.locator(".guess").inner_text().replace("\n", " ")
    assert seen.errors == []
    seen.close()


def test_a_link_opens_the_state(chrome, folder):
    seen = opened(chrome, folder, "what-to-fix-first", f"#water={5 * um}&dynamic_loft={50 * deg}&cover=soft+cover")
    scene = what_to_fix_first()
    values = scene.start | {"water": 5 * um, "dynamic_loft": 50 * deg, "cover": "soft cover"}
    assert seen.page.locator(".says").inner_text() == scene.sentence(values)
    seen.close()
