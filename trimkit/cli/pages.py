"""The verbs that write what a class uses on paper and without Python: lessons as pages, sheets and key."""

from __future__ import annotations

import argparse
from pathlib import Path

from trimkit.parts.errors import BenchError, counted


def add(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the verbs ``page`` and ``course``."""
    page = verbs.add_parser(
        "page",
        help="write a lesson, or all of them, as pages for any browser",
        formatter_class=argparse.RawDescriptionHelpFormatter,
        description="Write a lesson as one HTML file that needs nothing else: its text, room to type, and labs that\n"
        "move without Python. With --all, write every lesson, the glossary and an index into a folder.",
        epilog="""The first writes 02_bore_depth.html into this folder; the second a folder for a stick or a web
server, which takes minutes. For example:

  trimkit page 02
  trimkit page --all class --seed 7""",
    )
    what = page.add_mutually_exclusive_group(required=True)
    what.add_argument("lesson", nargs="?", metavar="LESSON", help="number or name of a lesson, or a notebook file")
    what.add_argument("--all", type=Path, metavar="FOLDER", help="write all lessons, glossary and index into a folder")
    page.add_argument("--to", type=Path, metavar="FILE", help="file to write (default: the lesson's name, here)")
    page.add_argument("--seed", type=int, metavar="NUMBER", help="of the exercises (default: the notebook's own)")
    page.add_argument("--replace", action="store_true", help="overwrite older pages")
    page.set_defaults(run=_page)
    course = verbs.add_parser(
        "course",
        help="write the papers of a class: a sheet for each student, and the key",
        description="Write two pages to print into a folder: a sheet for each student with numbers of their own, and "
        "the key of all lessons. They follow the instructor's plan (notebooks/instructor_plan.ipynb).",
        epilog="For example: trimkit course class_papers --students 12",
    )
    course.add_argument("folder", type=Path, metavar="FOLDER", help="folder to write into; it is made if need be")
    course.add_argument("--students", type=int, default=12, metavar="NUMBER", help="how many (default: 12)")
    course.add_argument(
        "--first-seed", type=int, default=1, metavar="NUMBER", help="of the first student; the next have the next ones"
    )
    course.add_argument("--plan", type=Path, metavar="NOTEBOOK", help="your own copy of the instructor's plan")
    course.add_argument("--replace", action="store_true", help="overwrite older pages")
    course.set_defaults(run=_course)


def _page(chosen: argparse.Namespace) -> str:
    from trimkit.study.page.export import write_page, write_pages

    if chosen.all is None:
        return f"Wrote {write_page(chosen.lesson, chosen.to, seed=chosen.seed, replace=chosen.replace)}."
    if chosen.to is not None:
        raise BenchError("--to is given as well as --all", "one of them", "name the folder with --all alone")
    paths = write_pages(chosen.all, seed=chosen.seed, replace=chosen.replace)
    return f"Wrote {counted(len(paths), 'page')} into {chosen.all}. Open index.html there."


def _course(chosen: argparse.Namespace) -> str:
    from trimkit.study.course.handouts import write_class

    paths = write_class(chosen.folder, chosen.students, chosen.first_seed, plan=chosen.plan, replace=chosen.replace)
    return "\n".join(f"Wrote {path}." for path in paths)
