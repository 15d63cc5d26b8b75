"""A Jupyter server extension that lets a lab's picture reach the page sooner, by two switches.

Moving a slider makes the kernel send three small messages: busy, the picture, idle.

*They leave at once.* The Jupyter server sends them over a TCP connection that, left alone, holds back a small message
until the one before is acknowledged (Nagle's algorithm, RFC 896), and the browser's side acknowledges after up to 40 ms
(delayed acknowledgement, RFC 1122 section 4.2.3.2): a picture comes 40 ms late and at most about 20 come in a second.
``TCP_NODELAY`` on the connection ends that.

*The tab's icon stays as it is.* JupyterLab shows another icon in the browser's tab while a kernel is busy, and fetches
it from the server at each busy and each idle: two requests for every picture, between the picture and its page. A
plugin of JupyterLab does that; it is left out (the kernel's ring in the notebook's toolbar still shows busy).

Installing the package enables the extension; without it every lab works, only slower. ``jupyter server extension
disable trimkit.study.frame.server`` turns it off.
"""

from __future__ import annotations

from typing import Any

TAB_ICON_PLUGIN = "@jupyterlab/application-extension:faviconbusy"


def _jupyter_server_extension_points() -> list[dict[str, str]]:
    return [{"module": "trimkit.study.frame.server"}]


def _load_jupyter_server_extension(app: Any) -> None:
    settings = app.web_app.settings
    _send_without_delay(settings)
    _keep_the_tab_icon(settings)


def _send_without_delay(settings: dict[str, Any]) -> None:
    """Let each new connection between a browser and a kernel send without delay, whatever class makes it."""
    given: Any = settings["kernel_websocket_connection_class"]

    class PromptConnection(given):  # type: ignore[misc]
        """The configured connection, with ``TCP_NODELAY`` set as soon as the websocket is open."""

        async def connect(self) -> Any:
            self.websocket_handler.set_nodelay(True)
            return await super().connect()

    settings["kernel_websocket_connection_class"] = PromptConnection


def _keep_the_tab_icon(settings: dict[str, Any]) -> None:
    """Name the icon's plugin among those that JupyterLab's page leaves out, after whatever hook is set already."""
    given = settings.get("page_config_hook")

    def hook(handler: Any, page_config: dict[str, Any]) -> dict[str, Any]:
        page_config = given(handler, page_config) if given else page_config
        left_out = page_config.get("disabledExtensions", [])
        return page_config | {"disabledExtensions": sorted({*left_out, TAB_ICON_PLUGIN})}

    settings["page_config_hook"] = hook
