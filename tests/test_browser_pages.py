"""The pages that need nothing installed, opened from disk in a real browser with the network off: held against the engine,
driven by touch and keyboard, checked for everybody's use."""

import json
import pathlib
import re

import browser as b
import numpy as np
import pytest

from spinlab.catalogue import GREENS, WETNESS
from spinlab.physics.bands import contrast
from spinlab.physics.cleaning import clean
from spinlab.physics.contact import strike
from spinlab.physics.flight import fly
from spinlab.physics.green import land
from spinlab.physics.players import REFERENCE
from spinlab.physics.setting import Setting
from spinlab.physics.shares import shapley
from spinlab.physics.stopping import ball_speed_for_carry, stops
from spinlab.records import Air, Ball, Between, Delivery, Face, Launch, Path
from spinlab.show.knobs import Choice
from spinlab.show.pages import build, contacts, flights, site
from spinlab.show.pages.catalogue import PAGES
from spinlab.show.panels.common import PITCH, grooved
from spinlab.units import deg, mph, rpm, um

pytestmark = pytest.mark.skipif(bool(b.why_not()), reason=b.why_not() or "a browser is here")

NOTEBOOKS = pathlib.Path(__file__).resolve().parent.parent / "notebooks"
SIZES = [(390, 844), (768, 1024), (1920, 1080)]


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    place = tmp_path_factory.mktemp("a page à moi")
    build.write(PAGES, place)
    return place


def opened(chrome, folder, name, width=390, height=844, **options):
    seen = b.Watched(chrome, width=width, height=height, offline=True, **options)
    seen.page.goto((folder / f"{name}.html").as_uri())
    seen.page.locator(".spin-picture svg polyline, .spin-picture svg rect").first.wait_for()
    return seen


@pytest.fixture(scope="module")
def window(chrome):
    """A window that tests use one after another: what it shows is loaded afresh each time, in half the time of a new one."""
    seen = b.Watched(chrome, offline=True)
    yield seen
    seen.close()


@pytest.fixture(scope="module")
def looked_into(chrome):
    """The same for axe, whose script no page's policy would let in."""
    seen = b.Watched(chrome, offline=True, bypass_csp=True, reduced_motion="reduce")
    yield seen
    seen.close()


def shown(seen, path, width, height, scheme="light"):
    """The page of a file in this window, loaded at this size and in this scheme, with nothing noted before."""
    seen.page.goto("about:blank")
    seen.page.set_viewport_size({"width": width, "height": height})
    seen.page.emulate_media(color_scheme=scheme)
    seen.away.clear(), seen.errors.clear()
    seen.page.goto(path.as_uri())
    seen.page.locator(".spin-picture svg polyline, .spin-picture svg rect").first.wait_for()
    return seen.page


def places(page, n, seed):
    """Random places of all knobs, water evenly along its logarithm; seeded, so the same in every run."""
    rng, found = np.random.default_rng(seed), {}
    for knob in page.knobs:
        if isinstance(knob, Choice):
            found[knob.name] = rng.integers(len(knob.options), size=n)
        elif knob.name == "water":
            found[knob.name] = np.minimum(np.expm1(rng.uniform(0, np.log1p(knob.high / um), n)) * um, knob.high)
        else:
            found[knob.name] = rng.uniform(knob.low, knob.high, n)
    return found


def asked(chrome, folder, name, at, script):
    """What the page's own script answers at every place."""
    seen = opened(chrome, folder, name)
    rows = [{key: float(x[i]) for key, x in at.items()} for i in range(len(next(iter(at.values()))))]
    found = seen.page.evaluate(f"rows => rows.map((row) => {{ const r = spinPage.answer(row); return {script}; }})", rows)
    seen.close()
    return np.array(found, dtype=float).T


def meant(page, name, at):
    """The records that a choice's numbers mean."""
    options = list(next(k for k in page.knobs if k.name == name).options.values())
    return [options[int(i)] for i in at[name]]


def close(found, true):
    """The promise: at most 1 % on spin, 0.3° on launch, 1 % on carry."""
    spin, launch, carry = found
    assert len(spin) >= 120
    assert np.abs(spin / true.launch.spin_rate - 1).max() < 0.01
    assert np.abs(launch - true.launch.launch_angle).max() < 0.3 * deg
    assert np.abs(carry / true.carry - 1).max() < 0.01


