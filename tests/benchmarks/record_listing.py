"""How long it takes to list a folder of 500 records of ten clubs and four revisions, quickly and in full.

``python tests/benchmarks/record_listing.py [COUNT]`` prints seconds of processor time and milliseconds a record.
"""

import sys
import tempfile
import time
from datetime import UTC, datetime
from pathlib import Path

from trimkit.club.order.order import shipped_order
from trimkit.club.set import build_set
from trimkit.papers.measured import measured_club
from trimkit.papers.record.build import first_record, with_measurements
from trimkit.papers.record.file import record_text
from trimkit.papers.record.listing import listed_records


def measure(count):
    at = datetime(2026, 1, 2, tzinfo=UTC)
    record = first_record(build_set(shipped_order()), at)
    for place in range(3):
        record = with_measurements(record, {place: measured_club(frequency_cpm=300.0)}, at, reason="measured")
    text = record_text(record)
    with tempfile.TemporaryDirectory() as name:
        for number in range(count):
            (Path(name) / f"client {number:03}.record.json").write_text(text, encoding="utf-8")
        for words, in_full in (("what is listed", False), ("in full", True)):
            started = time.process_time()
            found, faults = listed_records(Path(name), in_full=in_full)
            took = time.process_time() - started
            assert (len(found), faults) == (count, ())
            each = f"{took / count * 1e3:.1f} ms each"
            print(f"{count} records of {len(text) / 1e3:.0f} kB, {words}: {took:.2f} s, {each}")


if __name__ == "__main__":
    measure(int(sys.argv[1]) if len(sys.argv) > 1 else 500)
