"""The scene under the ball in a real browser: grips and tools by pointer, keys and touch; what is
wiped; nothing of the answer before the lock."""

import re

import browser as b
import pytest
from scene_page import SETTLED, drag, middle, value

from spinlab.catalogue import SOIL
from spinlab.panels import page as pages
from spinlab.panels.under import under_the_ball
from spinlab.units import mm, um

pytestmark = pytest.mark.skipif(bool(b.why_not()), reason=b.why_not() or "a browser is here")



@pytest.fixture(scope="module")
def file(tmp_path_factory):
    return pages.write(under_the_ball(), tmp_path_factory.mktemp("scène") / "under.html")


def opened(chrome, file, width=1280, height=900, **options):
    seen = b.Watched(chrome, width=width, height=height, offline=True, **options)
    seen.page.goto(file.as_uri())
    seen.page.wait_for_function("() => window.scene?.answer", timeout=30000)
    seen.page.wait_for_function(SETTLED, timeout=30000)
    return seen


@pytest.fixture
def page(chrome, file):
    seen = opened(chrome, file)
    yield seen.page
    assert seen.errors == [] and seen.away == []
    seen.close()


def pulled(page, name, dx, dy):
    knob = page.get_by_role("slider", name=re.compile(f"^{name}")).locator(".knob")
    x, y = middle(knob)
    drag(page, (x, y), (x + dx, y + dy))


def tool(page, name):
    """A way of cleaning; its spin is in its name, unless that is hidden."""
    return page.locator(f'[aria-label="Clean with {name}"], [aria-label^="Clean with {name}:"]')


def test_water_soil_and_grooves_are_pulled(page):
    pulled(page, "Water", 0, 60)
    assert 0 < value(page, "water") < 3 * um
    pulled(page, "Soil in the grooves", 0, 20)
    assert 0.2 < value(page, "soil_in_grooves") < 0.8
    pulled(page, "Soil on the flats", 60, 0)
    assert 0.2 < value(page, "soil_on_lands") < 0.8
    pulled(page, "Groove", 0, -20)
    assert 0.1 * mm < value(page, "groove_depth") < 0.35 * mm
    assert value(page, "land") == pytest.approx(2.7 * mm)
    pulled(page, "Groove", 30, 0)
    assert 3.5 * mm < value(page, "land") < 6 * mm


def test_what_is_held_stays_under_the_pointer(page):
    """The picture widens with the flats; the groove follows the hand all the same."""
    knob = page.get_by_role("slider", name=re.compile("^Groove")).locator(".knob")
    x, y = middle(knob)
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + 30, y, steps=10)
    page.wait_for_timeout(100)
    assert middle(knob)[0] == pytest.approx(x + 30, abs=4)
    page.mouse.up()


def test_a_tool_is_tapped(page):
    tool(page, "dry towel").locator(".under-handle").click()
    assert value(page, "cleaning") == "dry towel"
    tool(page, "damp towel, then dry").click()
    assert value(page, "cleaning") == "damp towel, then dry"
    page.wait_for_function("() => !document.querySelector('.tool').children.length")
    assert page.evaluate("scene.answer.now_water") == 0.0
    assert tool(page, "damp towel, then dry").get_attribute("aria-pressed") == "true"


def test_a_tool_is_drawn_over_the_face(page):
    """While it passes, what it has passed is clean, and the rest is as found."""
    page.get_by_role("button", name="caked, dew", exact=True).click()
    tool(page, "nothing").click()
    soil = page.locator(".lane.now .under-soil").last
    before = len(soil.get_attribute("d"))
    x, y = middle(tool(page, "damp towel").locator(".under-handle"))
    frame = page.locator(".lane.now rect").first.bounding_box()
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(frame["x"] + 20, frame["y"] + frame["height"] / 2, steps=5)
    page.mouse.move(frame["x"] + 0.3 * frame["width"], frame["y"] + 60, steps=5)
    page.wait_for_timeout(80)
    assert value(page, "cleaning") == "damp towel"
    partly = len(soil.get_attribute("d"))
    page.mouse.move(frame["x"] + frame["width"] - 20, frame["y"] + 60, steps=8)
    page.mouse.up()
    page.wait_for_timeout(80)
    wholly = len(soil.get_attribute("d"))
    assert wholly < partly < before
    assert page.evaluate("scene.answer.now_soil_on_lands") == pytest.approx(
        0.05 * SOIL["caked"]["soil_on_lands"]
    )


