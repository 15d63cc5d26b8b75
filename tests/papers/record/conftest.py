"""A small record: a driver and a fairway wood."""

from datetime import UTC, datetime

import pytest

from trimkit.club.order.order import shipped_order
from trimkit.club.set import build_set
from trimkit.papers.record.build import first_record

AT = datetime(2026, 1, 2, 3, 4, 5, tzinfo=UTC)


@pytest.fixture(scope="session")
def woods():
    return build_set(shipped_order("wood_pair"))


@pytest.fixture(scope="session")
def record(woods):
    return first_record(woods, AT, frequency_sd_cpm=[1.5, 2.5])


@pytest.fixture
def changed_club():
    """Return a revision in which one club holds other values; ``cuts={...}`` and the like change a part of it."""

    def changed(revision, place, **values):
        club = revision.clubs[place]
        update = {
            name: getattr(club, name).model_copy(update=value) if isinstance(value, dict) else value
            for name, value in values.items()
        }
        clubs = list(revision.clubs)
        clubs[place] = club.model_copy(update=update)
        return revision.model_copy(update={"clubs": tuple(clubs)})

    return changed
