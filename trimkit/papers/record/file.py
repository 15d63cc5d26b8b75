"""A record's text: written in one way only, read strictly, and converted from older versions.

Reading runs no code and fills no gap: plain JSON, every number finite, every name once, every value where it belongs,
and every fault reported with its place.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from typing import Any, NoReturn

from pydantic import ValidationError
from pydantic_core import PydanticSerializationError

from trimkit.papers.record.model import FORMAT, VERSION, Record
from trimkit.parts.csvfile import MAX_FILE_BYTES
from trimkit.parts.errors import BenchError, DataFileError, Place, SaveError

Document = dict[str, Any]

MOST_NAMES = 100
MOST_IN_A_LIST = 5_000
"""Most entries of one list: more than any record needs, few enough to report a file full of faults quickly; chosen
here."""


def record_text(record: Record) -> str:
    """Return a record as JSON text that :func:`read_record` reads back as the same record.

    Raises DataFileError for a record that could not be read back, and SaveError if it has outgrown a file (10 MB).
    """
    try:
        document = record.model_dump(mode="json", exclude_unset=True)
    except PydanticSerializationError:
        raise _refused("the record", "it holds half of a surrogate pair", "text", "write the words again") from None
    _checked(document, "the record")
    text = json.dumps(document, indent=1, ensure_ascii=False, allow_nan=False) + "\n"
    if len(text.encode("utf-8")) > MAX_FILE_BYTES:
        raise SaveError(
            f"the record has grown to more than {MAX_FILE_BYTES // 10**6} MB",
            f"at most {MAX_FILE_BYTES // 10**6} MB, which is what can be read back",
            "start a new record with this build as its first revision",
        )
    return text


def read_record(text: str, file: str = "the record") -> Record:
    """Return the record in a text of this version or an older one.

    file: what the faults call it. Raises DataFileError holding every fault of the first club that has any, each with
    its place in the document, or the one fault that the record is of a newer version.
    """
    document = _document(text, file)
    if document.get("format") != FORMAT:
        raise _refused(file, "it is not a trimkit record", f"a document with format {FORMAT!r}", "open another file")
    version = document.get("version")
    if isinstance(version, bool) or not isinstance(version, int) or version < 1:
        raise _refused(file, f"its version is {version!r}", f"a number from 1 to {VERSION}", "restore a good copy")
    if version > VERSION:
        raise _refused(
            file,
            f"it was written by a newer trimkit (record version {version})",
            f"versions up to {VERSION}",
            "bring trimkit up to date; the file is left as it is",
        )
    while version < VERSION:
        try:
            document = MIGRATIONS[version](document)
        except (KeyError, TypeError, AttributeError) as error:
            raise _refused(
                file, f"it is a damaged record of version {version} ({error!r})", "a whole one", "restore a good copy"
            ) from None
        version += 1
    return _checked(document, file)


def _from_1(old: Document) -> Document:
    """Version 1, the first draft, held one build: no history, no decisions, no standard deviation of the frequency."""
    clubs = [
        club | {"decisions": [], "findings": [], "predicted": club["predicted"] | {"frequency_sd_cpm": None}}
        for club in old["clubs"]
    ]
    kept = {name: value for name, value in old.items() if name not in ("format", "version", "clubs")}
    revision = kept | {"number": 1, "reason": "first plan", "clubs": clubs}
    return {"format": FORMAT, "version": 2, "revisions": [revision]}


def _from_2(old: Document) -> Document:
    """Version 2 did not know for which BBGL a taper-tip family's raw lengths are made."""
    revisions = []
    for revision in old["revisions"]:
        rows = [row | {"bbgl_reference_in": None} for row in revision["parts"]["raw_lengths"]]
        revisions.append(revision | {"parts": revision["parts"] | {"raw_lengths": rows}})
    return old | {"version": 3, "revisions": revisions}


def _from_3(old: Document) -> Document:
    """Version 3 knew one shaft and one grip for all clubs of a set, and no maker's limit on the tip trim.

    Every club had a prediction and every tube section a wall; both may be null since. A prediction was that of the club
    without the weight that its wanted swingweight needs.
    """
    revisions = []
    for revision in old["revisions"]:
        parts = {name: value for name, value in revision["parts"].items() if name not in ("shaft", "grip")}
        shaft, grip = revision["parts"]["shaft"] | {"most_tip_trim_in": None}, revision["parts"]["grip"]
        named = {"shaft": shaft["name"], "grip": grip["name"]}
        clubs = [
            club | named | {"predicted": club["predicted"] | {"add_tip_weight_g": 0.0}} for club in revision["clubs"]
        ]
        revisions.append(revision | {"parts": parts | {"shafts": [shaft], "grips": [grip]}, "clubs": clubs})
    return old | {"version": 4, "revisions": revisions}


