"""A page to read and print: style, Markdown, formulas and links, all inside one file."""

from __future__ import annotations

import base64
import io
import re
from collections.abc import Sequence
from functools import cache
from pathlib import Path

from matplotlib import mathtext
from matplotlib.font_manager import FontProperties
from nbconvert.filters import markdown2html

from splashkit.look import CSS, escape

STYLE = """<style>
@page{size:A4;margin:12mm 13mm 14mm}
:root{color-scheme:light}
body{font:12pt/1.5 system-ui,"Segoe UI","DejaVu Sans",sans-serif;color:#1b2430;background:#fff;max-width:46em;
 margin:2em auto;padding:0 1em}
h1{font-size:1.7em;line-height:1.25}h2{font-size:1.3em;margin-top:1.6em;border-bottom:1px solid #d5dade}
h1,h2,h3,.splash-title{break-after:avoid}
p,li,dd{orphans:3;widows:3}a{color:#00558c}
table{border-collapse:collapse;margin:.8em 0}th,td{border-bottom:1px solid #d5dade;padding:4px 12px 4px 0;
 text-align:left;vertical-align:top}tr,.splash-figure,.splash-photo,.card{break-inside:avoid}
code,pre{font:11pt/1.4 ui-monospace,"DejaVu Sans Mono",monospace;white-space:pre-wrap;overflow-wrap:anywhere}
pre{background:#f2f5f7;padding:8px 12px;border-radius:6px;margin:.5em 0}
.splash-card{max-width:none;padding:10px 14px;margin:.8em 0}
.splash-static>.splash-figure{flex:1 1 calc(.74*var(--wide,420px))}.splash-static>.splash-photos{flex:1 1 100%}
.splash-static>.splash-photos:has(>.splash-photo:only-child){flex:1 1 220px}
.splash-photo{flex:1 1 220px;width:auto;max-width:100mm}
.splash-sentence{min-height:0;font-size:12pt}
.set,.note{font-size:11pt;margin:.4em 0 0}
.line{display:inline-block;min-width:9em;border-bottom:1px solid #1b2430;margin:0 .3em}
.space{height:32mm;border:1px solid #b9c2ca;border-radius:6px;margin:.5em 0}
.choices{list-style:none;padding-left:.3em}.choices li::before{content:"\\2610";padding-right:.6em}
.fields{columns:2;column-gap:2em;padding:0;list-style:none}.fields li{break-inside:avoid;margin-bottom:.5em}
.new{break-before:page}details{margin:.8em 0;break-inside:avoid}summary{font-weight:600;cursor:pointer}
img.tex{display:inline-block}p>img.tex.block{display:block;margin:.6em 0}
@media print{body{margin:0;padding:0;max-width:none;font-size:10.5pt;line-height:1.38}
 a{color:inherit;text-decoration:none}.screen{display:none}
 h2{margin-top:1.1em}p,ul,ol{margin:.55em 0}code,pre{font-size:9.5pt}
 .splash-card{border-color:#b9c2ca;padding:6px 8px;margin:.6em 0;break-inside:avoid}
 .splash-static{gap:6px}.splash-static>.splash-figure{max-width:calc(.8*var(--wide,420px))!important}
 .splash-photos{gap:6px}.splash-photo figcaption,.splash-card table{font-size:9.5pt}
 .splash-sentence{font-size:10.5pt;line-height:1.38;margin:6px 0 0}.set,.note{font-size:9.5pt}
 .splash-card:has(>.splash-working),details{break-inside:auto}summary,details>p{break-after:avoid}
 .splash-working{break-inside:avoid}.splash-working ul{columns:2;column-gap:2em;margin:.2em 0 .8em}
 .splash-working li{break-inside:avoid}.splash-card math,.splash-card .splash-step-row math{font-size:16px}
 .splash-card .splash-step-row{margin:0;padding:2px 0}
 .splash-card>dl{columns:2;column-gap:2em}dt{break-after:avoid}dd{break-inside:avoid}}
</style>"""
LOOKS = {
    "glossary": "<style>@page{margin:12mm}@media print{body{font-size:10pt;line-height:1.32;columns:2;column-gap:8mm}"
    "h1{column-span:all;margin:0 0 .3em}p{margin:.3em 0;break-inside:avoid}h2{margin:.7em 0 .3em}}</style>",
    "timeline": "<style>@page{size:A4 landscape;margin:12mm}body{max-width:76em}h1{margin:0}h2{margin:.5em 0}"
    ".splash-card{display:grid;grid-template-columns:172mm 1fr;gap:0 8mm;margin:.3em 0}.splash-title{grid-column:1/3}"
    ".turn{break-before:page}.draw{border-collapse:collapse;width:100%}.draw th{text-align:left;font-weight:400;"
    "white-space:nowrap;padding-right:3mm}.draw td{border:1px solid #9aa5ad;width:6.5mm;height:13mm}"
    ".splash-sentence{align-self:start}dl{columns:3;margin:0}dt{break-after:avoid;font-weight:600}"
    "@media print{body{font-size:10pt;line-height:1.3}}</style>",
}
# a folded solution must not stay folded on paper
OPEN_FOR_PRINT = (
    "<script>addEventListener('beforeprint',()=>{for(const d of document.querySelectorAll('details'))d.open=true})"
    "</script>"
)


