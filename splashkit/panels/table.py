"""A table for a page: head, rows, and a caption. Every cell is text, never markup, unless it says so."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from splashkit.look import escape


class Markup(str):
    """A cell that is markup already, such as a link; made by a panel, never typed by a person."""

    __slots__ = ()


def html_table(
    head: Sequence[str], rows: Iterable[Sequence[str]], caption: str = "", look: str = "",
    caption_look: str = "text-align:left", named: bool = False,
) -> str:  # fmt: skip
    """Write a table; with ``named`` the first cell of each row is its name, which screen readers repeat."""
    style = f' style="{look}"' if look else ""
    above = f'<caption style="{caption_look}">{escape(caption)}</caption>' if caption else ""
    names = "".join(f'<th scope="col">{escape(word)}</th>' for word in head)
    body = "".join(f"<tr>{_row(cells, named)}</tr>" for cells in rows)
    return f"<table{style}>{above}<thead><tr>{names}</tr></thead><tbody>{body}</tbody></table>"


def _row(cells: Sequence[str], named: bool) -> str:
    written = [cell if isinstance(cell, Markup) else escape(cell) for cell in cells]
    first = f'<th scope="row">{written.pop(0)}</th>' if named else ""
    return first + "".join(f"<td>{cell}</td>" for cell in written)
