"""One look for figures, panels and exercises: colours, and the style sheet of the page.

Nothing is imported here, so every room may use it. Colours are the Okabe-Ito set, chosen to be
told apart by people with any kind of colour sight (Okabe & Ito, Color Universal Design, 2008).
They are never the only sign: figures add line styles, markers and direct labels.

The style sheet touches only our own class names (``splash-...``) and is written inside each
panel, so nothing else on the page changes. Text sizes: 15 px is 11.25 pt.
"""

from __future__ import annotations

import re

BLUE, VERMILION, GREEN, PURPLE = "#0072B2", "#D55E00", "#007A5A", "#A8437F"
ORANGE, SKY, BLACK, GREY = "#E69F00", "#56B4E9", "#1B2430", "#5B6672"
PAPER, GRID = "#FFFFFF", "#DDE3E8"
AMBER = "#B97A00"  # orange for a line on paper: 3.6 to 1
# the same hues for words: 4.5 to 1 on paper and on each tint that figures put under words
INK = {BLUE: "#00507D", VERMILION: "#8F3B00", GREEN: "#005C44", PURPLE: "#7A2A59", GREY: "#4A545F"}

_UNITS = (
    "m/s²?|[µmn]?s|[mcµ]?m|m?L|µL|m?g|kg|mPa s|Pa s|mN/m|k?Hz|mm²/s|kg/m³|°[CF]|lx|%|in|ft|qt|fl oz|stops?|frames?|px"
)
_QUANTITY = re.compile(rf"(?<![\w.])[−±+-]?\d[\d.,]* (?:{_UNITS})(?!\w)")

