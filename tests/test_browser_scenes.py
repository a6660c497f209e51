"""Every scene on a page of its own, and lessons of the site, in a real browser with the network off.

What is said is Python's at random places; every control is walked by keys; every prepared state fits
every screen; axe-core finds nothing; a guess gives nothing away.
"""

import json
import re
from pathlib import Path

import browser as b
import pytest
from scene_page import SETTLED, places

from spinlab.panels.every import SCENES
from spinlab.panels.scene import Choice
from spinlab.panels.words import Speaker
from spinlab.stage import site

pytestmark = pytest.mark.skipif(bool(b.why_not()), reason=b.why_not() or "a browser is here")

NOTEBOOKS = Path(__file__).resolve().parent.parent / "notebooks"
SIZES = [(390, 844), (768, 1024), (1280, 720), (1920, 1080)]
PLACES = 12
SAID = """async (places) => {
  const said = [];
  for (const values of places) {
    scene.turn(values);
    scene.now();
    await new Promise(requestAnimationFrame);
    said.push(scene.speak.choose(scene.spec.say_first, { ...scene.answer }));
  }
  return said;
}"""
OUTSIDE = """() => {
  const picture = document.querySelector('.scene .picture > svg').getBoundingClientRect();
  return [...document.querySelectorAll('.scene .picture text')]
    .filter((text) => text.textContent && text.checkVisibility({ opacityProperty: true }))
    .map((text) => [text.textContent, text.getBoundingClientRect()])
    .filter(([, r]) => r.width && (r.left < picture.left - 2 || r.right > picture.right + 2
      || r.top < picture.top - 2 || r.bottom > picture.bottom + 2))
    .map(([words]) => words);
}"""
OVER = """() => {
  const all = [...document.querySelectorAll('.scene .picture text')]
    .filter((text) => text.textContent.trim() && text.checkVisibility({ opacityProperty: true }))
    .map((text) => [text.textContent, text.getBoundingClientRect()]);
  return all.flatMap(([one, p], k) => all.slice(k + 1).filter(([, q]) =>
    Math.min(p.right, q.right) - Math.max(p.left, q.left) > 3
    && Math.min(p.bottom, q.bottom) - Math.max(p.top, q.top) > 6).map(([two]) => [one, two]));
}"""


@pytest.fixture(scope="module")
def scenes():
    return {name: make() for name, make in SCENES.items()}


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    place = tmp_path_factory.mktemp("a page à moi")
    site.write_pages(SCENES, place)
    return place


@pytest.fixture(scope="module")
def window(chrome):
    """One window for all pages, each loaded afresh."""
    seen = b.Watched(chrome, offline=True)
    yield seen
    seen.close()


@pytest.fixture(scope="module")
def looked_into(chrome):
    """The same for axe, whose script no page's policy would let in."""
    seen = b.Watched(chrome, offline=True, bypass_csp=True, reduced_motion="reduce")
    yield seen
    seen.close()


def shown(seen, path, width=1280, height=800, scheme="light", fragment=""):
    """The page of a file in this window, at this size and in this scheme, settled."""
    seen.page.goto("about:blank")
    seen.page.set_viewport_size({"width": width, "height": height})
    seen.page.emulate_media(color_scheme=scheme)
    seen.away.clear()
    seen.errors.clear()
    seen.page.goto(path.as_uri() + fragment)
    seen.page.wait_for_function("() => window.scene?.answer", timeout=30000)
    seen.page.wait_for_function(SETTLED, timeout=30000)
    return seen.page


@pytest.mark.parametrize("name", SCENES)
def test_the_page_says_what_python_says_to_the_printed_digit(window, folder, scenes, name):
    scene = scenes[name]
    page = shown(window, folder / f"{name}.html")
    rows = places(scene, PLACES, 41)
    said = page.evaluate(SAID, rows)
    speak = Speaker(scene.by_name, "metric")
    for row, words in zip(rows, said, strict=True):
        assert words == speak.choose(scene.first_sentences, scene.answer(row)), row
    if not scene.rests:  # else few words are said until all shots are played
        assert len(set(said)) > PLACES // 2


@pytest.mark.parametrize("name", SCENES)
def test_the_settled_sentence_has_pythons_bands(window, folder, scenes, name):
    page = shown(window, folder / f"{name}.html")
    page.wait_for_function(
        "words => document.querySelector('.says').textContent === words",
        arg=scenes[name].sentence(scenes[name].start),
        timeout=15000,
    )


