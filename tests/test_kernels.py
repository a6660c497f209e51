"""Few kernels: what makes room, what ends by itself, what is refused.  No process is started here."""

import asyncio
import re
from datetime import UTC, datetime, timedelta
from types import SimpleNamespace

import pytest
from jupyter_client.kernelspec import KernelSpecManager
from jupyter_server.services.kernels.kernelmanager import AsyncMappingKernelManager
from tornado.web import HTTPError
from traitlets.config.loader import KVArgParseConfigLoader

from spinlab import shell
from spinlab.show import kernels, present


@pytest.fixture
def manager(monkeypatch):
    """A manager as the servers set it up, whose kernels are records: name, when last heard of, busy or not."""

    async def start(self, name, busy=False, ago=0.0):
        await asyncio.sleep(0)
        self._kernels[name] = SimpleNamespace(
            kernel_name="python3", kernel_spec=SimpleNamespace(metadata={}),
            last_activity=datetime.now(UTC) - timedelta(seconds=ago), execution_state="busy" if busy else "idle")
        self._kernel_connections[name] = 0
        return name

    async def shut_down(self, name, now=False):
        await asyncio.sleep(0)
        del self._kernels[name], self._kernel_connections[name]

    monkeypatch.setattr(AsyncMappingKernelManager, "start_kernel", start)
    monkeypatch.setattr(AsyncMappingKernelManager, "shutdown_kernel", shut_down)
    config = KVArgParseConfigLoader([f"--{setting}" for setting in kernels.SETTINGS]).load_config()
    return kernels.FewKernels(config=config, kernel_spec_manager=KernelSpecManager())


def left(manager):
    """The names of the kernels there are."""
    return set(manager.list_kernel_ids())


def test_fifty_loads_leave_six_kernels_and_never_more(manager):
    async def load():
        for k in range(50):
            await manager.start_kernel(f"{k}", ago=11 + 0.1 * (50 - k))
            assert len(manager) <= kernels.MOST

    asyncio.run(load())
    assert left(manager) == {"44", "45", "46", "47", "48", "49"}


def test_fifty_loads_at_once_leave_six_kernels(manager):
    async def load():
        await asyncio.gather(*(manager.start_kernel(f"{k}", ago=11) for k in range(50)))

    asyncio.run(load())
    assert len(manager) == kernels.MOST == 6


def test_the_one_that_was_silent_for_longest_makes_room_and_none_with_a_page(manager):
    async def load():
        for k, ago in enumerate((50, 15, 90, 20, 30, 40)):
            await manager.start_kernel(f"{k}", ago=ago)
        manager.notify_connect("2")
        await manager.start_kernel("new")

    asyncio.run(load())
    assert left(manager) == {"1", "2", "3", "4", "5", "new"}


def test_where_every_page_is_open_the_next_is_refused_with_the_cure_and_nothing_ends(manager):
    async def load():
        for k in range(6):
            manager.notify_connect(await manager.start_kernel(f"{k}", busy=k % 2))
        with pytest.raises(HTTPError) as refused:
            await manager.start_kernel("7")
        assert len(manager) == 6
        manager.notify_disconnect("2")
        manager.get_kernel("2").last_activity -= timedelta(seconds=11)
        await manager.start_kernel("7")
        return refused.value

    refused = asyncio.run(load())
    assert refused.status_code == 503 and refused.reason == kernels.FULL and "Close one" in refused.reason
    assert left(manager) == {"0", "1", "3", "4", "5", "7"}


@pytest.mark.parametrize(("ago", "busy", "makes_room"), [(9, False, False), (11, False, True), (11, True, False)])
def test_a_page_that_is_still_being_made_is_waited_for_not_ended(manager, monkeypatch, ago, busy, makes_room):
    async def load():
        for k in range(6):
            await manager.start_kernel(f"{k}", ago=ago, busy=busy)
        if not makes_room:
            with pytest.raises(HTTPError):
                await manager.start_kernel("new")
            assert left(manager) == {"0", "1", "2", "3", "4", "5"}
            manager.get_kernel("4").last_activity -= timedelta(seconds=2)
            manager.get_kernel("4").execution_state = "idle"
        await manager.start_kernel("new")

    monkeypatch.setattr(kernels, "PATIENCE", 0.0)
    asyncio.run(load())
    assert "new" in left(manager) and len(manager) == 6


def test_a_load_that_finds_no_room_goes_on_when_a_page_is_closed(manager):
    async def load():
        for k in range(6):
            await manager.start_kernel(f"{k}", busy=True)
        waits = asyncio.create_task(manager.start_kernel("new"))
        await asyncio.sleep(0)
        await manager.shutdown_kernel("3")
        await waits

    asyncio.run(load())
    assert left(manager) == {"0", "1", "2", "4", "5", "new"}


@pytest.mark.parametrize(("ago", "busy", "page", "stays"), [
    (44, False, "closed", True), (46, False, "closed", False), (44, True, "closed", True), (46, True, "closed", False),
    (86400, False, "open", True), (86400, True, "open", True),
    (44, False, "being made", True), (46, False, "being made", False), (86400, True, "being made", True)])
def test_a_kernel_ends_when_its_page_is_closed_and_only_then(manager, ago, busy, page, stays):
    async def wait():
        await manager.start_kernel("a", busy=busy, ago=ago)
        if page != "being made":
            manager.notify_connect("a")
        if page == "closed":
            manager.notify_disconnect("a")
        await manager.cull_kernels()

    asyncio.run(wait())
    assert (left(manager) == {"a"}) == stays
    assert manager.cull_idle_timeout + manager.cull_interval < 60


def test_both_servers_keep_few_kernels(tmp_path):
    lesson = tmp_path / "a.ipynb"
    lesson.touch()
    for command in (" ".join(present.command(lesson)), " ".join(shell.lab_command(tmp_path))):
        assert f"kernel_manager_class={kernels.CLASS}" in command
        assert all(f"--{setting}" in command for setting in kernels.SETTINGS)


def test_the_page_learns_of_a_dead_kernel_within_three_seconds():
    """The server looks every so often, the page asks every so often; together they stay below."""
    looks = float(next(re.search(r"time_to_dead=(.*)", text)[1] for text in present.ENDED_IS_ENDED if "time" in text))
    page = (present.STAGE / "voila/templates/lesson/index.html.j2").read_text(encoding="utf-8")
    asks = float(re.search(r"\}, (\d+)\);", page)[1]) / 1000
    assert looks + asks <= 2.0