class Engine:
    """The engine's answers, one call each, strung together."""

    def __init__(self, launches):
        self.launch = Launch(**{name: np.array([getattr(one, name) for one in launches])
                                for name in ("ball_speed", "launch_angle", "spin_rate")})
        self.carry = fly(self.launch).carry


def test_dry_and_wet_is_the_engine(chrome, folder):
    page, at = PAGES["dry-and-wet"], places(PAGES["dry-and-wet"], 160, 11)
    found = asked(chrome, folder, page.name, at, "[r.now.spin, r.now.launch, r.now.carry]")
    launches = []
    for i, (grooves, cover) in enumerate(zip(meant(page, "grooves", at), meant(page, "cover", at))):
        face, closed = grooved(grooves)
        arriving = Delivery(head_speed=at["head_speed"][i], dynamic_loft=at["dynamic_loft"][i], attack_angle=-6 * deg)
        launches.append(strike(arriving, face, cover, Between(water=at["water"][i], soil_in_grooves=closed)))
    close(found, Engine(launches))


def test_grooves_is_the_engine(chrome, folder):
    page, at = PAGES["grooves"], places(PAGES["grooves"], 160, 12)
    spin, launch = asked(chrome, folder, page.name, at, "[r.now.ball.spin, r.now.ball.launch]")
    true = []
    for i, (way, face) in enumerate(zip(meant(page, "way", at), meant(page, "face", at))):
        found = Between(**{name: at[name][i] for name in ("water", "soil_on_lands", "soil_in_grooves")})
        true.append(strike(PITCH, face, contacts.COVERS["soft cover"], clean(found, way)))
    true = Engine(true)
    assert np.abs(spin / true.launch.spin_rate - 1).max() < 0.01
    assert np.abs(launch - true.launch.launch_angle).max() < 0.3 * deg


def test_loft_and_spin_is_the_engine(chrome, folder):
    page, at = PAGES["loft-and-spin"], places(PAGES["loft-and-spin"], 120, 13)
    covers = meant(page, "cover", at)
    for k, state in enumerate(("dry", "soil", "water")):
        ball = f"r.all[{k}].ball"
        found = asked(chrome, folder, page.name, at, f"[{ball}.spin, {ball}.launch, {ball}.carry]")
        launches = []
        for i, cover in enumerate(covers):
            between = {"dry": {}, "soil": {"soil_on_lands": at["soil"][i]}, "water": {"water": at["water"][i]}}[state]
            dynamic = at["loft"][i] - at["lean"][i]
            arriving = Delivery(head_speed=at["head_speed"][i], dynamic_loft=dynamic, attack_angle=-6 * deg)
            launches.append(strike(arriving, Face(), cover, Between(**between)))
        close(found, Engine(launches))


def landed(path, greens):
    """Every flight on its own green."""
    found = np.empty((3, len(greens)))
    for green in set(greens):
        here = np.array([one is green for one in greens])
        fields = {name: np.asarray(getattr(path, name))[here] for name in (
            "carry", "side", "apex", "flight_time", "descent_angle", "landing_speed", "landing_spin")}
        rest = land(Path(**fields), green)
        found[:, here] = rest.run_out, rest.first_bounce, rest.spin_after_first
    return found


def test_flight_and_stopping_is_the_engine(chrome, folder):
    """Carry to 1 %, and so is carry with run-out; run-out alone to 0.3 m or 5 %, as long as the ball stays on a green."""
    page, at = PAGES["flight-and-stopping"], places(PAGES["flight-and-stopping"], 300, 14)
    greens = meant(page, "green", at)
    for k, which in enumerate(("low", "high")):
        ball = f"r.all[{k}]"
        names = ["carry", "descent", "run_out", "first_bounce", "after", "low", "high"]
        carry, descent, run_out, first, after, low, high = asked(
            chrome, folder, page.name, at, f"{json.dumps(names)}.map((name) => {ball}[name])")
        angle, spin = at[f"{which}_launch"], at[f"{which}_spin"]
        speed = ball_speed_for_carry(at["carry"], launch_angle=angle, spin_rate=spin)
        path = fly(Launch(ball_speed=speed, launch_angle=angle, spin_rate=spin), Air(wind=at["wind"]))
        assert np.abs(carry / path.carry - 1).max() < 0.01
        assert np.abs(descent - path.descent_angle).max() < 0.5 * deg
        true, true_first, true_after = landed(path, greens)
        near = true < flights.FAR
        assert near.sum() > 200 and np.all(run_out[~near] > 0.97 * flights.FAR), "what runs off the green is said to"
        assert np.all(np.abs(run_out - true)[near] < np.maximum(0.3, 0.05 * np.abs(true[near])))
        assert np.abs((carry + run_out) / (path.carry + true) - 1)[near].max() < 0.01
        assert np.abs(first - true_first).max() < 0.2 and np.abs(after - true_after).max() < 150 * rpm
        assert np.all((low <= true) & (true <= high)), "the engine's answer lies in the band that is told"


