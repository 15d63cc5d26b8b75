"""A folder of records: each saved whole, by one writer at a time, with no revision ever lost or changed."""

from __future__ import annotations

import os
from dataclasses import dataclass
from pathlib import Path

from trimkit.papers.record.file import read_record, record_text
from trimkit.papers.record.model import Record
from trimkit.parts.csvfile import read_text
from trimkit.parts.errors import Place, SaveError
from trimkit.parts.saving import cannot_save, checked_name, one_writer, save_text

ENDING = ".record.json"


@dataclass(frozen=True)
class RecordFolder:
    """A folder of records, each under a name; nothing outside the folder is read or written."""

    folder: Path

    def path(self, name: str) -> Path:
        """Return the path of the record of that name: ``NAME.record.json`` in the folder.

        Raises SaveError as :func:`trimkit.parts.saving.checked_name`, and for a link.
        """
        path = self.folder / f"{checked_name(name)}{ENDING}"
        if path.is_symlink():
            raise SaveError(
                f"{path} is a link to somewhere else", "a record in the folder itself", "put the record there"
            )
        return path

    def names(self) -> tuple[str, ...]:
        """Return the names of the records in the folder, sorted; none if the folder does not exist yet."""
        if not self.folder.is_dir():
            return ()
        return tuple(sorted(path.name.removesuffix(ENDING) for path in self.folder.glob(f"*{ENDING}")))

    def read(self, name: str) -> Record:
        """Return the record of that name; raises DataFileError if it is missing or damaged."""
        return read_file(self.path(name))

    def save(self, name: str, record: Record) -> Path:
        """Save a record under a name and return its path.

        An existing record is only replaced by one that holds all its revisions unchanged. Raises SaveError if this one
        does not, if another writer is at work, or if the disk refuses; the record on disk is then as it was.
        """
        return save_record(self.path(name), record)


def record_path(path: Path) -> Path:
    """Return the path of a record in its folder; raises SaveError for a link, and for a name no record can have."""
    if not path.name.endswith(ENDING):
        raise SaveError(
            f"{path.name!r} is not a record's name", f"a name that ends in {ENDING}", f"name it NAME{ENDING}"
        )
    return RecordFolder(path.parent).path(path.name.removesuffix(ENDING))


def read_file(path: Path) -> Record:
    """Return the record in a file; raises DataFileError holding every fault, each with its place."""
    return read_record(read_text(path), path.name)


def save_record(path: Path, record: Record) -> Path:
    """Save a record under a path, as :meth:`RecordFolder.save` does under a name."""
    text = record_text(record)
    with one_writer(path.parent):
        try:
            there = os.path.lexists(path)
        except OSError as error:
            raise cannot_save(path, error) from error
        if there:
            _refuse_loss(path, read_file(path), record)
        return save_text(path, text, replace=there)


def _refuse_loss(path: Path, old: Record, new: Record) -> None:
    count = len(old.revisions)
    if new.revisions[:count] == old.revisions:
        return
    raise SaveError(
        f"the record to be saved does not carry every revision of the file (it holds {count}) unchanged; somebody else "
        "may have saved it in the meantime",
        "a record that has grown from the one in the file",
        "open the file again and revise that, or save under another name",
        Place(str(path)),
    )
