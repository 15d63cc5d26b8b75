"""Nothing here is a test of the package: ``python tests/mutation/run.py`` tests the tests."""

collect_ignore_glob = ["*.py"]
