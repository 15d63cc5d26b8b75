"""A bench in a folder of its own, with the parts of the demo as its own, and what bare shafts of them would read."""

import shutil

import pytest

from trimkit.club.clamp import FrequencyBench, frequencies_cpm, with_root_spring
from trimkit.parts.catalogue import data_folder, load_catalogue
from trimkit.shop.reading import raw_reading
from trimkit.study import shop_bench

STEEL = "steel parallel 110 g combination"


@pytest.fixture
def bench(tmp_path):
    shutil.copytree(data_folder(), tmp_path / "parts", ignore=shutil.ignore_patterns("orders", "shop.toml"))
    shutil.copy(data_folder() / "orders" / "evening_class.toml", tmp_path / "class.toml")
    bench = shop_bench(tmp_path)
    bench.choose("parts", alone=True, order_file="class.toml")
    return bench


@pytest.fixture(scope="session")
def bare_rows():
    """Rows of one shaft at several depths in a clamp that gives, if it is so many times as stiff as described."""
    shaft = load_catalogue().shafts[STEEL]

    def rows(depths_in, ei_factor=1.0, spring_n_m_per_rad=1200.0):
        made = []
        for depth_in in depths_in:
            reading = raw_reading(shaft, FrequencyBench(205.0, clamp_in=depth_in), 300.0, raw_mass_g=110.0)
            (cpm,) = frequencies_cpm([with_root_spring(reading.held, spring_n_m_per_rad)], ei_factor=ei_factor)
            numbers = {"raw_mass_g": "110", "test_mass_g": "205", "clamp_in": f"{depth_in:g}"}
            made.append({"shaft": STEEL, "raw_frequency_cpm": f"{cpm:.1f}", **numbers})
        return made

    return rows
