"""A verb run in this process, as the shell would run it."""

import pytest

from trimkit.cli import main


@pytest.fixture
def run(capsys):
    """Runs a verb; returns its exit code, what it said, and what it refused."""

    def verb(*words):
        code = main([str(word) for word in words])
        said = capsys.readouterr()
        assert "Traceback" not in said.err
        assert (code == 0) == (said.err == "")
        assert not said.err or (said.err.startswith("trimkit: ") and "Do next:" in said.err)
        return code, said.out, said.err

    return verb