@pytest.mark.parametrize("name", SCENES)
@pytest.mark.parametrize("width, height", SIZES)
def test_every_state_fits_every_screen(window, folder, name, width, height):
    """Nothing is wider than the screen; no lettering is cut off or laid over other lettering."""
    page = shown(window, folder / f"{name}.html", width, height)
    states = page.locator(".states button")
    for k in range(max(states.count(), 1)):
        if states.count():
            states.nth(k).click()
            page.wait_for_timeout(60)
        where = states.nth(k).inner_text() if states.count() else ""
        assert page.evaluate("document.documentElement.scrollWidth") <= width, where
        assert page.evaluate(OUTSIDE) == [], where
        assert page.evaluate(OVER) == [], where
    assert len(page.locator(".says").inner_text()) > 20
    assert window.away == [] and window.errors == []


@pytest.mark.parametrize("name", SCENES)
def test_every_control_by_keys(window, folder, scenes, name):
    """Ends and steps of every slider and every option, the ends in both sets of units: no number
    missing, nothing in the console."""
    page = shown(window, folder / f"{name}.html")
    page.get_by_role("button", name="More", exact=True).click()
    for units in ("metric", "yards"):
        page.evaluate("units => dispatchEvent(new CustomEvent('spinlab-units', { detail: units }))", units)
        said = set()
        for control in scenes[name].controls:
            chip = page.locator(".chip").filter(has_text=re.compile(rf"^{re.escape(control.label)} "))
            chip.first.focus()
            if isinstance(control, Choice):
                keys = ["Enter"] * len(control.options)
            else:
                page.keyboard.press("Enter")
                page.locator(".editor input[type=range]").focus()
                keys = ["Home", "ArrowRight", "PageUp", "End", "ArrowLeft"][:: 1 if units == "metric" else 3]
            for key in keys:
                page.keyboard.press(key)
                page.evaluate("() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)))")
                words = page.locator(".says").inner_text() + page.locator(".picture").inner_text()
                assert not re.search("NaN|undefined|null|Infinity", words), (control.name, key)
                said.add(words)
            page.get_by_role("button", name="Reset", exact=True).click()
        assert len(said) > len(scenes[name].controls)
    assert window.errors == [] and window.away == []


@pytest.mark.parametrize("name", [name for name, make in SCENES.items() if make().guesses])
def test_a_guess_gives_nothing_away(window, folder, scenes, name):
    """Between asking and locking neither picture, words nor names of parts hold a number of the
    answer; afterwards the sentence is Python's."""
    page = shown(window, folder / f"{name}.html")
    open_words = page.locator(".says").inner_text()
    page.get_by_role("button", name="Guess").first.click()
    page.wait_for_timeout(700)
    hidden = page.evaluate(
        "() => [...document.querySelectorAll('.scene .says, .scene [aria-live], .scene .picture')]"
        ".filter((node) => node.checkVisibility()).map((node) => node.textContent).join(' ')"
    )
    assert open_words not in hidden
    scene = scenes[name]
    state = scene.start | scene.states[scene.guess_state]
    answer = scene.answer(state)
    for guess in scene.guesses:
        if guess.kind in ("place", "arrow"):
            secret = Speaker(scene.by_name).say(guess.quantity, answer[guess.of])
            assert not re.search(rf"(?<![\d.]){re.escape(secret)}(?![\w/])", hidden), guess.of
    assert page.locator(".says").is_hidden()


def checked_by_axe(page):
    """axe-core: WCAG 2.0 … 2.2 A and AA and its best practices."""
    axe = pytest.importorskip("axe_playwright_python.sync_playwright", reason="axe is not installed")
    found = axe.Axe().run(page).response
    assert len(found["passes"]) > 10
    violations = [
        (one["id"], [node["html"][:120] for node in one["nodes"]]) for one in found["violations"]
    ]
    assert violations == []


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("name", SCENES)
def test_axe_finds_nothing(looked_into, folder, name, scheme):
    page = shown(looked_into, folder / f"{name}.html", 1280, 800, scheme)
    assert page.evaluate("document.documentElement.dataset.theme") == scheme
    page.get_by_role("button", name="More", exact=True).click()
    checked_by_axe(page)


# -- lessons of the site --------------------------------------------------------------------------


@pytest.fixture(scope="module")
def lesson(tmp_path_factory):
    """The lesson of the impact scene as a page of the site, in a folder below another."""
    place = tmp_path_factory.mktemp("host") / "some" / "folder"
    place.mkdir(parents=True)
    lessons = sorted(NOTEBOOKS.glob("*.ipynb"))
    one = next(path for path in lessons if path.stem.startswith("02_"))
    troubles = []
    (place / "02.html").write_text(site.lesson(one, lessons, troubles.append), encoding="utf-8")
    assert troubles == [], "every step ran"
    return place / "02.html"


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width, height", [(390, 844), (1280, 720)])
def test_a_lesson_reads_well(looked_into, lesson, width, height, scheme):
    """Nothing wider than the screen, one heading of the first order, the live scene answers, answers
    folded, no code, no request."""
    page = shown(looked_into, lesson, width, height, scheme)
    assert page.evaluate("[document.documentElement.scrollWidth, document.documentElement.lang]") == [width, "en"]
    assert page.title() == page.locator("h1").inner_text()
    assert page.locator("h1").count() == 1
    assert page.locator("details[open]").count() == 0
    assert not re.search(r"Error|Traceback|import |Run All Cells", page.locator("main").inner_text())
    shown_stills = page.locator("img.still:visible")
    assert all(scheme in kind for kind in shown_stills.evaluate_all("all => all.map((one) => one.className)"))
    before = page.locator(".says").first.inner_text()
    page.locator(".states button").first.click()
    page.wait_for_function(SETTLED)
    assert page.locator(".says").first.inner_text() != before
    checked_by_axe(page)
    assert looked_into.errors == [] and looked_into.away == []