def test_run_out_keeps_its_corner(chrome, folder):
    """Flatter than 35° the ball skims (the cut-off of the crater's hold): run-out bends sharply there, and so it is read,
    to 0.15 m within half a degree on both sides."""
    descent = np.linspace(34.5, 35.5, 21) * deg
    path = Path(carry=0 * descent, side=0 * descent, apex=0 * descent, flight_time=0 * descent, descent_angle=descent,
                landing_speed=20.0 + 0 * descent, landing_spin=2000 * rpm + 0 * descent)
    for k, green in enumerate(GREENS.values()):
        true = land(path, green).run_out
        found = flights.run_outs().read(landing_speed=20.0, descent=descent, spin=2000 * rpm, green=k)["run_out"]
        steps = np.diff(true)
        assert abs(steps[0]) > 1.8 * abs(steps[-1]), "there is a corner"
        assert np.abs(found - true).max() < 0.15


def near_enough(found, true, *, coarse):
    """Ends of a band: nine of ten to 0.15 of the band's width, none worse than `coarse`, in its own unit."""
    (low, high), (true_low, true_high) = found, true
    off = np.maximum(np.abs(low - true_low), np.abs(high - true_high))
    assert off.max() < coarse
    assert np.quantile(off / np.maximum(true_high - true_low, coarse), 0.9) < 0.15


def test_bands_of_the_contact_are_the_engine():
    """Read between knots against bands made afresh, for the ratio of spin and the change of launch."""
    table, rng, n = contacts.wet_bands(), np.random.default_rng(31), 24
    for k, grooves in enumerate(contacts.GROOVES.values()):
        loft, speed = rng.uniform(25, 70, n) * deg, rng.uniform(8, 40, n)
        water = np.expm1(rng.uniform(0, np.log1p(150), n)) * um
        face, closed = grooved(grooves)
        arriving, cover = Delivery(head_speed=speed, dynamic_loft=loft, attack_angle=-6 * deg), Ball.published_soft_cover()
        one = Setting(arriving=arriving, face=face, ball=cover, between=Between(water=water, soil_in_grooves=closed))
        other = Setting(arriving=arriving, face=Face(), ball=cover)
        found = table.read(dynamic_loft=loft, head_speed=speed, water=water, grooves=k, cover=0)
        ratio = contrast(one, other, of="spin_rate", level=contacts.LEVEL, n=contacts.DRAWS)
        near_enough((found["ratio_low"], found["ratio_high"]), (ratio.low / ratio.mid, ratio.high / ratio.mid), coarse=0.12)
        rise = contrast(one, other, of="launch_angle", kind="difference", level=contacts.LEVEL, n=contacts.DRAWS)
        near_enough((found["rise_low"], found["rise_high"]), (rise.low - rise.mid, rise.high - rise.mid), coarse=0.9 * deg)


@pytest.mark.parametrize("which", ["low", "high"])
def test_bands_of_the_run_out_are_the_engine(which):
    (low, high), most = flights.RANGES[which]
    rng, n = np.random.default_rng(32), 60
    at = {"carry": rng.uniform(20, 60, n), "launch_angle": rng.uniform(low, high, n) * deg,
          "spin_rate": rng.uniform(0, most, n) * rpm}
    speed = ball_speed_for_carry(at["carry"], launch_angle=at["launch_angle"], spin_rate=at["spin_rate"])
    launch = Launch(ball_speed=speed, launch_angle=at["launch_angle"], spin_rate=at["spin_rate"])
    true = stops(launch, list(GREENS.values()), n=flights.DRAWS, level=flights.LEVEL).run_out
    for k in range(len(GREENS)):
        found, near = flights.run_out_bands(which).read(**at, green=k), true.high[k] < flights.FAR
        ends = [(true.low - true.mid)[k][near], (true.high - true.mid)[k][near]]
        near_enough((found["run_low"][near], found["run_high"][near]), ends, coarse=2.0)


