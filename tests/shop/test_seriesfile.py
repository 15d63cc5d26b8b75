"""A sensor's file: as people and sensors write it, and every fault with its row and column."""

import time as clock

import numpy as np
import pytest

from trimkit.parts.errors import DataFileError
from trimkit.shop.seriesfile import MOST_FAULTS, read_series
from trimkit.shop.swingseries import MOST_READINGS


@pytest.fixture
def read(tmp_path):
    def reading(text):
        path = tmp_path / "sensor.csv"
        path.write_bytes(text if isinstance(text, bytes) else text.encode())
        return [column.tolist() for column in read_series(path)]

    return reading


@pytest.mark.parametrize(
    "text",
    [
        "time_s,reading\n0.001,-1.5\n0.002,20\n",
        "0.001,-1.5\n0.002,20\n",
        "reading,time_s\r\n-1.5,1e-3\r\n20,2E-3\r\n",
        " Time_S ; READING \n0,001;-1,5\n0,002;20\n",
        "0,001;-1,5\n0,002;20\n",
        "0.001;-1.5\n0.002;20\n",
        '\ufefftime_s,reading\n"0.001","-1.5"\n\n0.002,+20.\n,\n',
        ".001,-1.5\n.002,20",
    ],
)
def test_read(read, text):
    assert read(text) == [[0.001, 0.002], [-1.5, 20.0]]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("time_s,reading\n0.1,x\n", "row 2, column reading: 'x'"),
        ("0.1,1\n0.2,nan\n", "row 2, column reading: 'nan'"),
        ("0.1,1\ninf,1\n", "row 2, column time_s: 'inf'"),
        ("0.1,1\n0.2,1e999\n", "row 2, column reading: '1e999'"),
        ("0.1,1\n0.2,1e13\n", "row 2, column reading: '1e13'"),
        ("0.1,1\n0.2,1_0\n", "row 2, column reading: '1_0'"),
        ("0.1,1\n0.2,٣\n", "row 2, column reading: '٣'"),
        ("0.1,1\n0.2,\n", "row 2, column reading: ''"),
        ("0.1,1\n0.2\n", "row 2: the row has 1 cells"),
        ("0.1,1\n0.2,1,1\n", "row 2: the row has 3 cells"),
        ("0,1;1\n0.2;1\n", "row 2, column time_s: '0.2' has a decimal point"),
        ("1,250;1\n1,500;1\n", "row 1, column time_s: '1,250' can be thousands or thousandths"),
        ("0.1,1\n0.1,1\n", "row 2, column time_s: the time 0.1 is not after the one before, 0.1"),
        ("time_s,reading\n0.2,1\n\n0.1,1\n", "row 4, column time_s: the time 0.1 is not after the one before, 0.2"),
        ("time,volts\n0.1,1\n", "row 1: the header is 'time', 'volts'"),
        ("time_s,reading\n", "the file has no readings"),
        ("", "the file is empty"),
        ("0.1\t1\n0.2\t1\n", "row 1: the header is"),
        ('0.1,"1\n0.2,1', "the CSV is broken"),
        (b"0.1,1\n\xff,1\n", "not UTF-8"),
        ("0.1,1\n" * (MOST_READINGS + 3), "at most 100000"),
    ],
)
def test_refused_with_its_place(read, text, said):
    with pytest.raises(DataFileError) as refusal:
        read(text)
    assert said in str(refusal.value)


def test_every_fault_is_told_up_to_twenty(read):
    with pytest.raises(DataFileError) as refusal:
        read("0.1,x\n0.2,y\n0.15,z\n")
    places = [(fault.place.row, fault.place.column) for fault in refusal.value.faults]
    assert places == [(1, "reading"), (2, "reading"), (3, "reading"), (3, "time_s")]
    with pytest.raises(DataFileError) as refusal:
        read("".join(f"{n},x\n" for n in range(50_000)))
    assert len(refusal.value.faults) == MOST_FAULTS


def test_thousandths_count_where_another_number_shows_the_sign(read):
    assert read("0,999;1\n1,000;1\n1,001;1\n")[0] == [0.999, 1.0, 1.001]


def test_a_hundred_thousand_readings_are_read_as_written_and_soon(read):
    rng = np.random.default_rng(0)
    time, reading = np.arange(MOST_READINGS) / 1000, rng.normal(size=MOST_READINGS)
    text = "".join(f"{a:.3f},{b!r}\n" for a, b in zip(time, reading.tolist(), strict=True))
    begin = clock.process_time()
    found = read(text)
    assert clock.process_time() - begin < 4.0
    assert found == [time.tolist(), reading.tolist()]
