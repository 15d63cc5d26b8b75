"""Deflections of a steel-concrete beam under a periodic load, 200 readings: H. S. Lew, NBS, 1969.

NIST/SEMATECH e-Handbook of Statistical Methods, section 1.4.2.5, "Beam Deflections", file LEW.DAT, a work of the United
States government (https://www.itl.nist.gov/div898/handbook/eda/section4/eda425.htm). NIST's Statistical Reference
Datasets certify mean, standard deviation and lag-1 autocorrelation of the same readings, which guards the copy below.

The handbook fits C + A sin(2 pi F i + P) to reading i by least squares and prints C = -178.786, A = -361.766,
F = 0.302596, P = 1.46536 (as quoted by others; the page itself was not at hand). Erratum: that is not the least
squares. Its residuals have a standard deviation of 155.8; at F = 0.301807 they have 134.1, as SciPy's general fit finds
when it starts from the printed values. The two frequencies are 0.16 of a swing apart over the whole series.

The beam swings once in 3.3 readings: its own example of a series read too slowly.
"""

import numpy as np
import pytest
from scipy.optimize import curve_fit

from trimkit.parts.errors import ModelError
from trimkit.shop.swingseries import peak_cpm, series_frequency, strongest_swing

DEFLECTION = np.array(
    [
        "-213",
        "-564",
        "-35",
        "-15",
        "141",
        "115",
        "-420",
        "-360",
        "203",
        "-338",
        "-431",
        "194",
        "-220",
        "-513",
        "154",
        "-125",
        "-559",
        "92",
        "-21",
        "-579",
        "-52",
        "99",
        "-543",
        "-175",
        "162",
        "-457",
        "-346",
        "204",
        "-300",
        "-474",
        "164",
        "-107",
        "-572",
        "-8",
        "83",
        "-541",
        "-224",
        "180",
        "-420",
        "-374",
        "201",
        "-236",
        "-531",
        "83",
        "27",
        "-564",
        "-112",
        "131",
        "-507",
        "-254",
        "199",
        "-311",
        "-495",
        "143",
        "-46",
        "-579",
        "-90",
        "136",
        "-472",
        "-338",
        "202",
        "-287",
        "-477",
        "169",
        "-124",
        "-568",
        "17",
        "48",
        "-568",
        "-135",
        "162",
        "-430",
        "-422",
        "172",
        "-74",
        "-577",
        "-13",
        "92",
        "-534",
        "-243",
        "194",
        "-355",
        "-465",
        "156",
        "-81",
        "-578",
        "-64",
        "139",
        "-449",
        "-384",
        "193",
        "-198",
        "-538",
        "110",
        "-44",
        "-577",
        "-6",
        "66",
        "-552",
        "-164",
        "161",
        "-460",
        "-344",
        "205",
        "-281",
        "-504",
        "134",
        "-28",
        "-576",
        "-118",
        "156",
        "-437",
        "-381",
        "200",
        "-220",
        "-540",
        "83",
        "11",
        "-568",
        "-160",
        "172",
        "-414",
        "-408",
        "188",
        "-125",
        "-572",
        "-32",
        "139",
        "-492",
        "-321",
        "205",
        "-262",
        "-504",
        "142",
        "-83",
        "-574",
        "0",
        "48",
        "-571",
        "-106",
        "137",
        "-501",
        "-266",
        "190",
        "-391",
        "-406",
        "194",
        "-186",
        "-553",
        "83",
        "-13",
        "-577",
        "-49",
        "103",
        "-515",
        "-280",
        "201",
        "300",
        "-506",
        "131",
        "-45",
        "-578",
        "-80",
        "138",
        "-462",
        "-361",
        "201",
        "-211",
        "-554",
        "32",
        "74",
        "-533",
        "-235",
        "187",
        "-372",
        "-442",
        "182",
        "-147",
        "-566",
        "25",
        "68",
        "-535",
        "-244",
        "194",
        "-351",
        "-463",
        "174",
        "-125",
        "-570",
        "15",
        "72",
        "-550",
        "-190",
        "172",
        "-424",
        "-385",
        "198",
        "-218",
        "-536",
        "96",
    ],
    dtype=float,
)
PRINTED = (-178.786, -361.766, 0.302596, 1.46536)
STEP_S = 0.06  # any: the handbook counts readings


def sinusoid(reading, constant, amplitude, per_reading, phase):
    return constant + amplitude * np.sin(2 * np.pi * per_reading * reading + phase)


def residual(parameters):
    return np.sqrt(np.sum((DEFLECTION - sinusoid(np.arange(1, 201), *parameters)) ** 2) / (200 - 4))


def test_the_copy_has_the_certified_values():
    away = DEFLECTION - DEFLECTION.mean()
    assert DEFLECTION.size == 200
    assert DEFLECTION.mean() == pytest.approx(-177.435, abs=1e-12)
    assert DEFLECTION.std(ddof=1) == pytest.approx(277.332168044316, abs=1e-11)
    assert away[1:] @ away[:-1] / (away @ away) == pytest.approx(-0.307304800605679, abs=1e-14)


def test_the_spectrums_peak_is_the_least_squares_that_the_printed_frequency_misses():
    fit, _ = curve_fit(sinusoid, np.arange(1, 201), DEFLECTION, p0=PRINTED)
    time = STEP_S * np.arange(DEFLECTION.size)
    near = strongest_swing(time, DEFLECTION)
    found = peak_cpm(time, DEFLECTION, np.ones(DEFLECTION.size), near, float(time[-1])) / 60 * STEP_S
    assert found == pytest.approx(fit[2], abs=0.5e-6)
    assert residual(PRINTED) == pytest.approx(155.8, abs=0.05)
    assert residual(fit) == pytest.approx(134.1, abs=0.05)
    assert near / 60 * STEP_S == pytest.approx(PRINTED[2], abs=0.25 / 200)


def test_three_readings_a_swing_are_refused():
    with pytest.raises(ModelError, match=r"usually 16\.7 a second"):
        series_frequency(STEP_S * np.arange(DEFLECTION.size), DEFLECTION)
    with pytest.raises(ModelError, match=r"has 3\.3 readings"):
        series_frequency(0.02 * np.arange(DEFLECTION.size), DEFLECTION)
