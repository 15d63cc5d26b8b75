"""The lessons' JupyterLab keeps its settings in a folder of its own."""

import json
from pathlib import Path

from trimkit.cli.lessons import own_settings


def test_settings_lie_in_a_folder_of_their_own_and_what_the_reader_changes_stays(tmp_path, monkeypatch):
    monkeypatch.setenv("JUPYTER_DATA_DIR", str(tmp_path))
    places = {name: Path(place) for name, place in own_settings().items()}
    assert set(places) == {"JUPYTERLAB_SETTINGS_DIR", "JUPYTERLAB_WORKSPACES_DIR"}
    assert [each.name for each in tmp_path.iterdir()] == ["trimkit-lessons"]
    (notices,) = (each for each in places["JUPYTERLAB_SETTINGS_DIR"].rglob("*") if each.is_file())
    assert json.loads(notices.read_text(encoding="utf-8")) == {"fetchNews": "false", "checkForUpdates": False}
    notices.write_text('{"fetchNews": "true"}', encoding="utf-8")
    own_settings()
    assert notices.read_text(encoding="utf-8") == '{"fetchNews": "true"}'
