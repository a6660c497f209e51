"""How many kernels there are, and how long: those of pages that were closed end by themselves, and there are never many.

JupyterLab and the presenting page take the class by name.  A kernel takes about 0.3 GB, and every load of a page starts one.
"""

from __future__ import annotations

import asyncio

from jupyter_server.services.kernels.kernelmanager import AsyncMappingKernelManager
from tornado.web import HTTPError

CLASS = "spinlab.show.kernels.FewKernels"
SETTINGS = ("MappingKernelManager.cull_idle_timeout=45", "MappingKernelManager.cull_interval=10",
            "MappingKernelManager.cull_busy=True")
"""A kernel that no page is connected to, and that has said nothing for this long, is ended, even if it is busy.  While a
page is connected it goes on, however long it is busy or idle."""
MOST = 6
FULL = f"{MOST} lessons are open. Close one of them, then open this one again."


class FewKernels(AsyncMappingKernelManager):
    """At most `MOST` kernels: the one that nobody has used for longest makes room, but never one whose page is open."""

    def __init__(self, *args, **more):
        super().__init__(*args, **more)
        self._one_at_a_time = asyncio.Lock()

    async def start_kernel(self, *args, **more):
        """Start a kernel as usual, once there is room for it."""
        async with self._one_at_a_time:
            while len(self) >= MOST:
                await self.shutdown_kernel(self._left_alone(), now=True)
            return await super().start_kernel(*args, **more)

    def _left_alone(self):
        """The kernel without a page that has been silent for longest."""
        alone = [kernel for kernel in self.list_kernel_ids() if not self._kernel_connections.get(kernel)]
        if not alone:
            raise HTTPError(503, FULL, reason=FULL)
        return min(alone, key=lambda kernel: self.get_kernel(kernel).last_activity)
