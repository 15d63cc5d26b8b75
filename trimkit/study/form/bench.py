"""The shop bench: one folder in which a shop works, the parts and the order that its forms share.

``bench = shop_bench()`` is the notebook's first cell; every other cell is one form of it, such as ``plan_form(bench)``.
A form of the bench is a :class:`BenchForm`: as a :class:`trimkit.study.form.frame.Form`, and its answer calls
``bench.changed()`` when it has saved a file or chosen other parts, so that the other forms offer and use what is there
now. All read and write in the bench's folder alone.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from pathlib import Path
from tempfile import TemporaryDirectory
from threading import RLock
from weakref import finalize

from trimkit.club.order.order import Order, open_order, shipped_order
from trimkit.club.shopfile import read_shop, shop_path
from trimkit.club.shoptables import ShopFile
from trimkit.papers.record.store import ENDING
from trimkit.parts.catalogue import SHOP_FILE, Catalogue, load_catalogue
from trimkit.parts.errors import BenchError, Place
from trimkit.parts.rows import TABLES
from trimkit.parts.workbook import is_workbook
from trimkit.study.form.entries import Values
from trimkit.study.form.frame import Form
from trimkit.study.form.orderlines import fault_words
from trimkit.study.form.pieces import MOST_FILES, NOTHING, Answer, Choices, Piece

DEMO_ORDER = NOTHING
"""The name of the order to begin with: the demo's, of no file."""
HERE = "."
"""The bench's own folder, as a folder of parts."""


class ShopBench:
    """Where a shop works in the notebook. Files are named by their paths below ``folder``, with ``/``.

    folder: files are read and written in it alone. own_parts: the name of its folder or workbook of parts, "" for the
    demo's parts only; alone: without the demo's beside them. order_file: the order that is worked on, "" for the
    demo's. lock: held while one of its forms answers. changes, opened: how often :meth:`changed` and :meth:`choose`.
    """

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.own_parts, self.alone, self.order_file = NOTHING, False, DEMO_ORDER
        self.lock, self.forms = RLock(), dict[str, BenchForm]()
        self.changes = self.opened = 0

    # What is chosen

    @property
    def parts_path(self) -> Path | None:
        """The shop's own folder or workbook of parts, as ``--own-parts`` or ``--data`` of the shell; None: no own."""
        return self.path(self.own_parts) if self.own_parts else None

    @property
    def places(self) -> tuple[Path | None, Path | None]:
        """``data`` and ``own_parts``, as :func:`trimkit.club.order.order.open_order` takes them."""
        return (self.parts_path, None) if self.alone else (None, self.parts_path)

    @property
    def shop_folder(self) -> Path | None:
        """The folder in which the shop's own file is, or would be; None without own parts."""
        parts = self.parts_path
        return parts.parent if parts is not None and is_workbook(parts) else parts

    def choose(self, own_parts: str = NOTHING, *, alone: bool = False, order_file: str = DEMO_ORDER) -> Order:
        """Take other parts and another order, tell the other forms, and return the order.

        Raises DataFileError with every fault of the parts, of the shop's own file and of the order; the bench then
        stays as it was.
        """
        before = self.own_parts, self.alone, self.order_file
        self.own_parts, self.alone, self.order_file = own_parts, alone and bool(own_parts), order_file
        try:
            order = self.order()
        except BenchError:
            self.own_parts, self.alone, self.order_file = before
            raise
        self.opened += 1
        self.changed()
        return order

    def changed(self) -> None:
        """Say that a file was saved or something else was chosen: after this answer all other forms look anew."""
        self.changes += 1

    # What is read, each time anew

    def catalogue(self) -> Catalogue:
        """Return the parts, as their tables describe them; raises DataFileError with every fault."""
        data, own_parts = self.places
        return load_catalogue(data, own_folder=own_parts)

    def shop(self, shafts: Iterable[str] | None = None) -> ShopFile | None:
        """Return the shop's own settings, None without its file; raises DataFileError with every fault."""
        path = shop_path(*self.places)
        return None if path is None else read_shop(path, shafts)

    def order(self, name: str | None = None) -> Order:
        """Return an order with the bench's parts and its shop's settings; raises DataFileError with every fault.

        name: of an order file, "" for the demo's, None for the one that is worked on.
        """
        name = self.order_file if name is None else name
        if name != DEMO_ORDER:
            return open_order(self.path(name), *self.places)
        if self.own_parts == NOTHING:
            return shipped_order()
        from trimkit.parts.catalogue import data_folder

        return open_order(data_folder() / "orders" / "evening_class.toml", *self.places)

    def words(self, fault: BenchError) -> str:
        """Return a fault as a sentence for a place that says where it is, as one reads it in a form.

        Files go by their names below the folder, and what is for the shell alone is left out.
        """
        return fault_words(fault).replace(f"{self.folder}/", "").replace(" (--replace in the shell)", "")

    # What is in the folder

    def path(self, name: str) -> Path:
        """Return the path of a file or folder by its name; raises BenchError for one outside the bench's folder."""
        path = self.folder / name
        if not path.resolve().is_relative_to(self.folder.resolve()):
            raise BenchError(f"{name!r} is outside the bench's folder", "a file in it", "copy it there", Place(name))
        return path

    def own_part_places(self) -> tuple[str, ...]:
        """Return the folders and workbooks that can be parts: the bench's own folder ("."), and those right in it."""
        found = [each for each in sorted(self.folder.iterdir()) if not each.is_symlink() and each.name[0] not in ".~"]
        names = [each.name for each in found if (_has_parts(each) if each.is_dir() else is_workbook(each))]
        return ((HERE,) if _has_parts(self.folder) else ()) + tuple(names)

    def order_files(self) -> tuple[str, ...]:
        """Return the order files of the folder, and of the folders in it that have parts."""
        folders = {self.path(name): None for name in (HERE, *self.own_part_places()) if self.path(name).is_dir()}
        return tuple(name for name in self._found("*.toml", list(folders)) if Path(name).name != SHOP_FILE)

    def record_files(self) -> tuple[str, ...]:
        """Return the records of the folder."""
        return self._found(f"*{ENDING}", [self.folder])

    def files(self, *patterns: str) -> tuple[str, ...]:
        """Return the files of the folder, and of the folder of own parts, whose names fit one of the patterns."""
        folders = list(dict.fromkeys(filter(None, (self.folder, self.shop_folder))))
        return tuple(dict.fromkeys(name for pattern in patterns for name in self._found(pattern, folders)))

    def _found(self, pattern: str, folders: Iterable[Path]) -> tuple[str, ...]:
        return tuple(
            each.relative_to(self.folder).as_posix()
            for folder in folders
            for each in sorted(folder.glob(pattern))
            if each.is_file() and not each.is_symlink() and each.name[0] not in ".~"
        )