def _from_4(old: Document) -> Document:
    """Version 4 knew no settings of the shop's own: every shaft was as stiff as it was described."""
    revisions = []
    for revision in old["revisions"]:
        shafts = [shaft | {"ei_factor": 1.0} for shaft in revision["parts"]["shafts"]]
        revisions.append(revision | {"shop": None, "parts": revision["parts"] | {"shafts": shafts}})
    return old | {"version": 5, "revisions": revisions}


MIGRATIONS: dict[int, Callable[[Document], Document]] = {1: _from_1, 2: _from_2, 3: _from_3, 4: _from_4}
"""For each older version, what converts it to the next."""


def _refused(file: str, given: str, allowed: str, next_step: str, key: str | None = None) -> DataFileError:
    return DataFileError((BenchError(given, allowed, next_step, Place(file, key=key)),))


def _document(text: str, file: str) -> Document:
    def constant(name: str) -> NoReturn:
        raise ValueError(f"{name} is not a number")

    def once(pairs: list[tuple[str, Any]]) -> Document:
        found = dict(pairs)
        if len(found) < len(pairs):
            raise ValueError("a name is given twice in one place")
        if len(pairs) > MOST_NAMES:
            raise ValueError(f"{len(pairs)} names are in one place")
        return found

    try:
        document = json.loads(text, parse_constant=constant, object_pairs_hook=once)
    except RecursionError:
        raise _refused(file, "it is nested too deeply", "a trimkit record", "restore a good copy") from None
    except ValueError as error:
        raise _refused(file, f"it is not a JSON document ({error})", "a whole one", "restore a good copy") from None
    if not isinstance(document, dict):
        raise _refused(file, "it is not a trimkit record", "a document of names and values", "open another file")
    return document


def _longest_list(part: Any) -> int:
    if isinstance(part, dict):
        return max((_longest_list(each) for each in part.values()), default=0)
    return max(len(part), *(_longest_list(each) for each in part)) if isinstance(part, list) and part else 0


def _checked(document: Document, file: str) -> Record:
    try:
        if (count := _longest_list(document)) > MOST_IN_A_LIST:
            raise _refused(file, f"a list of {count} is in it", f"at most {MOST_IN_A_LIST}", "restore a good copy")
        text = json.dumps(document, ensure_ascii=False)
        record = Record.model_validate_json(text.encode("utf-8"))
    except UnicodeEncodeError:
        raise _refused(file, "it holds half of a surrogate pair", "text", "restore a good copy") from None
    except RecursionError:
        raise _refused(file, "it is nested too deeply", "a trimkit record", "restore a good copy") from None
    except ValidationError as error:
        faults = [
            BenchError(
                _said(detail["msg"]), "what record.schema.json says", "restore a good copy", _place(file, detail["loc"])
            )
            for detail in error.errors(include_input=False, include_url=False)
        ]
        raise DataFileError(tuple(faults)) from None
    missing = [
        BenchError(
            "a value is missing or was changed", "every value written out", "restore a good copy", _place(file, loc)
        )
        for loc in _differing(document, record.model_dump(mode="json", exclude_unset=True), ())
    ]
    if missing:
        raise DataFileError(tuple(missing))
    return record


def _said(message: str) -> str:
    return message.removeprefix("Value error, ").split(". Allowed:")[0].rstrip(".")


def _place(file: str, loc: tuple[int | str, ...]) -> Place:
    return Place(file, key=" > ".join(str(part + 1) if isinstance(part, int) else part for part in loc) or None)


def _differing(given: Any, understood: Any, loc: tuple[int | str, ...]) -> Iterator[tuple[int | str, ...]]:
    """Yield the places where the record differs from the text: a gap that was filled, a value that was converted."""
    if isinstance(given, dict) and isinstance(understood, dict):
        for name in given.keys() | understood.keys():
            if name in given and name in understood:
                yield from _differing(given[name], understood[name], (*loc, name))
            else:
                yield (*loc, name)
    elif isinstance(given, list) and isinstance(understood, list) and len(given) == len(understood):
        for number, (one, other) in enumerate(zip(given, understood, strict=True)):
            yield from _differing(one, other, (*loc, number))
    elif given != understood or isinstance(given, bool) != isinstance(understood, bool):
        yield loc