def test_a_tool_let_go_beside_the_face_changes_nothing(page):
    x, y = middle(tool(page, "dry towel").locator(".under-handle"))
    drag(page, (x, y), (x + 60, y + 10))
    page.wait_for_timeout(60)
    assert value(page, "cleaning") == "tee"


def test_by_keys(page):
    tool(page, "tee").focus()
    page.keyboard.press("ArrowDown")
    page.keyboard.press("Enter")
    assert value(page, "cleaning") == "dry towel"
    grip = page.get_by_role("slider", name=re.compile("^Groove"))
    grip.focus()
    page.keyboard.press("Home")
    assert value(page, "groove_depth") == 0.0
    page.wait_for_timeout(60)
    assert page.get_by_text("a face without grooves").is_visible()
    page.keyboard.press("End")
    page.wait_for_timeout(60)
    assert page.get_by_text(re.compile("^breaks 2 groove limits")).is_visible()
    page.keyboard.press("Enter")
    assert page.get_by_role("textbox", name="Groove depth, number").is_visible()


def test_by_touch(chrome, file):
    seen = opened(
        chrome, file, 390, 844, has_touch=True, is_mobile=True, device_scale_factor=2
    )
    page = seen.page
    grip = page.get_by_role("slider", name=re.compile("^Water")).locator(".knob")
    grip.scroll_into_view_if_needed()
    x, y = middle(grip)
    hand = seen.context.new_cdp_session(page)

    def touch(kind, points):
        hand.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})

    touch("touchStart", [{"x": x, "y": y}])
    for k in range(1, 9):
        touch("touchMove", [{"x": x, "y": y + 7 * k}])
        page.wait_for_timeout(20)
    touch("touchEnd", [])
    assert 0 <= value(page, "water") < 3 * um
    tool(page, "dry towel").tap()
    assert value(page, "cleaning") == "dry towel"
    tool(page, "damp towel").locator(".under-handle").tap()
    assert value(page, "cleaning") == "damp towel"
    assert seen.errors == []
    seen.close()


def test_slow_motion_thins_the_film_and_fills_the_grooves(page):
    page.get_by_role("button", name="only dew", exact=True).click()
    films, pools = [], []
    for moment in (0.1, 0.3, 0.6, 1.0):
        page.evaluate(f"scene.moment = {moment}; scene.redraw()")
        text = page.locator(".lane.now .facts").nth(1).text_content()
        films.append(float(re.search(r"[\d.]+", text)[0]))
        pools.append(page.locator(".lane.now .under-film").first.bounding_box()["height"])
    assert films == sorted(films, reverse=True) and films[0] == 20 and films[-1] < 1
    assert pools[-1] > pools[0]


def test_before_the_lock_no_way_of_cleaning_says_its_spin(page):
    page.get_by_role("button", name="Guess first").click()
    page.wait_for_timeout(200)
    picture = page.locator(".picture").text_content()
    assert picture.count("rpm") == 2, "only the face as found, and its band"
    for one in page.locator(".under-way").all():
        assert "rpm" not in one.get_attribute("aria-label")
    tool(page, "dry towel").click(force=True)
    assert value(page, "cleaning") == "tee", "no tool works meanwhile"
    x, y = middle(page.locator(".lane.now .guessing"))
    drag(page, (x, y), (x + 50, y))
    spin = page.get_by_role("slider", name="spin")
    assert spin.get_attribute("aria-valuetext") != "4\u202f000\u00a0rpm"
    page.get_by_role("radio", name="damp towel, then dry").check()
    page.get_by_role("button", name="Lock my guess").click()
    outcome = page.locator(".outcome").inner_text()
    assert "best damp towel, then dry. The answer: damp towel, then dry." in outcome
    page.wait_for_timeout(100)
    assert page.locator(".lane.now .guess-mark").get_attribute("d").startswith("M")
    assert page.locator(".lane.now .guess-mark").get_attribute("display") is None
