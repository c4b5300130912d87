"""Hand-outs: every lesson as a page to read and print, for people with no kernel.

``python -m splashkit handouts`` writes them. Each lesson is run once, in a kernel of its own, with the
demo rig and a seed. Its panels become pictures at their start settings, its questions get space to write,
and predictions and solutions come at the end. The pages need no network: pictures and style are inside.
The questions are those of ``exercises.question_sheet(seed)``, so a room and its paper agree.

This room runs notebooks (nbclient) and reads Markdown (nbconvert). Both come with JupyterLab.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path

from splashkit import course
from splashkit.exercises import base
from splashkit.handouts import lesson, page


def chosen(wanted: Sequence[str] = ()) -> list[Path]:
    """Find the lessons asked for, all of them if none is named; refuse a number that is no lesson."""
    present = {path.name[:2]: path for path in sorted(course.source().glob("[0-9][0-9]_*.ipynb"))}
    names = [base.lesson_name(one) for one in wanted] or list(present)
    missing = [name for name in names if name not in present]
    if missing:
        raise ValueError(
            f"The lesson must be one of {', '.join(present)}; got {', '.join(missing)}. To fix it: choose one of these."
        )
    return [present[name] for name in names]


def write(folder: Path, wanted: Sequence[str] = (), seed: int = 1) -> Iterator[Path]:
    """Write the pages one by one, and give the path of each once it is there; the index comes last."""
    lessons = chosen(wanted)
    folder.mkdir(parents=True, exist_ok=True)
    entries = []
    for source in lessons:
        heading, body = lesson.page_body(source, seed)
        target = folder / f"{source.stem}.html"
        target.write_text(page.whole(heading, body), encoding="utf-8")
        entries.append((target.name, heading))
        yield target
    for source in sorted(course.source().glob("*.md")):
        heading, body = page.from_markdown(source)
        target = folder / f"{source.stem}.html"
        target.write_text(page.whole(heading, body, look=source.stem), encoding="utf-8")
        entries.append((target.name, heading))
        yield target
    heading, body = lesson.timeline_body()
    target = folder / "timeline.html"
    target.write_text(page.whole(heading, body, look="timeline"), encoding="utf-8")
    entries.append((target.name, heading))
    yield target
    index = folder / "index.html"
    index.write_text(page.whole("Hand-outs", page.index(entries, seed)), encoding="utf-8")
    yield index
