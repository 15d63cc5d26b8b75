"""Seeds of the exercises: a few in the ordinary run, the others nightly."""

import pytest

MORE = pytest.param((*range(6, 40), 1234, 987654), marks=pytest.mark.nightly, id="more")


@pytest.fixture(params=[pytest.param(range(6), id="few"), MORE])
def seeds(request):
    return request.param