CSS = """<style>
.splash-kept{white-space:nowrap}
.splash-card{--jp-widgets-font-size:15px;--jp-widgets-inline-height:34px;--jp-widgets-inline-margin:0px;
 max-width:1000px;box-sizing:border-box;padding:16px 20px 18px;border:1px solid var(--jp-border-color2,#d5dade);
 border-radius:10px;background:var(--jp-layout-color1,#fff);color:var(--jp-content-font-color1,#1b2430);
 font-size:15px;line-height:1.5;overflow:visible}
.splash-card .widget-html,.splash-card .widget-html-content{height:auto;line-height:1.5;font-size:15px;
 color:var(--jp-content-font-color1,#1b2430);overflow:visible;white-space:normal}
.splash-card>.widget-html{width:100%;align-self:stretch}
.splash-card .widget-html-content{width:100%}
.splash-title{font-size:20px;font-weight:600;line-height:1.3;margin:0 0 10px}
.splash-lead{margin:0 0 8px;max-width:46em}
.splash-controls{display:grid;grid-template-columns:repeat(auto-fit,minmax(min(100%,330px),1fr));gap:12px 26px;
 margin-bottom:12px;overflow:visible;align-items:end}
.splash-controls>*{width:auto;min-width:0;overflow:visible}
.splash-control{overflow:visible;min-width:0}
.splash-control.widget-hbox{align-items:flex-end;gap:6px;flex-wrap:wrap}
.splash-control .widget-text,.splash-control .widget-dropdown{flex-direction:column;align-items:stretch;height:auto;
 margin:0}
.splash-control .widget-text{width:auto;flex:1 1 7em;min-width:6.5em;max-width:12em}
.splash-control .widget-dropdown,.splash-control .widget-dropdown select{width:100%}
.splash-control .widget-label{width:auto;max-width:none;text-align:left;overflow:visible;white-space:nowrap;height:auto;
 line-height:1.35;padding-bottom:3px;color:var(--jp-content-font-color1,#1b2430)}
.splash-control .widget-text input,.splash-control select{height:34px;box-sizing:border-box;border-radius:6px;
 padding:0 10px;width:100%;max-width:100%;flex:0 0 auto}
.splash-control select{padding-right:34px;background-repeat:no-repeat;background-position:right 10px center;
 background-size:14px;background-image:url("data:image/svg+xml,%3Csvg xmlns='http://www.w3.org/2000/svg' \
viewBox='0 0 14 9'%3E%3Cpath d='M1 1l6 6 6-6' fill='none' stroke='%23808a94' \\
stroke-width='2'/%3E%3C/svg%3E")}
.splash-control .widget-checkbox{width:auto;height:auto}
.splash-control .widget-checkbox .widget-label-basic{display:flex;gap:8px;align-items:center;white-space:normal;
 width:auto}
.splash-control button,.splash-row button,.splash-actions button{margin:0}
.splash-step{width:34px;min-width:34px;height:34px;padding:0;border-radius:6px;flex:0 0 34px;font-size:0!important}
.splash-step::before{font-size:19px;line-height:32px}
.splash-less::before{content:"\\2212"}.splash-more::before{content:"+"}
.splash-slider{flex:1 1 80px;min-width:80px;width:auto;height:34px;margin:0 6px 0 12px;overflow:visible}
.splash-slider .slider-container{overflow:visible}
.splash-slider .noUi-handle{visibility:hidden}
.splash-slider .noUi-touch-area{visibility:visible;background:#0072B2;border-radius:50%;cursor:grab}
.splash-slider .noUi-connect{background:#5f9fc6}
.splash-row{flex-wrap:wrap;gap:8px;overflow:visible;align-items:center;margin-bottom:10px}
.splash-row .widget-button,.splash-actions .widget-button{width:auto;padding:4px 14px;border-radius:17px;height:auto;
 min-height:34px;white-space:normal;line-height:1.3;max-width:100%}
.splash-card .widget-upload{width:auto;max-width:100%;height:auto;min-height:34px;white-space:normal;line-height:1.3}
.splash-done{margin-bottom:10px}
.splash-done:not(:focus-within){visibility:hidden}
.splash-spoken,.splash-spoken>.widget-html{width:100%;margin:0;overflow:visible}
.splash-actions{flex-wrap:wrap;gap:8px;margin-top:10px;overflow:visible}
.splash-view{flex-wrap:wrap;gap:12px;align-items:flex-start;overflow:visible;width:100%}
.splash-static{display:flex;flex-wrap:wrap;gap:12px}.splash-static>.splash-figure{flex:1 1 360px}
.splash-figure{position:relative;width:100%;background:#fff;border:1px solid #dde3e8;border-radius:8px;overflow:hidden;
 color:#1b2430;box-sizing:border-box}
.splash-figure svg{position:absolute;left:0;top:0;width:100%;height:100%;display:block}
.splash-photos{display:flex;flex-wrap:wrap;gap:12px;align-items:flex-start}
.splash-photo{margin:0;width:100%}
.splash-photo img{display:block;width:100%;height:auto;border-radius:8px;background:#000}
.splash-photo figcaption{font-size:15px;padding-top:4px}
.splash-stale{opacity:.32;filter:grayscale(1)}
.splash-stale-note{font-size:15px;margin:6px 0 0;font-style:italic}
.splash-sentence{border-left:5px solid #0072B2;padding:6px 0 6px 14px;margin:12px 0 0;font-size:17px;line-height:1.5;
 max-width:46em;min-height:3em}
.splash-refused{border-left-color:#D55E00}.splash-mistake{border-left:5px double #D55E00}
.splash-yes,.splash-no{margin-top:10px}
.splash-yes{border-left:5px solid #007A5A;padding-left:12px}.splash-no{border-left:5px dashed #D55E00;padding-left:12px}
.splash-cover{padding:18px 0;font-size:16px}
.splash-card .widget-radio,.splash-card .widget-radio-box{width:100%;height:auto;max-width:100%}
.splash-card .widget-radio{flex-direction:column;align-items:flex-start}
.splash-card .widget-radio-box label{font-size:15px;height:auto;line-height:1.45;white-space:normal;width:100%;
 display:flex;flex-direction:row-reverse;justify-content:flex-end;align-items:flex-start;gap:8px;margin-bottom:6px;
 max-width:46em}
.splash-card .widget-radio-box label{animation:splash-radio 1ms}
@keyframes splash-radio{}
.splash-card .widget-radio-box input{margin:4px 0 0;flex:0 0 auto;height:16px;width:16px}
.splash-card details{margin:10px 0 0}.splash-card summary{cursor:pointer;font-weight:600}
.splash-card details[open] summary{margin-bottom:6px}
.splash-card math{font-size:19px}
.splash-card .splash-step-row{margin:2px 0;padding:6px 0 4px;container-type:inline-size;
 overflow-x:auto;overflow-y:hidden}
.splash-card .splash-step-row math{font-size:clamp(12px,2.8cqw,19px)}
.splash-card dl{margin:0}.splash-card dl dt{display:block;float:none;width:auto;max-width:none;font-weight:600}
.splash-card dl dd{display:block;float:none;width:auto;margin:0 0 6px 1.2em;padding:0;overflow:visible}
.splash-card tbody th{font-weight:400}
.splash-spoken~.splash-view{margin-top:12px}
.splash-card table{border-collapse:collapse;font-size:15px}
.splash-card th,.splash-card td{
 padding:4px 12px 4px 0;text-align:left;border-bottom:1px solid var(--jp-border-color2,#d5dade)}
.splash-card button:focus-visible,.splash-card input:focus-visible,.splash-card select:focus-visible,
.splash-card summary:focus-visible,.splash-card a:focus-visible{outline:3px solid #0072B2!important;outline-offset:2px}
[data-jp-theme-light=false] .splash-card :focus-visible{outline-color:#56B4E9!important}
@media (forced-colors:active){
.splash-figure,.splash-photo img{forced-color-adjust:none}
.splash-card button{border:1px solid ButtonText}
.splash-slider .noUi-target{border:1px solid ButtonText}
.splash-slider .noUi-touch-area{forced-color-adjust:none;background:Highlight}
.splash-card :focus-visible{outline-color:Highlight!important}}
</style>"""


def together(markup: str) -> str:
    """Keep each number on one line with its unit; the words stay what they are, with plain spaces."""
    return _QUANTITY.sub(r'<span class="splash-kept">\g<0></span>', markup)


def escape(text: str) -> str:
    """Make plain text safe inside markup and attributes."""
    return text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;").replace('"', "&quot;")
