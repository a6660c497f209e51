"""What every test begins with."""

import os

import browser as b
import pytest

from spinlab.panels import spoken

# Set before NumPy is loaded, and handed on to workers, servers and kernels: with a worker on every core, more threads would
# only wait for each other.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")


@pytest.fixture(scope="module", autouse=True)
def forgotten():
    """Widgets are kept alive by their library: what a file made turns with the units no longer once the file is done."""
    yield
    spoken._HEARING.clear()


@pytest.fixture(autouse=True)
def metric(forgotten):
    """The units of the page are one for everything that is made: each test begins and leaves them metric.

    What the test itself made is forgotten first, or every later switch would draw it again; what its file's fixtures made
    before it turns on.
    """
    spoken.speak("metric")
    before = set(spoken._HEARING)
    yield
    for owner in set(spoken._HEARING) - before:
        del spoken._HEARING[owner]
    spoken.speak("metric")


@pytest.fixture(scope="module")
def chrome():
    """One browser for all tests of a file; each opens windows of its own."""
    with b.browser() as opened:
        yield opened
