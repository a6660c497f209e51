"""Scenes in a real browser: what they say is Python's answer; pointer, touch and keys; guesses;
everybody's use; homes."""

import json
import os
import re
import signal
from pathlib import Path

import browser as b
import numpy as np
import pytest
from scene_page import SETTLED, drag, middle, value
from test_scene import VECTORS, warm_water

from spinlab.catalogue import WETNESS
from spinlab.panels import page as pages
from spinlab.panels.impact import impact_scene
from spinlab.panels.scene import Choice, Guess
from spinlab.panels.words import Speaker
from spinlab.units import deg, rpm, um

pytestmark = pytest.mark.skipif(bool(b.why_not()), reason=b.why_not() or "a browser is here")

SIZES = [(390, 844), (768, 1024), (1280, 720), (1920, 1080)]


@pytest.fixture(scope="module")
def scene():
    return impact_scene()


def guessing_water():
    """A generic scene that asks to sketch a curve and to choose."""
    return warm_water(
        name="guess-water",
        guess_state="cold",
        ask_first=True,
        guesses=[
            Guess(
                kind="curve",
                of="plot",
                ask="Sketch the spin from cold to warm.",
                low=0.0,
                high=8000 * rpm,
                start=[3000 * rpm] * 7,
            ),
            Guess(
                kind="choose",
                of="trend",
                ask="Does warm water leave more spin?",
                label="answer",
                options=["less", "more"],
                answers=[("spin_rate > 1", "more"), ("", "less")],
            ),
        ],
    )


@pytest.fixture(scope="module")
def folder(tmp_path_factory, scene):
    place = tmp_path_factory.mktemp("scenes à moi")
    for one in (scene, warm_water(), guessing_water()):
        pages.write(one, place / f"{one.name}.html")
    return place


def opened(chrome, folder, name, width=1280, height=800, fragment="", **options):
    seen = b.Watched(chrome, width=width, height=height, offline=True, **options)
    seen.page.goto((folder / f"{name}.html").as_uri() + fragment)
    seen.page.wait_for_function("() => window.scene?.answer", timeout=30000)
    return seen


def settled(page):
    page.wait_for_function(SETTLED, timeout=30000)


@pytest.fixture
def impact(chrome, folder):
    seen = opened(chrome, folder, "impact")
    settled(seen.page)
    yield seen.page
    assert seen.errors == [] and seen.away == []
    seen.close()


# -- the same numbers and words as Python's --------------------------------------------------------


def test_numbers_are_written_as_in_python(impact):
    for vector in VECTORS:
        said = impact.evaluate(
            "v => { const kept = scene.speak.units; scene.speak.units = v.units;"
            " const said = scene.speak.say(v.kind, v.value, v.digits ?? null, v.sign ?? false);"
            " scene.speak.units = kept; return said }",
            vector,
        )
        assert said == vector["text"].replace("_", "\u202f").replace(" ", "\u00a0"), vector


def places(scene, count, seed):
    rng = np.random.default_rng(seed)
    for _ in range(count):
        yield {
            control.name: str(rng.choice(list(control.options)))
            if isinstance(control, Choice)
            else float(rng.uniform(control.low, control.high))
            if control.name != "water"
            else float(control.high * rng.uniform() ** 6)
            for control in scene.controls
        }


ASK = """async rows => {
  const url = URL.createObjectURL(new Blob([scene.spec.code], { type: "text/javascript" }));
  const engine = (await import(url)).make(scene.spec);
  return rows.map(([values, banded]) => {
    const answer = { ...values, ...engine.answer(values) };
    const bands = banded ? engine.bands(values).values : {};
    for (const [name, ends] of Object.entries(bands)) {
      [answer[`${name}_low`], answer[`${name}_high`]] = ends;
    }
    const facts = scene.spec.facts.map((fact) => scene.speak.say(fact.kind, answer[fact.of]));
    return [scene.speak.choose(banded ? scene.spec.say : scene.spec.say_first, answer), ...facts];
  });
}"""