def test_the_quiz_and_the_theme_of_a_lesson(window, lesson):
    page = shown(window, lesson)
    page.locator("#theme").click()
    assert page.evaluate("document.documentElement.dataset.theme") == "dark"
    assert page.locator(".scene").get_attribute("data-theme") == "dark"
    question = page.locator(".spin-quiz fieldset").first
    question.locator("button").first.click()
    assert len(question.locator("p").inner_text()) > 10
    page.get_by_role("button", name="More", exact=True).click()
    page.evaluate("navigator.clipboard.writeText = async (text) => { window.copied = text; }")
    page.get_by_role("button", name="Copy link").click()
    assert re.search(r"/pages/impact\.html#", page.evaluate("window.copied"))


def test_a_page_keeps_its_description_as_data(folder):
    text = (folder / "impact.html").read_text(encoding="utf-8")
    told = json.loads(text.split('class="scene-data">')[1].split("</script>")[0])
    assert [one["name"] for one in told["controls"]] == [one.name for one in SCENES["impact"]().controls]


@pytest.mark.parametrize("width, height", [(390, 844), (1280, 800)])
def test_words_of_the_trade_are_called_up_by_key(window, folder, scenes, width, height):
    """Each word draws one label of its own inside the picture and says what it means."""
    page = shown(window, folder / "first-look.html", width, height)
    for word, meaning in scenes["first-look"].words.items():
        page.get_by_role("button", name=word, exact=True).focus()
        page.keyboard.press("Enter")
        assert page.locator(".term-name:visible").all_text_contents() == [word]
        assert page.locator(".word-means").inner_text() == f"{word}: {meaning}."
        assert page.evaluate(OUTSIDE) == [], word
    page.keyboard.press("Enter")
    assert page.locator(".term-name:visible").count() == 0


# -- every scene in JupyterLab and on the presenting page ------------------------------------------

ALL = """
from IPython.display import display
from spinlab.panels.every import SCENES
from spinlab.panels.widget import Panel
panels = {name: Panel(make()) for name, make in SCENES.items()}
for panel in panels.values():
    display(panel)
"""
TURN = """(section) => {
  const grip = section.querySelector(".picture [role=slider]");
  if (!grip) {
    section.querySelector(".picture [role=button]").focus();
    return "Enter";
  }
  const [low, now, high] = ["min", "now", "max"].map((end) => Number(grip.getAttribute(`aria-value${end}`)));
  grip.focus();
  return now > (low + high) / 2 ? "Home" : "End";
}"""


@pytest.mark.parametrize("home", ["lab", "presenting"])
def test_every_scene_in_every_home(chrome, tmp_path, scenes, home):
    """All scenes of one notebook: each is turned by keys, by pointer and, on a screen that has it, by
    touch; nothing stands in the console and nothing leaves the machine."""
    path = b.notebook(tmp_path / "all.ipynb", ALL)
    place = b.lab(tmp_path) if home == "lab" else b.presenting(tmp_path, path.name)
    with place as address:
        seen = b.Watched(chrome, width=1400, height=1000, has_touch=True)
        page = seen.page
        if home == "lab":
            b.run_in_lab(page, address, path.name)
        else:
            page.goto(address, timeout=120000)
        for scene in scenes.values():
            section = page.locator(".scene").filter(has=page.locator(".title", has_text=scene.title))
            section.scroll_into_view_if_needed(timeout=60000)
            said = section.locator(".says")
            page.wait_for_function("(one) => one.textContent", arg=said.element_handle(), timeout=60000)
            drawn = section.locator(".picture").inner_html()
            page.keyboard.press(section.evaluate(TURN))
            changed = "([part, before]) => part.innerHTML !== before"
            picture = section.locator(".picture").element_handle()
            page.wait_for_function(changed, arg=[picture, drawn], timeout=20000)
            states = section.locator(".states button")
            for act in ("click", "tap"):
                drawn = section.locator(".picture").inner_html()
                getattr(states.nth(1 if act == "click" else 2), act)()
                page.wait_for_function(changed, arg=[picture, drawn], timeout=20000)
        assert seen.away == []
        assert not [text for text in seen.errors if "scene" in text.lower()]
        seen.close()