def test_what_to_fix_first_is_the_engine(chrome, folder):
    """Spin and launch as on every page; what each single fix brings to 1 % of the reference's spin; shares (Shapley 1953,
    the mean over all orders, from memory) [M] to 2 points of a hundred; the gain lies in its band."""
    page, at = PAGES["what-to-fix-first"], places(PAGES["what-to-fix-first"], 160, 15)
    found = asked(chrome, folder, page.name, at, "[r.now.spin, r.now.launch, r.whole, ...r.all.flatMap((f) => "
                  "[f.gain, f.share === null ? NaN : f.share, f.low, f.high])]")
    spin, launch, whole = found[:3]
    gains, shares, lows, highs = found[3:].reshape(len(contacts.FIXES), 4, -1).transpose(1, 0, 2)
    arriving = REFERENCE.setting.arriving
    best = dict.fromkeys(contacts.FIXES, 0.0) | {"dynamic_loft": arriving.dynamic_loft}

    def struck(fixed):
        now, told = {name: best[name] + 0 * x if name in fixed else x for name, x in at.items()}, np.empty((2, len(spin)))
        for i, ball in enumerate(contacts.BALLS.values()):
            for k, wear in enumerate(contacts.WEAR.values()):
                here = (now["ball"] == i) & (now["wear"] == k)
                if here.any():
                    water, soil, grass, loft = (now[name][here] for name in ("water", "soil", "grass", "dynamic_loft"))
                    between = Between(water=water, grass=grass, soil_on_lands=soil, soil_in_grooves=soil)
                    launch = strike(arriving.but(dynamic_loft=loft), wear, ball, between)
                    told[:, here] = launch.spin_rate, launch.launch_angle
        return told

    names = contacts.FIXES
    sets = [struck([name for i, name in enumerate(names) if mask >> i & 1]) for mask in range(1 << len(names))]
    true = np.array([one[0] for one in sets])
    assert np.abs(spin / true[0] - 1).max() < 0.01 and np.abs(launch - sets[0][1]).max() < 0.3 * deg
    fair, all_of_it = shapley(true), true[-1] - true[0]
    told = np.isfinite(shares[0]) & (all_of_it > 500 * rpm)
    assert told.sum() > 100
    for i, name in enumerate(contacts.FIXES):
        gain = true[1 << i] - true[0]
        assert np.abs(gains[i] - gain).max() < 0.01 * true[-1].max(), name
        assert np.abs(shares[i] - fair[i] / all_of_it)[told].max() < 0.02, name
        assert np.all((lows[i] - 40 * rpm < gain) & (gain < highs[i] + 40 * rpm)), name
    assert np.abs((shares.sum(axis=0) - 1) * whole)[told].max() < 60 * rpm, "shares add up to the whole (efficiency)"


def test_the_border_between_grip_and_sliding_stays_sharp(chrome, folder):
    """Where the ball slides all through, clean and dry, it leaves atan μ below the normal (closed form) [C]; the page's line
    has the corner there, within a quarter of a degree of loft of the engine's."""
    lofts = np.arange(40, 70.01, 0.25) * deg
    at = {"dynamic_loft": lofts, "head_speed": np.full(lofts.size, 12.0), "water": 0 * lofts, "cover": 0 * lofts + 1}
    below, = asked(chrome, folder, "dry-and-wet", at, "[r.now.below]")
    swing = Delivery(head_speed=12.0, dynamic_loft=lofts, attack_angle=-6 * deg)
    true = lofts - strike(swing, Face(), list(contacts.COVERS.values())[1]).launch_angle
    flat = np.arctan(list(contacts.COVERS.values())[1].friction)
    assert np.abs(below[-10:] - flat).max() < 0.1 * deg
    corner, wanted = (lofts[np.argmax(one > flat - 0.3 * deg)] for one in (below, true))
    assert abs(corner - wanted) <= 0.25 * deg + 1e-9