def test_the_page_says_what_python_says_to_the_printed_digit(impact, scene):
    """500 random places, with bands at a few of them: sentence and facts, letter for letter."""
    rows = [(values, k % 100 == 0) for k, values in enumerate(places(scene, 500, 7))]
    said = impact.evaluate(ASK, rows)
    speak = Speaker(scene.by_name)
    for (values, banded), (sentence, *facts) in zip(rows, said):
        bands = scene.bands(values) if banded else {}
        named = scene.named(values, bands)
        assert sentence == speak.choose(
            scene.sentences if banded else scene.first_sentences, named
        ), values
        assert facts == [speak.say(kind, named[name]) for _, name, kind in scene.facts], values


def test_what_stands_in_the_picture_is_pythons(impact, scene):
    for name in scene.states:
        impact.get_by_role("button", name=name, exact=True).click()
        settled(impact)
        impact.wait_for_timeout(50)
        values = scene.start | scene.states[name]
        assert impact.locator(".says").inner_text() == scene.sentence(values)
        spoken = Speaker(scene.by_name).say("spin", scene.answer(values)["wet_spin_rate"])
        assert impact.locator(".lane.wet .spin").text_content() == f"spin {spoken}"
        assert scene.sentence(values) in impact.locator(".picture > svg").get_attribute(
            "aria-label"
        )


def test_a_curve_with_its_band_is_pythons(chrome, folder):
    made = warm_water()
    seen = opened(chrome, folder, "warm-water")
    settled(seen.page)
    ys = seen.page.evaluate("Object.values(scene.curves)[0].map(([, y]) => y)")
    assert ys == pytest.approx(list(made.sweep(made.start, "temperature", "spin_rate")), rel=1e-9)
    ends = seen.page.evaluate("scene.bands.curves[0]")
    assert np.allclose(ends, made.band_curves(made.start)[0], rtol=1e-9)
    seen.close()


# -- pointer, touch, keys --------------------------------------------------------------------------


def test_by_pointer(impact):
    water = impact.get_by_role("slider", name=re.compile("Water: pull"))
    x, y = middle(water)
    drag(impact, (x, y), (x, y + 45))
    assert 0 < value(impact, "water") < 3 * um
    settled(impact)
    assert "30 µm" not in impact.locator(".chips").inner_text()
    loft = impact.get_by_role("slider", name=re.compile("Loft: turn"))
    x, y = middle(loft)
    drag(impact, (x, y), (x - 30, y + 22))
    assert value(impact, "dynamic_loft") > 50 * deg
    head = impact.get_by_role("slider", name=re.compile("Head speed"))
    x, y = middle(head)
    drag(impact, (x, y), (x - 40, y - 12))
    assert value(impact, "head_speed") > 24 and value(impact, "attack_angle") < -6 * deg
    impact.locator(".lane.wet .swap").click()
    assert value(impact, "ball") == "hard cover"
    impact.get_by_role("button", name="Reset").click()
    assert value(impact, "ball") == "soft cover" and value(impact, "head_speed") == 20.0


def test_every_lane_is_grabbed_by_pointer(impact):
    """The loft also turns by the wet face, which keys do not need to reach a second time."""
    x, y = middle(impact.locator(".lane.wet .grip").first)
    drag(impact, (x, y), (x + 25, y - 20))
    assert value(impact, "dynamic_loft") < 44 * deg


def test_by_touch(chrome, folder):
    seen = opened(
        chrome, folder, "impact", 390, 844, has_touch=True, is_mobile=True, device_scale_factor=2
    )
    page = seen.page
    settled(page)
    grip = page.get_by_role("slider", name=re.compile("Water: pull"))
    grip.scroll_into_view_if_needed()
    x, y = middle(grip)
    hand = seen.context.new_cdp_session(page)
    hand.send("Input.dispatchTouchEvent", {"type": "touchStart", "touchPoints": [{"x": x, "y": y}]})
    for k in range(1, 9):
        hand.send(
            "Input.dispatchTouchEvent",
            {"type": "touchMove", "touchPoints": [{"x": x, "y": y + 7 * k}]},
        )
    hand.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})
    assert 0 <= value(page, "water") < 6 * um
    page.get_by_role("button", name="damp", exact=True).tap()
    assert value(page, "water") == WETNESS["damp"].water
    assert seen.errors == []
    seen.close()


