"""How many kernels there are, and how long: those of pages that were closed end by themselves, and there are never many.

JupyterLab and the presenting page take the class by name.  A kernel takes about 0.3 GB, and every load of a page starts one.
"""

from __future__ import annotations

import asyncio
import time
from datetime import UTC, datetime, timedelta

from jupyter_server.services.kernels.kernelmanager import AsyncMappingKernelManager
from tornado.web import HTTPError

CLASS = "spinlab.show.kernels.FewKernels"
SETTINGS = ("MappingKernelManager.cull_idle_timeout=45", "MappingKernelManager.cull_interval=10")
"""A kernel that no page is connected to, and that has said nothing for this long, is ended.  While a page is connected it
goes on, however long it is busy or idle."""
MOST = 6
FULL = f"{MOST} lessons are open. Close one of them, then open this one again."


QUIET, PATIENCE = 10.0, 60.0
"""Seconds after which a page that has not connected is taken for closed, and that a load waits for one."""


class FewKernels(AsyncMappingKernelManager):
    """At most `MOST` kernels: the one that nobody has used for longest makes room, but never one whose page is open or being
    made."""

    def __init__(self, *args, **more):
        super().__init__(*args, **more)
        self._one_at_a_time, self._had_a_page = asyncio.Lock(), set()

    def notify_connect(self, kernel_id):
        """A page is connected."""
        super().notify_connect(kernel_id)
        self._had_a_page.add(kernel_id)

    async def cull_kernel_if_idle(self, kernel_id):
        """End a kernel that is left alone; a busy one only if its page was there, for else the page is still being made."""
        self.cull_busy = kernel_id in self._had_a_page
        await super().cull_kernel_if_idle(kernel_id)

    async def start_kernel(self, *args, **more):
        """Start a kernel as usual, once there is room for it."""
        async with self._one_at_a_time:
            await self._make_room()
            return await super().start_kernel(*args, **more)

    async def _make_room(self):
        until = time.monotonic() + PATIENCE
        while len(self) >= MOST:
            alone = [kernel for kernel in self.list_kernel_ids() if not self._kernel_connections.get(kernel)]
            left = {kernel: told.last_activity for kernel in alone for told in [self.get_kernel(kernel)]
                    if told.execution_state == "idle" and told.last_activity < datetime.now(UTC) - timedelta(seconds=QUIET)}
            if left:
                await self.shutdown_kernel(min(left, key=left.get), now=True)
            elif alone and time.monotonic() < until:
                await asyncio.sleep(0.2)
            else:
                raise HTTPError(503, FULL, reason=FULL)