# -- files ------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", PAGES)
def test_a_page_is_one_file_that_asks_nobody(folder, name):
    text = (folder / f"{name}.html").read_text(encoding="utf-8")
    assert len(text.encode()) < 1_500_000
    assert re.findall(r"""(?:src|href)\s*=\s*["']?(?!data:|\#)[^"'\s>]+""", text.split("<script type=\"module\">")[0]) == []
    assert "default-src 'none'" in text and "unsafe" not in text.split("</head>")[0].split("<style>")[0]
    assert "practice ground only" in text and "stop on pain" in text
    assert not re.search(r"https?://(?!www\.w3\.org/2000/svg)", text)


@pytest.mark.parametrize("name", PAGES)
@pytest.mark.parametrize("width, height", SIZES)
def test_every_page_at_every_size(window, folder, name, width, height):
    """Nothing is wider than the screen, no lettering is cut off or laid over other lettering, nothing is asked for."""
    page = shown(window, folder / f"{name}.html", width, height)
    states = page.locator(".spin-states button")
    for k in range(states.count()):
        states.nth(k).click()
        assert page.evaluate("document.documentElement.scrollWidth") <= width
        outside = page.evaluate("""() => { const p = document.querySelector('.spin-picture > svg').getBoundingClientRect();
            return [...document.querySelectorAll('.spin-picture text')].filter((t) => { const r = t.getBoundingClientRect();
              return r.left < p.left - 1 || r.right > p.right + 1 || r.top < p.top - 1 || r.bottom > p.bottom + 1; })
              .map((t) => t.textContent) }""")
        assert outside == [], states.nth(k).inner_text()
        over = page.evaluate("""() => { const all = [...document.querySelectorAll('.spin-picture text')]
              .map((t) => [t.textContent, t.getBoundingClientRect()]);
            return all.flatMap(([a, p], i) => all.slice(i + 1).filter(([, q]) =>
              Math.min(p.right, q.right) - Math.max(p.left, q.left) > 2
              && Math.min(p.bottom, q.bottom) - Math.max(p.top, q.top) > 5).map(([b]) => [a, b])) }""")
        assert over == [], states.nth(k).inner_text()
    told = page.locator(".spin-sentence").inner_text()
    assert page.locator(".spin-picture > svg").get_attribute("aria-label") == told and len(told) > 40
    assert len(page.locator("#say p").all_inner_texts()) == 2
    assert window.away == [] and window.errors == []


# -- hands ------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", PAGES)
def test_by_touch(chrome, folder, name):
    seen = opened(chrome, folder, name, has_touch=True, is_mobile=True, device_scale_factor=2)
    page = seen.page
    slider = page.get_by_role("slider").first
    slider.scroll_into_view_if_needed()
    before, box = page.locator(".spin-picture > svg").inner_html(), slider.bounding_box()
    page.touchscreen.tap(box["x"] + 0.9 * box["width"], box["y"] + box["height"] / 2)
    for _ in range(100):  # the page's policy forbids what wait_for_function would do
        if page.locator(".spin-picture > svg").inner_html() != before:
            break
        page.wait_for_timeout(20)
    assert page.locator(".spin-picture > svg").inner_html() != before
    page.locator(".spin-states button").nth(1).tap()
    assert page.locator(".spin-states button").nth(1).get_attribute("aria-pressed") == "true"
    small = page.evaluate("""() => [...document.querySelectorAll('button, input, select, summary')]
        .map((e) => e.getBoundingClientRect()).filter((r) => r.width && Math.min(r.width, r.height) < 24).length""")
    assert small == 0, "targets of 24 px or more: WCAG 2.2, 2.5.8 [M]"
    assert seen.errors == []
    seen.close()


def test_a_finger_drags_a_slider_and_the_picture_follows(chrome, folder):
    """Real touch events; the picture stays in sight, and what is said afterwards is for where the knob stands."""
    seen = opened(chrome, folder, "dry-and-wet", has_touch=True, is_mobile=True, device_scale_factor=3)
    page, hand = seen.page, seen.context.new_cdp_session(seen.page)
    slider = page.get_by_role("slider", name="Water")
    assert slider.bounding_box()["y"] < 844, "a first slider is in sight without scrolling"
    slider.scroll_into_view_if_needed()
    box, pictures = slider.bounding_box(), set()
    y, at = box["y"] + box["height"] / 2, [box["x"] + share * box["width"] for share in np.linspace(0.05, 0.95, 19)]
    start = page.evaluate("spinPage.values().water") / (150 * um)
    hand.send("Input.dispatchTouchEvent", {"type": "touchStart", "touchPoints": [
        {"x": box["x"] + (0.04 + 0.92 * start) * box["width"], "y": y}]})
    for x in at:
        hand.send("Input.dispatchTouchEvent", {"type": "touchMove", "touchPoints": [{"x": x, "y": y}]})
        page.evaluate("() => new Promise(requestAnimationFrame)")
        pictures.add(page.locator(".spin-picture > svg").inner_html())
    hand.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})
    assert len(pictures) > 10 and page.evaluate("spinPage.values().water") > 100 * um
    place = page.locator(".spin-picture").bounding_box()
    assert place["y"] >= -1 and place["y"] + place["height"] <= y, "the picture is above the finger"
    assert f"{page.evaluate('spinPage.values().water') / um:.0f}" in page.locator("#say").inner_text()
    assert seen.errors == [] and seen.away == []
    seen.close()