def test_by_keys(impact):
    grip = impact.get_by_role("slider", name=re.compile("Water: pull"))
    grip.focus()
    for key in ("Home", "ArrowUp", "ArrowUp"):
        impact.keyboard.press(key)
    assert value(impact, "water") == pytest.approx(0.2 * um)
    assert (
        grip.get_attribute("aria-valuetext") == "0.1\u00a0µm" or impact.wait_for_timeout(50) is None
    )
    assert grip.get_attribute("aria-valuetext") == "0.2\u00a0µm"
    impact.keyboard.press("End")
    assert value(impact, "water") == 150 * um
    impact.keyboard.press("Enter")
    slider = impact.get_by_role("slider", name="Water", exact=True)
    assert slider.is_visible()
    box = impact.get_by_role("textbox", name="Water, number")
    box.fill("12,5")
    box.press("Enter")
    assert value(impact, "water") == pytest.approx(12.5 * um)
    box.fill("9999")
    box.press("Enter")
    assert value(impact, "water") == 150 * um, "what lies beyond the range is its end"
    box.fill("much")
    box.press("Enter")
    assert value(impact, "water") == 150 * um and float(box.input_value()) == 150
    play = impact.get_by_role("button", name=re.compile("Slow motion"))
    play.focus()
    impact.keyboard.press("Space")
    impact.wait_for_timeout(300)
    assert impact.evaluate("scene.playing && scene.moment > 0 && scene.moment < 1")
    impact.keyboard.press("Space")
    assert not impact.evaluate("scene.playing")


def test_keys_reach_everything_once(impact):
    reached = []
    for _ in range(40):
        impact.keyboard.press("Tab")
        name = impact.evaluate(
            "document.activeElement.getAttribute('aria-label') ?? "
            "document.activeElement.textContent"
        )
        if name in reached:
            break
        reached.append(name)
    for wanted in (
        "wet",
        "Loft: turn the face by its upper edge",
        "Head speed: draw the head's arrow",
        "Water: pull its surface up or down",
        "Swap the ball: soft cover",
        "Moment",
        "Keep",
        "More",
    ):
        assert wanted in reached, reached


def test_slow_motion_counts_the_spin_up_and_ends(impact):
    spins = []
    for moment in (0.0, 0.15, 0.25, 0.35, 1.0):
        impact.evaluate(f"scene.moment = {moment}; scene.redraw()")
        text = impact.locator(".lane.dry .spin").text_content()
        spins.append(int(re.sub(r"\D", "", text)))
    assert spins[0] == 0 < spins[1] < spins[4] and spins[3] == spins[4], (
        "it may overshoot before the ball departs"
    )


# -- guess first -----------------------------------------------------------------------------------


def everything(page):
    """All that can be seen, heard or found in the page; the script and its data are not part of
    it."""
    return page.evaluate("""() => {
      const copy = document.documentElement.cloneNode(true);
      copy.querySelectorAll("script, style").forEach((node) => node.remove());
      return copy.outerHTML;
    }""")


def test_nothing_gives_the_answer_away_before_the_lock(impact, scene):
    impact.get_by_role("button", name="Guess first").click()
    impact.wait_for_timeout(700)
    speak, answer = Speaker(scene.by_name), scene.answer(scene.start | scene.states["wet"])
    secrets = [
        speak.number("spin", answer["wet_spin_rate"]),
        speak.say("distance", answer["wet_carry"]),
        f">launch {speak.say('angle', answer['wet_launch_angle'])}<",
        "of the spin",
    ]
    page = everything(impact)
    for secret in secrets:
        assert secret not in page, secret
    assert impact.locator(".path.wet").get_attribute("d") in (None, "M0 0")
    assert impact.locator(".launch.wet").get_attribute("d") == "M0 0"
    assert impact.locator("[role=status]").first.text_content() == ""
    x, y = middle(impact.locator(".grip.guessing").first)
    drag(impact, (x, y), (x - 15, y - 60))
    launch = impact.get_by_role("slider", name="launch")
    assert launch.get_attribute("aria-valuetext") != "20°"
    spin = impact.get_by_role("slider", name="spin")
    spin.focus()
    for _ in range(10):
        impact.keyboard.press("ArrowLeft")
    impact.wait_for_timeout(50)
    assert spin.get_attribute("aria-valuetext") == "6\u202f000\u00a0rpm"
    impact.get_by_role("button", name="Lock my guess").click()
    outcome = impact.locator(".outcome").inner_text()
    assert (
        "Your guess: spin 6\u202f000\u00a0rpm. The answer: "
        + speak.say("spin", answer["wet_spin_rate"])
        in outcome
    )
    assert impact.locator(".lane.wet .guessed").is_visible(), "the guess stays as a ghost"
    kept = json.loads(impact.evaluate("localStorage.getItem('spinlab.guesses.impact')"))
    assert [one["of"] for one in kept[-1]["guesses"]] == ["wet_launch_angle", "wet_spin_rate"]
    impact.get_by_role("button", name="More").click()
    impact.get_by_role("button", name="Wipe my guesses").click()
    assert impact.evaluate("localStorage.getItem('spinlab.guesses.impact')") is None


