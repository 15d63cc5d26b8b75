"""The server extension: a connection to a kernel sends without delay, and no icon is fetched for a picture."""

import asyncio
import json
import socket
from concurrent.futures import ThreadPoolExecutor
from importlib import import_module
from pathlib import Path
from types import SimpleNamespace

from tornado.httpserver import HTTPServer
from tornado.testing import bind_unused_port
from tornado.web import Application
from tornado.websocket import WebSocketHandler, websocket_connect

import trimkit.study
from trimkit.study.frame.server import TAB_ICON_PLUGIN, _jupyter_server_extension_points, _load_jupyter_server_extension


def test_the_file_that_enables_it_names_it():
    enabling = json.loads((Path(trimkit.study.__file__).parent / "frame/jupyter_server.json").read_text())
    names = list(enabling["ServerApp"]["jpserver_extensions"])
    assert names == [point["module"] for point in _jupyter_server_extension_points()]
    assert hasattr(import_module(names[0]), "_load_jupyter_server_extension")


def test_a_real_websocket_sends_without_delay_and_the_configured_class_still_connects():
    seen = []

    class Configured:
        def __init__(self, websocket_handler):
            self.websocket_handler = websocket_handler

        async def connect(self):
            sent_by = self.websocket_handler.ws_connection.stream.socket
            seen.append(sent_by.getsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY))
            return "connected"

    class Handler(WebSocketHandler):
        async def open(self):
            seen.append(await settings["kernel_websocket_connection_class"](websocket_handler=self).connect())
            self.close()

    settings = {"kernel_websocket_connection_class": Configured}
    _load_jupyter_server_extension(SimpleNamespace(web_app=SimpleNamespace(settings=settings)))

    async def talk():
        listening, port = bind_unused_port()
        server = HTTPServer(Application([("/", Handler)]))
        server.add_sockets([listening])
        client = await websocket_connect(f"ws://127.0.0.1:{port}/")
        assert await client.read_message() is None
        client.close()
        server.stop()

    with ThreadPoolExecutor(1) as thread:  # a browser test of this worker may keep a loop of its own running
        thread.submit(asyncio.run, talk()).result()
    assert seen[0] != 0
    assert seen[1] == "connected"


def test_the_tab_icon_s_plugin_joins_those_that_are_left_out_already():
    def first(handler, page_config):
        return page_config | {"seen": handler, "disabledExtensions": ["another"]}

    settings = {"kernel_websocket_connection_class": object, "page_config_hook": first}
    _load_jupyter_server_extension(SimpleNamespace(web_app=SimpleNamespace(settings=settings)))
    page_config = settings["page_config_hook"]("handler", {"mode": "multiple-document"})
    assert page_config["disabledExtensions"] == sorted([TAB_ICON_PLUGIN, "another"])
    assert (page_config["seen"], page_config["mode"]) == ("handler", "multiple-document")