SAID = """() => [...document.querySelectorAll('#say p, .spin-sentence, .spin-picture > svg')]
    .sort((a, b) => (a.closest('#say') ? 0 : a.matches('p') ? 1 : 2) - (b.closest('#say') ? 0 : b.matches('p') ? 1 : 2))
    .map((node) => node.matches('p') ? node.textContent : node.innerHTML)"""
"""The two sentences, the picture's sentence, the picture."""


@pytest.mark.parametrize("name", PAGES)
def test_every_control_through_its_whole_range_by_keyboard(window, folder, name):
    """Ends and steps of every slider and every option, in both sets of units: two sentences each time, no number missing,
    nothing in the console."""
    page = shown(window, folder / f"{name}.html", 768, 1024)
    for units in ("metric", "yards"):
        page.get_by_label("Units").select_option(units)
        said, knobs = set(), page.locator(".spin-knob input[type=range], .spin-knob select")
        for k in range(knobs.count()):
            knobs.nth(k).focus()
            slider = knobs.nth(k).evaluate("(node) => node.type === 'range'")
            options = 0 if slider else knobs.nth(k).evaluate("(node) => node.length")
            down = ["Home", *["ArrowDown"] * (options - 1)]
            for key in ("Home", "ArrowRight", "PageUp", "End", "ArrowLeft") if slider else down:
                page.keyboard.press(key)
                *words, picture = page.evaluate(SAID)
                assert len(words) == 3 and not re.search("NaN|undefined|null|Infinity", " ".join([*words, picture]))
                said.add(words[2])
            page.get_by_role("button", name="Reset").click()
        assert len(said) > 2 * knobs.count()
    assert page.get_by_role("alert").inner_text() == "" and window.errors == [] and window.away == []


def test_by_keyboard_alone(chrome, folder):
    seen = opened(chrome, folder, "dry-and-wet", 768, 1024)
    page = seen.page
    page.keyboard.press("Tab")
    assert page.locator(":focus").inner_text() == "To the content" and page.locator(":focus").bounding_box()["y"] >= 0
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.id") == "theme"
    page.keyboard.press("Enter")
    assert page.evaluate("document.documentElement.dataset.theme") == "dark"
    slider = page.get_by_role("slider", name="Water")
    slider.focus()
    said = set()
    for key in ("Home", "ArrowRight", "End"):
        page.keyboard.press(key)
        said.add(page.locator("#say").inner_text())
    assert len(said) == 3
    assert page.evaluate("spinPage.values().water") == pytest.approx(150 * um)
    assert slider.evaluate("node => getComputedStyle(node).outlineStyle") == "solid"
    page.keyboard.press("2")
    assert page.evaluate("spinPage.values().water") == pytest.approx(WETNESS["damp"].water)
    seen.close()


def test_units_change_and_bad_input_is_refused_in_words(chrome, folder):
    seen = opened(chrome, folder, "dry-and-wet", 768, 1024)
    page = seen.page
    page.get_by_label("Units").select_option("yards")
    box = page.get_by_role("spinbutton", name="Head speed, exact value in mph")
    assert float(box.input_value()) == pytest.approx(20 / mph, abs=0.05)  # as shown, to a tenth
    assert "yd" in page.locator(".spin-sentence").inner_text() and " m." not in page.locator(".spin-sentence").inner_text()
    box.fill("45")
    box.press("Enter")
    assert page.evaluate("spinPage.values().head_speed") == pytest.approx(45 * mph, rel=1e-6)
    before = page.locator(".spin-sentence").inner_text()
    box.fill("970")
    box.press("Enter")
    assert "Head speed must lie in" in page.get_by_role("alert").inner_text()
    assert "got 970 mph" in page.get_by_role("alert").inner_text()
    assert page.locator(".spin-sentence").inner_text() == before
    seen.close()


