"""The lab under test: made once a test file by what the file calls LAB, as it began for each test."""

import pytest


@pytest.fixture(scope="module")
def _made(request):
    return request.module.LAB()


@pytest.fixture
def lab(_made):
    _made.reset()
    return _made
