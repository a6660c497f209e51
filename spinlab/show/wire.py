"""The server's end of the line to the page: small messages leave at once.

Without this the operating system holds a small message back until the one before it is acknowledged (Nagle's algorithm,
RFC 896 [M]), which can cost a panel tens of milliseconds a picture.  JupyterLab and the presenting page take the class by
name: ``--ServerApp.kernel_websocket_connection_class=spinlab.show.wire.PromptConnection``.
"""

from __future__ import annotations

from jupyter_server.services.kernels.connection.channels import ZMQChannelsWebsocketConnection

SETTING = "kernel_websocket_connection_class=spinlab.show.wire.PromptConnection"


class PromptConnection(ZMQChannelsWebsocketConnection):
    """Kernel messages to a page, without delay."""

    def connect(self):
        """Connect as usual, once the socket is told not to wait."""
        self.websocket_handler.set_nodelay(True)
        return super().connect()