def test_a_kept_curve_stays_as_a_ghost(chrome, folder):
    seen = opened(chrome, folder, "dry-and-wet", 768, 1024)
    page = seen.page
    page.get_by_role("button", name="Keep this curve").click()
    page.get_by_role("button", name="damp", exact=True).click()
    assert page.locator(".spin-picture .ghost").count() >= 2
    page.get_by_role("button", name="Forget kept").click()
    assert page.locator(".spin-picture .ghost").count() == 0
    seen.close()


def checked_by_axe(page):
    """axe-core: WCAG 2.0 … 2.2 A and AA and its best practices."""
    axe = pytest.importorskip("axe_playwright_python.sync_playwright", reason="axe-playwright-python is not installed")
    found = axe.Axe().run(page).response
    assert len(found["passes"]) > 15
    assert [(v["id"], [node["html"][:120] for node in v["nodes"]]) for v in found["violations"]] == []


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width, height", SIZES)
@pytest.mark.parametrize("name", PAGES)
def test_axe_finds_nothing(looked_into, folder, name, width, height, scheme):
    page = shown(looked_into, folder / f"{name}.html", width, height, scheme)
    assert page.evaluate("document.documentElement.dataset.theme") == scheme
    checked_by_axe(page)


@pytest.fixture(scope="module")
def lesson(tmp_path_factory):
    """The lesson on grooves as a page of the site, in a folder below another."""
    place = tmp_path_factory.mktemp("host") / "some" / "folder"
    place.mkdir(parents=True)
    lessons = sorted(NOTEBOOKS.glob("*.ipynb"))
    one = next(path for path in lessons if path.stem.startswith("01_"))
    told = []
    (place / "01.html").write_text(site.lesson(one, lessons, told.append), encoding="utf-8")
    assert told == [], "every step ran"
    return place


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width, height", SIZES)
def test_a_lesson_reads_well_at_every_size(looked_into, lesson, width, height, scheme):
    """Nothing wider than the screen, headings in order, the live panel answers, answers folded, no code, no request."""
    page = shown(looked_into, lesson / "01.html", width, height, scheme)
    assert page.evaluate("[document.documentElement.scrollWidth, document.documentElement.lang]") == [width, "en"]
    assert page.title() == page.locator("h1").inner_text() and page.locator("h1").count() == 1
    assert page.locator("img").count() >= 1 and page.locator("math").count() >= 1
    assert page.evaluate("[...document.images].every((image) => image.naturalWidth > 600 && image.alt.length > 40)")
    assert page.locator("details[open]").count() == 0 and page.locator("details").count() >= 1
    assert not re.search(r"Error|Traceback|import |Run All Cells", page.locator("main").inner_text())
    before = page.locator("#say").inner_text()
    page.get_by_label("Cleaned with", exact=True).select_option("tee")
    assert page.locator("#say").inner_text() != before
    checked_by_axe(page)
    assert looked_into.errors == [] and looked_into.away == []


def test_paper_is_light_whatever_the_screen_is(chrome, folder):
    seen = opened(chrome, folder, "grooves", 768, 1024, color_scheme="dark")
    page = seen.page
    ask = "getComputedStyle(document.querySelector('.spin-panel')).getPropertyValue('--spin-ink').trim().toLowerCase()"
    dark = page.evaluate(ask)
    page.emulate_media(media="print")
    assert page.evaluate(ask) != dark == build._THEMES["dark"]["ink"].lower()
    assert page.evaluate(ask) == build._THEMES["light"]["ink"].lower()
    assert page.locator(".spin-side").is_hidden() and page.locator("#theme").is_hidden()
    assert page.locator(".spin-picture > svg").is_visible() and page.locator("#say").is_visible()
    seen.close()


def test_the_picture_of_the_data_is_not_bigger_than_said(folder):
    data = (folder / "dry-and-wet.html").read_text(encoding="utf-8").split('id="page-data">')[1].split("</script>")[0]
    whole = json.loads(data)
    assert [knob["name"] for knob in whole["knobs"]] == [knob.name for knob in PAGES["dry-and-wet"].knobs]