def test_a_curve_is_sketched_and_an_answer_chosen(chrome, folder):
    seen = opened(chrome, folder, "guess-water")
    page = seen.page
    page.wait_for_timeout(600)
    assert page.locator(".curve").count() == 0 and page.locator(".says").inner_text() == ""
    box = page.locator(".sketchpad").bounding_box()
    lock = page.get_by_role("button", name="Lock my guess")
    assert lock.is_disabled(), "nothing is chosen yet"
    drag(
        page,
        (box["x"] + 5, box["y"] + 0.8 * box["height"]),
        (box["x"] + box["width"] - 5, box["y"] + 0.2 * box["height"]),
        30,
    )
    sketched = page.evaluate("scene.guessing.of('plot').value")
    assert sketched[0] < sketched[3] < sketched[6]
    page.get_by_role("radio", name="less").check()
    lock.click()
    settled(page)
    assert "Your guess: answer less. The answer: more." in page.locator(".outcome").inner_text()
    assert page.locator(".curve").count() == 1 and page.locator(".guessed").is_visible()
    assert seen.errors == []
    seen.close()


# -- keep and give on ------------------------------------------------------------------------------


def test_keep_compare_and_forget(impact, scene):
    impact.get_by_role("button", name="Keep").click()
    impact.get_by_role("button", name="clean and dry", exact=True).click()
    settled(impact)
    assert impact.locator(".ghost").count() >= 2
    impact.get_by_role("button", name="Compare two").click()
    row = impact.locator(".compared tbody tr").first.inner_text().split("\t")
    speak = Speaker(scene.by_name)
    wet, dry = (
        scene.answer(scene.start | scene.states[name])["wet_spin_rate"]
        for name in ("wet", "clean and dry")
    )
    assert row[:3] == ["Spin", speak.say("spin", wet), speak.say("spin", dry)]
    impact.get_by_role("button", name="Forget kept").click()
    assert impact.locator(".ghost").count() == 0 and impact.locator(".compared").is_hidden()


def test_a_link_and_a_file_open_in_the_same_state(chrome, folder, impact, tmp_path):
    impact.get_by_role("button", name="damp", exact=True).click()
    impact.get_by_role("button", name=re.compile("^Ball")).click()
    impact.get_by_role("button", name="More").click()
    impact.get_by_role("button", name="Yards and mph").click()
    impact.get_by_role("button", name="Copy link").click()
    link = impact.evaluate("location.hash")
    with impact.expect_download() as saved:
        impact.get_by_role("button", name="Save state").click()
    state = json.loads(Path(saved.value.path()).read_text())
    assert (
        state["values"] == {"water": WETNESS["damp"].water, "ball": "hard cover"}
        and state["units"] == "yards"
    )
    again = opened(chrome, folder, "impact", fragment=link)
    settled(again.page)
    assert (
        value(again.page, "water") == WETNESS["damp"].water
        and value(again.page, "ball") == "hard cover"
    )
    assert "mph" in again.page.locator(".chips").inner_text()
    again.page.get_by_role("button", name="Reset").click()
    file = tmp_path / "state.json"
    file.write_text(
        json.dumps(state | {"values": {"water": 7 * um, "nonsense": 1, "ball": "wooden"}})
    )
    again.page.locator("input[type=file]").set_input_files(str(file))
    again.page.wait_for_function("() => scene.values.water === 7e-6")
    assert value(again.page, "ball") == "soft cover", "what is not known is left out"
    file.write_text(json.dumps({"scene": "another"}))
    again.page.locator("input[type=file]").set_input_files(str(file))
    again.page.get_by_text("That file holds no state").wait_for()
    again.close()


