"""A presented page and its kernel: busy, dead, left.  A real server and a real browser."""

import os

import browser as b
import psutil
import pytest

pytestmark = pytest.mark.skipif(bool(b.why_not()), reason=b.why_not())

LESSON = """
import os, time, ipywidgets
button = ipywidgets.Button(description="Work")
def work(*_):
    button.description = "Working"
    time.sleep(4)
    button.description = "Done"
button.on_click(work)
print("kernel", os.getpid())
button
"""


@pytest.fixture(scope="module")
def address(tmp_path_factory):
    folder = tmp_path_factory.mktemp("presented")
    b.notebook(folder / "lesson.ipynb", LESSON)
    with b.presenting(folder, "lesson.ipynb") as told:
        yield told


@pytest.fixture
def page(chrome, address):
    seen = b.Watched(chrome)
    seen.page.goto(address)
    seen.page.get_by_text("kernel ").wait_for()
    seen.page.get_by_role("button", name="Work").wait_for()
    yield seen.page
    seen.close()


def number(page):
    """The process number of the page's kernel."""
    return int(page.get_by_text("kernel ").inner_text().split()[1])


def bar(page):
    """What the page says when something has ended."""
    return page.get_by_role("alert")


def test_a_busy_kernel_is_not_a_dead_one_and_a_dead_one_says_so(page):
    button = page.get_by_role("button", name="Work")
    button.click()
    page.get_by_role("button", name="Working").wait_for()
    asked = []
    page.on("response", lambda told: asked.append((told.url, told.status)))
    page.get_by_role("button", name="Done").wait_for()
    assert len(asked) > 1 and all("/api/kernels/" in url and status == 200 for url, status in asked)
    assert bar(page).count() == 0
    os.kill(number(page), 9)
    bar(page).wait_for()
    assert "has ended" in bar(page).inner_text() and "answers" in bar(page).inner_text()
    before = number(page)
    page.get_by_role("button", name="Load again").click()
    page.get_by_role("button", name="Work").wait_for()
    assert number(page) != before and bar(page).count() == 0


def test_a_server_that_has_ended_is_told_and_one_that_answers_again_too(page):
    page.route("**/api/kernels/*", lambda route: route.abort())
    bar(page).wait_for()
    assert "program behind this page has ended" in bar(page).inner_text()
    page.unroute("**/api/kernels/*")
    bar(page).wait_for(state="hidden")


def test_a_page_that_is_left_takes_its_kernel_with_it(page):
    kernel = psutil.Process(number(page))
    page.goto("about:blank")
    kernel.wait(30)
    assert not kernel.is_running()
