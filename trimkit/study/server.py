"""A Jupyter server extension of one switch: small kernel messages leave at once instead of waiting for each other.

Moving a slider makes the kernel send three small messages: busy, the picture, idle. The Jupyter server sends them over
a TCP connection that, left alone, holds back a small message until the one before is acknowledged (Nagle's algorithm,
RFC 896), and the browser's side acknowledges after up to 40 ms (delayed acknowledgement, RFC 1122 section 4.2.3.2): a
picture comes 40 ms late and at most about 20 come in a second. ``TCP_NODELAY`` on the connection ends that.

Installing the package enables the extension; without it every lab works, only slower. ``jupyter server extension
disable trimkit.study.server`` turns it off.
"""

from __future__ import annotations

from typing import Any


def _jupyter_server_extension_points() -> list[dict[str, str]]:
    return [{"module": "trimkit.study.server"}]


def _load_jupyter_server_extension(app: Any) -> None:
    """Let each new connection between a browser and a kernel send without delay, whatever class makes it."""
    settings = app.web_app.settings
    given: Any = settings["kernel_websocket_connection_class"]

    class PromptConnection(given):  # type: ignore[misc]
        """The configured connection, with ``TCP_NODELAY`` set as soon as the websocket is open."""

        async def connect(self) -> Any:
            self.websocket_handler.set_nodelay(True)
            return await super().connect()

    settings["kernel_websocket_connection_class"] = PromptConnection