@pytest.mark.parametrize("kind", ["SVG", "PNG"])
def test_the_picture_as_it_is_seen(impact, kind):
    impact.get_by_role("button", name="More").click()
    with impact.expect_download() as saved:
        impact.get_by_role("button", name=f"Picture {kind}").click()
    content = Path(saved.value.path()).read_bytes()
    if kind == "SVG":
        text = content.decode()
        assert (
            text.startswith("<svg")
            and re.search("spin 3\u202f\\d\\d0", text)
            and "var(" not in text
        )
    else:
        assert content[:8] == b"\x89PNG\r\n\x1a\n" and int.from_bytes(content[16:20], "big") >= 1900


def test_units_turn_all_scenes_and_full_screen_is_offered(impact):
    impact.get_by_role("button", name="More").click()
    impact.get_by_role("button", name="Yards and mph").click()
    impact.wait_for_timeout(50)
    assert (
        "yd" in impact.locator(".flight").text_content()
        and "mph" in impact.locator(".chips").inner_text()
    )
    assert impact.get_by_role("button", name="Full screen").is_visible()


# -- everybody's use -------------------------------------------------------------------------------


def checked_by_axe(page):
    """axe-core: WCAG 2.0 … 2.2 A and AA and its best practices."""
    axe = pytest.importorskip(
        "axe_playwright_python.sync_playwright", reason="axe-playwright-python is not installed"
    )
    found = axe.Axe().run(page).response
    assert len(found["passes"]) > 15
    assert [
        (v["id"], [node["html"][:120] for node in v["nodes"]]) for v in found["violations"]
    ] == []


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("name", ["impact", "warm-water", "guess-water"])
def test_axe_finds_nothing(chrome, folder, name, scheme):
    seen = opened(
        chrome, folder, name, bypass_csp=True, reduced_motion="reduce", color_scheme=scheme
    )
    page = seen.page
    page.wait_for_timeout(800)
    checked_by_axe(page)
    if name == "guess-water":
        page.get_by_role("button", name="Leave the guess").click()
    page.get_by_role("button", name="Keep").click()
    page.get_by_role("button", name="Compare two").click()
    page.get_by_role("button", name="More").click()
    page.get_by_text("Help", exact=True).click()
    page.locator(".chip").first.click()
    page.wait_for_timeout(400)
    checked_by_axe(page)
    if name == "impact":
        page.get_by_role("button", name="Guess first").click()
        checked_by_axe(page)
    seen.close()


@pytest.mark.parametrize("width, height", SIZES)
@pytest.mark.parametrize("name", ["impact", "warm-water"])
def test_it_fits_and_can_be_touched(chrome, folder, name, width, height):
    seen = opened(chrome, folder, name, width, height)
    page = seen.page
    settled(page)
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    page.get_by_role("button", name="More").click()
    small = page.evaluate("""() => [
        ...document.querySelectorAll("button, select, summary, input:not([type=file]), .reach")]
      .filter((node) => node.getBoundingClientRect().width > 0)
      .map((node) => [node.textContent, node.getBoundingClientRect()])
      .filter(([, box]) => Math.min(box.width, box.height) < 43.5)
      .map(([text, box]) => [text, box.width, box.height])""")
    assert small == []
    letters = page.evaluate("""() => [
        ...document.querySelectorAll(".scene text, .scene p, .scene button")]
      .filter((node) => node.textContent)
      .map((node) => parseFloat(getComputedStyle(node).fontSize))""")
    assert min(letters) >= (11 if width < 800 else 12)
    assert page.locator(".chips button").count() <= 4
    seen.close()


def test_letters_grow_at_200_percent(chrome, folder):
    """A window of half the width at twice the pixels is what a zoom to 200 % makes of 1280."""
    sizes = []
    for width, scale in ((1280, 1), (640, 2)):
        seen = opened(chrome, folder, "impact", width, 700, device_scale_factor=scale)
        settled(seen.page)
        sizes.append(
            seen.page.evaluate(
                "parseFloat(getComputedStyle(document.querySelector('.says')).fontSize)"
            )
            * scale
        )
        assert seen.page.evaluate("document.documentElement.scrollWidth") <= width
        seen.close()
    assert sizes[1] > 1.4 * sizes[0]