def _has_parts(folder: Path) -> bool:
    return any((folder / name).is_file() for name in (*TABLES, SHOP_FILE))


def offered(found: Callable[[], Iterable[str]], none: str = "choose a file") -> Callable[[], Choices]:
    """Return choices for a field: names, such as ``bench.order_files``, looked up anew; none: how "no file" reads."""

    def choices() -> Choices:
        return ((none, NOTHING), *((name, name) for name in tuple(found())[:MOST_FILES]))

    return choices


class BenchForm(Form):
    """A form of the bench: answers one at a time with its others, and anew when one of them has changed something.

    Of two with one title the bench knows the newer.
    """

    def __init__(
        self,
        bench: ShopBench,
        pieces: Sequence[Piece],
        answer: Callable[[str, Values], Answer],
        still: Callable[[], str] | None = None,
        title: str = "Form",
    ) -> None:
        super().__init__(pieces, answer, still, title)
        self.join(bench)

    def join(self, bench: ShopBench) -> None:
        """Become a form of the bench."""
        self.bench, self._lock = bench, bench.lock
        bench.forms[self.title] = self

    def press(self, name: str) -> None:
        """Press a button by its name, or answer what is in the fields (""); then let the bench's other forms look."""
        with self.bench.lock:
            before = self.bench.changes
            try:
                super().press(name)
            finally:
                if self.bench.changes != before:
                    for other in [each for each in self.bench.forms.values() if each is not self]:
                        other.look_again()

    def look_again(self) -> None:
        """Answer anew, as for typing: files or parts have changed."""
        self._changed()


def shop_bench(folder: Path | str | None = None) -> ShopBench:
    """Return the bench of a folder, the notebook's unless given; raises BenchError if it is not there."""
    path = Path.cwd() if folder is None else Path(folder)
    if not path.is_dir():
        raise BenchError(f"{path} is not a folder", "a folder that is there", "make it in the file browser first")
    return ShopBench(path)


def practice_bench() -> ShopBench:
    """Return a bench in a folder of its own, which is deleted with it: to try things of which nothing stays."""
    folder = TemporaryDirectory(prefix="trimkit-")
    bench = shop_bench(folder.name)
    finalize(bench, folder.cleanup)
    return bench