def whole(heading: str, body: str, look: str = "") -> str:
    """Give a whole page from its heading and its body, which holds the heading too."""
    # panels and prose link to notebooks and to .md pages; here these are .html pages
    body = re.sub(r"""(href=["'][^"':#]*)\.(?:ipynb|md)(?=[#"'])""", r"\1.html", body)
    style = CSS.replace("</style>", "") + STYLE.replace("<style>", "") + LOOKS.get(look, "")
    return (
        f'<!DOCTYPE html>\n<html lang="en"><head><meta charset="utf-8"><title>{escape(heading)}</title>'
        f'<meta name="viewport" content="width=device-width,initial-scale=1">{style}</head>'
        f"<body><main>{body}</main>{OPEN_FOR_PRINT}</body></html>\n"
    )


@cache
def formula(tex: str, block: bool = False) -> str:
    """Draw a formula as a picture inside the page, named by its letters."""
    out = io.BytesIO()
    size = FontProperties(size=19 if block else 12)  # fractions set their parts smaller
    depth = mathtext.math_to_image(f"${tex}$", out, prop=size, dpi=72, format="svg", color="#1b2430")
    data = base64.b64encode(out.getvalue()).decode("ascii")
    words = re.sub(r"\\[dt]?frac\{(.*?)\}\{(.*?)\}", r"(\1)/(\2) ", tex)
    words = re.sub(r"\\,|[{}\\]", "", words)
    place = ' class="tex block"' if block else f' class="tex" style="vertical-align:{-float(depth):.1f}pt"'
    return f'<img{place} alt="{escape(words.strip())}" src="data:image/svg+xml;base64,{data}">'


def markdown(text: str) -> str:
    """Turn a lesson's prose into markup: formulas drawn, links to the other pages."""
    kept: list[str] = []

    def keep(block: bool) -> object:
        def hold(found: re.Match[str]) -> str:
            kept.append(formula(found[1].strip(), block))
            return f"@@tex{len(kept) - 1}@@"

        return hold

    text = re.sub(r"\$\$(.+?)\$\$", keep(True), text, flags=re.S)  # type: ignore[call-overload]
    text = re.sub(r"\$([^$\n]+)\$", keep(False), text)  # type: ignore[call-overload]
    made = str(markdown2html(text))
    made = re.sub(r'<a class="anchor-link".*?</a>', "", made)
    return re.sub(r"@@tex(\d+)@@", lambda found: kept[int(found[1])], made)


def from_markdown(source: Path) -> tuple[str, str]:
    """Give heading and body of a page that lies beside the lessons."""
    text = source.read_text(encoding="utf-8")
    heading = re.search(r"^# +(.+)$", text, re.M)
    return (heading[1].strip() if heading else source.stem), markdown(text)


def index(entries: Sequence[tuple[str, str]], seed: int) -> str:
    """Give the list of all pages."""
    rows = "".join(f'<li><a href="{escape(name)}">{escape(heading)}</a></li>' for name, heading in entries)
    return (
        "<h1>Hand-outs</h1><p>The lessons as pages to read and to print. The numbers belong to an invented rig: "
        f"measure your own. The questions were drawn with the seed {seed}.</p><ul>{rows}</ul>"
    )