def test_live_words_rest_half_a_second(impact):
    live = impact.locator(".unseen[aria-live]")
    impact.wait_for_timeout(700)
    before = live.text_content()
    grip = impact.get_by_role("slider", name=re.compile("Water: pull"))
    grip.focus()
    for _ in range(6):
        impact.keyboard.press("PageDown")
        assert live.text_content() == before
    impact.wait_for_function(
        "() => document.querySelector('.unseen[aria-live]').textContent === "
        "document.querySelector('.says').textContent"
    )
    assert live.text_content() != before


def test_reduced_motion_shows_stills(chrome, folder):
    seen = opened(chrome, folder, "impact", reduced_motion="reduce")
    page = seen.page
    settled(page)
    page.evaluate("window.moments = new Set(); const draw = scene.redraw;")
    page.get_by_role("button", name=re.compile("Slow motion")).click()
    moments = page.evaluate("""() => new Promise((done) => {
      const seen = new Set(), look = () => {
        seen.add(scene.moment);
        if (scene.moment < 0.4) requestAnimationFrame(look); else done([...seen]);
      };
      look();
    })""")
    assert len(moments) <= 6
    seen.close()


def test_two_thousand_moves_leave_nothing_behind(chrome, folder):
    seen = opened(chrome, folder, "impact")
    page = seen.page
    settled(page)
    look = seen.context.new_cdp_session(page)
    look.send("Performance.enable")
    moves = """async count => {
      for (let k = 0; k < count; k += 1) {
        scene.turn({ water: (k % 97) * 1e-6, dynamic_loft: 0.6 + (k % 31) * 0.01 });
        scene.now();
        if (k % 100 === 99) await new Promise(requestAnimationFrame);
      }
      await new Promise((done) => setTimeout(done, 500));
    }"""

    def state():
        look.send("HeapProfiler.collectGarbage")
        found = {
            one["name"]: one["value"] for one in look.send("Performance.getMetrics")["metrics"]
        }
        return found["JSHeapUsedSize"], found["Nodes"], found["JSEventListeners"]

    page.evaluate(moves, 200)
    before = state()
    page.evaluate(moves, 2000)
    after = state()
    assert after[0] < before[0] * 1.05 + 200_000
    assert after[1] <= before[1] + 20 and after[2] == before[2]
    seen.close()


# -- homes -----------------------------------------------------------------------------------------

NOTEBOOK = """
from spinlab import play
from spinlab.panels.impact import impact_scene
from spinlab.panels.widget import Panel
panel = Panel(impact_scene())
panel
"""
NEXT = """
shot, said = play(**panel.setting), panel.answer
assert abs(shot.launch.spin_rate / said["wet_spin_rate"] - 1) < 1e-9
print("water", round(panel.values["water"] * 1e6, 3), "as said")
"""


@pytest.mark.parametrize("home", ["lab", "presenting"])
def test_in_a_notebook(chrome, tmp_path, home):
    path = b.notebook(tmp_path / "scene.ipynb", NOTEBOOK, NEXT)
    with b.lab(tmp_path) if home == "lab" else b.presenting(tmp_path, path.name) as address:
        seen = b.Watched(chrome, width=1400, height=900)
        page = seen.page
        if home == "lab":
            b.run_in_lab(page, address, path.name)
        else:
            page.goto(address, timeout=120000)
        page.locator(".scene .says").first.wait_for(timeout=60000)
        settled(page)
        page.get_by_role("slider", name=re.compile("Water: pull")).focus()
        page.keyboard.press("Home")
        for _ in range(3):
            page.keyboard.press("ArrowUp")
        settled(page)
        assert "0.3\u00a0µm" in page.locator(".chips").inner_text()
        if home == "lab":
            page.wait_for_timeout(500)
            page.get_by_text("shot, said").first.click()
            page.keyboard.press("Shift+Enter")
            page.get_by_text("water 0.3 as said").wait_for(timeout=60000)
        assert seen.away == [] and not [text for text in seen.errors if "scene" in text]
        seen.close()


