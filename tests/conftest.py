"""What every test begins with."""

import pytest

from spinlab.show import spoken


@pytest.fixture(autouse=True)
def metric():
    """The units of the page are one for everything that is made: each test begins and leaves them metric."""
    spoken.speak("metric")
    yield
    spoken.speak("metric")
