"""The loft scene in a real browser: the point dragged along its curve, what waits for the worker, the guess."""

import browser as b
import numpy as np
import pytest

from spinlab.panels.lofts import HIGHEST, LOWEST, loft_against_spin
from spinlab.panels.page import page as page_of
from spinlab.panels.words import Speaker
from spinlab.units import deg

pytestmark = pytest.mark.skipif(bool(b.why_not()), reason=b.why_not() or "a browser is here")

SETTLED = "() => window.scene?.answer && scene.fresh && scene.answer.rested === 2"
KNOB = ".plot:nth-of-type(1) .grip[role=slider]"


@pytest.fixture(scope="module")
def scene():
    return loft_against_spin()


@pytest.fixture(scope="module")
def file(tmp_path_factory, scene):
    path = tmp_path_factory.mktemp("page") / "lofts.html"
    path.write_text(page_of(scene), encoding="utf-8")
    return path


@pytest.fixture(params=[False, True], ids=["pointer", "touch"])
def window(request, chrome, file):
    seen = b.Watched(chrome, offline=True, has_touch=request.param)
    seen.touch = request.param
    seen.page.goto(file.as_uri())
    seen.page.wait_for_function(SETTLED, timeout=30000)
    yield seen
    assert seen.errors == []
    seen.close()


def where(page, selector=KNOB):
    box = page.locator(selector).first.locator(".knob").bounding_box()
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


def drag(window, along, selector=KNOB):
    """Take the knob, move it, let go."""
    page = window.page
    x, y = where(page, selector)
    if not window.touch:
        page.mouse.move(x, y)
        page.mouse.down()
        page.mouse.move(x + along / 2, y + 30, steps=4)
        page.mouse.move(x + along, y - 20, steps=4)
        page.mouse.up()
        return
    touch = page.context.new_cdp_session(page)

    def send(kind, *at):
        points = [{"x": at[0], "y": at[1]}] if at else []
        touch.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})

    send("touchStart", x, y)
    for part in (0.3, 0.6, 1.0):
        send("touchMove", x + part * along, y + 20)
        page.wait_for_timeout(50)
    send("touchEnd")


def test_the_point_stays_on_its_curve_and_the_curves_stay(window):
    """What is dragged walks along the heavy line at once; nothing that it leaves as it is fades."""
    page = window.page
    x, _ = where(page)
    lines = page.locator(".plot").first.locator(".curve").evaluate_all("all => all.map((one) => one.getAttribute('d'))")
    drag(window, 120)
    page.wait_for_function("() => scene.answer.dynamic_loft > 0.84")
    assert where(page)[0] - x == pytest.approx(120, abs=8)
    loft, spin, on_line = page.evaluate(
        "() => { const { dynamic_loft: at, spin_rate, now } = scene.answer;"
        " const k = now.loft.findIndex((loft) => loft > at) - 1;"
        " const part = (at - now.loft[k]) / (now.loft[k + 1] - now.loft[k]);"
        " return [at, spin_rate, now.spin[k] + part * (now.spin[k + 1] - now.spin[k])]; }"
    )
    assert loft > 48 * deg and spin == pytest.approx(on_line, rel=0.01)
    assert page.locator(".plot .late").count() == 0
    now = page.locator(".plot").first.locator(".curve").evaluate_all("all => all.map((one) => one.getAttribute('d'))")
    assert now == lines


def test_one_carry_waits_for_the_worker(window):
    """The point is there at once; the lines fade until the worker has them; the band is for one swing."""
    page = window.page
    at_once = page.evaluate("""() => {
      scene.turn({ kept: 'one carry', water: 30e-6 });
      scene.now();
      return [document.querySelector(".says").textContent, scene.answer.rested,
        document.querySelectorAll(".plot .late").length];
    }""")
    assert at_once[0].startswith("The same carry: run ")
    assert at_once[1] == 0
    assert at_once[2] >= 6
    page.wait_for_function(SETTLED, timeout=30000)
    assert page.locator(".plot .late:visible").count() == 0
    assert page.evaluate("() => Math.max(...scene.answer.run.distance)") > 5
    before = page.locator(".says").inner_text()
    page.evaluate("() => { scene.turn({ water: 0 }); scene.now(); }")
    assert page.locator(".says").inner_text() != before


def test_what_is_said_at_rest_is_pythons(window, scene):
    """Letter for letter, at thirty random places of one swing and of one carry, without bands."""
    if window.touch:
        pytest.skip("the same page")
    rng = np.random.default_rng(3)
    rows = [
        scene.start
        | {
            "dynamic_loft": float(rng.uniform(LOWEST, HIGHEST)),
            "water": float(rng.choice([0.0, rng.uniform(0.0, 3e-6), rng.uniform(0.0, 6e-5)])),
            "kept": str(rng.choice(["one swing", "one carry"])),
            "soil": str(rng.choice(["clean", "soiled", "caked"])),
            "head_speed": float(rng.uniform(10.0, 30.0)),
            "carry": float(rng.uniform(20.0, 50.0)),
        }
        for _ in range(30)
    ]
    said = window.page.evaluate(
        """async rows => {
          const url = URL.createObjectURL(new Blob([scene.spec.code], { type: 'text/javascript' }));
          const engine = (await import(url)).make(scene.spec);
          return rows.map((values) => {
            const answer = { ...values, ...engine.answer(values, 1) };
            return [scene.speak.choose(scene.spec.say_first, answer),
              ...scene.spec.facts.map(({ kind, of }) => scene.speak.say(kind, answer[of])),
              scene.speak.say('fine_angle', answer.peaks.loft[2])];
          });
        }""",
        rows,
    )
    speak = Speaker(scene.by_name)
    for values, found in zip(rows, said, strict=True):
        answer = scene.answer(values)
        facts = [speak.say(kind, answer[of]) for _, of, kind in scene.facts]
        wet = speak.say("fine_angle", answer["peaks"].loft[2])
        assert found == [speak.choose(scene.first_sentences, answer), *facts, wet], values


def test_the_guess_is_a_line_that_is_dragged(window):
    page = window.page
    page.get_by_role("button", name="Guess first").click()
    assert page.locator(".plot .marks > *, .plot .clipped > *").count() == 0
    lock = page.get_by_role("button", name="Lock my guess")
    assert lock.is_disabled()
    drag(window, -100, ".plot .guessing")
    guessed = page.evaluate("() => scene.guessing.of('best_loft').value")
    assert guessed < 40 * deg
    page.get_by_label("less", exact=True).check()
    lock.click()
    page.wait_for_function(SETTLED, timeout=30000)
    told = page.locator(".guess").inner_text()
    assert f"most spin at {guessed / deg:.0f}°. The answer: 33°." in told
    assert "the 64° spins less. The answer: less." in told
    shown = "all => all.filter((one) => one.getAttribute('display') !== 'none').map((one) => one.getAttribute('class'))"
    parts = page.locator(".plot").first.locator(".guessed, .guessing").evaluate_all(shown)
    assert parts == ["guessed"], "the guess stays as a ghost, no longer to be held"