REMOTE = """
import os, time
from spinlab.panels.impact import impact_scene
from spinlab.panels.scene import Axis, Number, Plot, Scene, curve, grip
from spinlab.panels.widget import Panel

def compute(speed):
    return dict(height=sum([speed * speed]) / 19.6133)

open("kernel.pid", "w").write(str(os.getpid()))
Panel(Scene(
    name="throw", title="A ball thrown upward", compute=compute,
    controls=[Number("speed", "Speed", kind="speed", low=1.0, high=20.0, value=10.0, step=0.1)],
    plots=[Plot(x=Axis("speed", "Speed", "speed", 0.0, 20.0), y=Axis("height", "Height", "height", 0.0, 25.0),
                marks=[curve(x="speed", y="height"), grip("speed", x="speed", y="height")])],
    say="It rises {height:height}.",
))
"""
LOCAL = "panel = Panel(impact_scene())\npanel"
STUCK = "time.sleep(6); print('awake', 'again')"


def test_a_kernel_that_is_busy_or_killed(chrome, tmp_path):
    """A scene that asks the kernel says within 3 s that it does not answer, goes on when it does
    again, and says so when it is gone; one that computes by itself goes on without a kernel."""
    path = b.notebook(tmp_path / "scene.ipynb", REMOTE, LOCAL, STUCK)
    with b.lab(tmp_path) as address:
        seen = b.Watched(chrome, width=1400, height=1400)
        page = seen.page
        b.run_in_lab(page, address, path.name)
        page.get_by_text("awake again").wait_for(timeout=60000)
        asks = page.locator(".scene", has_text="A ball thrown upward")
        alone = page.locator(".scene", has_text="The same swing")
        grip = asks.get_by_role("slider", name="Speed").first
        trouble = asks.locator(".trouble")
        assert "It rises 5.1" in asks.locator(".says").inner_text()

        kernel = int((tmp_path / "kernel.pid").read_text())
        for state, words, key, said in (
            ("idle", "no longer answers", "End", "It rises 20.4"),
            ("busy", "busy", "Home", "It rises 0.1"),
        ):
            if state == "busy":
                page.get_by_text("time.sleep").first.click()
                page.keyboard.press("Shift+Enter")
                page.wait_for_timeout(500)
            os.kill(kernel, signal.SIGSTOP)
            grip.focus()
            page.keyboard.press(key)
            trouble.filter(has_text=words).wait_for(timeout=3000)
            assert "stale" in asks.get_attribute("class")
            os.kill(kernel, signal.SIGCONT)
            asks.locator(".says").filter(has_text=said).wait_for(timeout=10000)
            trouble.wait_for(state="hidden", timeout=3000)
            assert "stale" not in asks.get_attribute("class")

        os.kill(kernel, signal.SIGKILL)
        page.locator(".jp-Dialog button").first.click()  # says that it restarts
        grip.focus()
        page.keyboard.press("End")
        trouble.filter(has_text="no longer answers").wait_for(timeout=3000)
        assert "It rises 0.1" in asks.locator(".says").inner_text(), "the last answer stays, greyed"
        alone.get_by_role("slider", name=re.compile("Water: pull")).focus()
        page.keyboard.press("Home")
        alone.locator(".says").filter(has_text="Clean and dry").wait_for(timeout=5000)
        seen.close()


def test_a_page_is_saved_from_a_notebook_and_opens_in_its_state(chrome, tmp_path):
    path = b.notebook(tmp_path / "scene.ipynb", NOTEBOOK)
    with b.presenting(tmp_path, path.name) as address:
        seen = b.Watched(chrome, width=1400, height=900)
        page = seen.page
        page.goto(address, timeout=120000)
        page.locator(".scene .says").first.wait_for(timeout=60000)
        settled(page)
        page.get_by_role("button", name="damp", exact=True).click()
        settled(page)
        said = page.locator(".says").inner_text()
        page.get_by_role("button", name="More", exact=True).click()
        page.get_by_role("button", name="Save as page").click()
        page.wait_for_function(
            "() => document.querySelector('.unseen[aria-live]').textContent.includes('Written')"
        )
        seen.close()
    alone = opened(chrome, tmp_path, "impact")
    settled(alone.page)
    assert alone.page.locator(".says").inner_text() == said
    alone.close()
