"""The run sheet as a page for a browser: the same content as on paper, read aloud well, printed on one sheet."""

from __future__ import annotations

import re

from splashkit.figures.runsheet import drawing_svg
from splashkit.look import escape
from splashkit.runsheet import BOX, Grid, Part, Sheet

BLANK = '<span class="box" role="img" aria-label="blank, to fill in by hand"></span>'
STYLE = """
@page{size:PAPER;margin:8mm 11mm}
body{font:11pt/1.35 "Times New Roman",Times,serif;color:#000;background:#fff;max-width:190mm;
 margin:8mm auto;padding:0 4mm}
h1{font-size:18pt;margin:0 0 2pt}h2{font-size:12.5pt;margin:8pt 0 3pt;border-bottom:1.2pt solid #000}
p{margin:0 0 3pt}.demo{border:1.2pt solid #000;padding:1pt 6pt;font-weight:bold;display:inline-block}
.two{display:grid;grid-template-columns:repeat(auto-fit,minmax(min(100%,80mm),1fr));gap:2mm 8mm;align-items:start}
.flow{columns:2 80mm;column-gap:8mm}.flow>*{break-inside:avoid}.two>*{min-width:0}
.date{white-space:nowrap}
.box{display:inline-block;width:14mm;height:1.05em;border:1pt solid #000;vertical-align:-0.2em}
table{border-collapse:collapse;width:100%}th,td{text-align:left;vertical-align:top;padding:1.5pt 5pt 1.5pt 0;
border-bottom:.5pt solid #777}.log td,.log th{border:.7pt solid #000;padding:2pt 3pt}
 .log td{height:6.1mm;padding:0 3pt}.log th:last-child{width:28%}
svg{max-width:100%;height:auto;display:block}.log{break-before:page}
@media print{body{font-size:9.3pt;line-height:1.16;margin:0;padding:0;max-width:none}h1{font-size:15pt}
h2{font-size:10.5pt;margin:3pt 0 1pt}svg{max-height:60mm}
th,td{padding:.6pt 5pt .6pt 0}.two{grid-template-columns:1fr 1fr}.long{grid-template-columns:4fr 3fr}
p{margin:0 0 1.5pt}}
"""


def to_html(sheet: Sheet) -> bytes:
    """Give the sheet as the bytes of one HTML file that needs nothing else."""
    demo = '<p class="demo">Invented demo numbers: nothing on this sheet was measured.</p>' if sheet.invented else ""
    alt, drawn = escape(sheet.drawing), _hidden(drawing_svg(sheet, 300.0, 235.0))
    drawing = f'<figure role="img" aria-label="{alt}" style="margin:0">{drawn}</figure>'
    style = STYLE.replace("PAPER", "letter" if sheet.paper == "Letter" else sheet.paper)
    body = (
        f"<h1>{escape(sheet.title)}</h1><p>{_line(sheet.wish)} <span class='date'>Date {BLANK}</span></p>{demo}"
        f'<div class="flow">{drawing}{_part(sheet.timer)}{_part(sheet.liquid)}'
        f"{_part(sheet.camera)}{_part(sheet.light)}</div>"
        f"{_grid(sheet.sweep)}"
        f'<div class="two long"><div>{_grid(sheet.faults)}</div>'
        f"<div>{_part(sheet.cautions)}</div></div>{_log(sheet)}{_part(sheet.after)}"
    )
    return (
        f'<!DOCTYPE html>\n<html lang="en"><head><meta charset="utf-8"><title>{escape(sheet.title)}</title>'
        f'<meta name="viewport" content="width=device-width"><style>{style}</style></head><body>{body}</body></html>\n'
    ).encode()


def _hidden(svg: str) -> str:
    return svg.replace("<svg", '<svg aria-hidden="true" focusable="false"', 1)


def _line(line: str) -> str:
    text = re.sub(r"\*(.+?)\*", r"<b>\1</b>", escape(line))
    return text.replace(BOX, BLANK)


def _part(part: Part) -> str:
    lines = "".join(f"<p>{_line(line)}</p>" for line in part.lines)
    return f"<section><h2>{escape(part.title)}</h2>{lines}</section>"


def _grid(grid: Grid) -> str:
    head = "".join(f'<th scope="col">{escape(word) or "Order"}</th>' for word in grid.head)
    rows = "".join("<tr>" + "".join(f"<td>{_line(cell)}</td>" for cell in row) + "</tr>" for row in grid.rows)
    return (
        f"<section><h2>{escape(grid.title)}</h2><table><thead><tr>{head}</tr></thead>"
        f"<tbody>{rows}</tbody></table></section>"
    )


def _log(sheet: Sheet) -> str:
    head = "".join(f'<th scope="col">{escape(word)}</th>' for word in sheet.log.head)
    row = f"<tr>{'<td></td>' * len(sheet.log.head)}</tr>"
    return (
        f'<section class="log"><h2>{escape(sheet.log.title)}</h2><table><thead><tr>{head}</tr></thead>'
        f"<tbody>{row * sheet.log_rows}</tbody></table></section>"
    )
