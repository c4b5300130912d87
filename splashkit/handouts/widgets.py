"""From what a lesson shows on the screen to what paper can hold.

A panel brings its own still picture. Everything else is walked, part by part: text stays text, boxes
become space to write, choices become squares to tick, buttons and sliders go.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from splashkit.look import escape

VIEW = "application/vnd.jupyter.widget-view+json"
State = Mapping[str, Any]
SOLUTION = re.compile(r"<details><summary>Worked solution</summary>(.*)</details>", re.S)


def bare(markup: str) -> str:
    """Take out the style, which the page has once, and links to files that only a kernel can make."""
    markup = re.sub(r"<style>.*?</style>", "", markup, flags=re.S)
    # how wide a figure is by itself, so that two stand in a row of the page where they can be read
    markup = re.sub(
        r'(<div class="splash-figure"[^>]*style=")max-width:([\d.]+pt)', r"\1--wide:\2;max-width:\2", markup
    )
    return re.sub(r"<a\b[^>]*\bdownload=.*?</a>", "", markup, flags=re.S)


def output(given: Any, state: State) -> tuple[str, list[str]]:
    """Turn one output into markup, and give the worked solutions that were folded in it."""
    data = given.get("data", {})
    solutions: list[str] = []
    name = data.get(VIEW, {}).get("model_id", "")
    if name and "text/html" in data:  # a panel: its picture, and where its controls stand
        return bare("".join(data["text/html"])) + _settings(name, state), []
    if name:
        inner = _walk(name, state, solutions)
        return (f'<div class="splash-card card">{inner}</div>' if inner.strip() else ""), solutions
    if "text/html" in data:
        return bare("".join(data["text/html"])), []
    if "text/plain" in data:
        return f"<pre>{escape(''.join(data['text/plain']))}</pre>", []
    return "", []


def _model(name: str, state: State) -> tuple[str, Mapping[str, Any]]:
    held = state.get(name, {})
    return str(held.get("model_name", "")), held.get("state", {})


def _children(model: Mapping[str, Any]) -> list[str]:
    return [str(child).removeprefix("IPY_MODEL_") for child in model.get("children", [])]


def _chosen(model: Mapping[str, Any]) -> str:
    at, labels = model.get("index"), model.get("_options_labels", [])
    return str(labels[at]) if isinstance(at, int) and at < len(labels) else ""


def _walk(name: str, state: State, solutions: list[str]) -> str:
    kind, model = _model(name, state)
    label = escape(str(model.get("description", "")))
    if "splash-spoken" in model.get("_dom_classes", []):  # what the screen says back; paper says nothing back
        return ""
    if kind == "HTMLModel":
        markup = bare(str(model.get("value", "")))
        worked = SOLUTION.search(markup)
        if worked:
            solutions.append(worked[1])
            return '<div class="space"></div>'
        if 'role="status"' in markup:
            return ""
        return markup.replace("<td>not yet</td>", "<td>&#9744;</td>")
    if kind == "RadioButtonsModel":
        return _ticks(model)
    if kind == "DropdownModel":
        return f"<p>{label}: {_ticks(model)}</p>"
    if kind == "CheckboxModel":
        return f'<ul class="choices"><li>{label}</li></ul>'
    if kind in ("TextModel", "TextareaModel", "FloatTextModel", "IntTextModel"):
        held = escape(str(model.get("value") or ""))
        return f'<p>{label} <span class="line">{held}&nbsp;</span></p>'
    inner = "".join(_walk(child, state, solutions) for child in _children(model))
    many = sum(_model(child, state)[0] not in ("HTMLModel", "") for child in _children(model))
    return f'<div class="fields">{inner}</div>' if many > 4 and kind == "BoxModel" else inner


def _ticks(model: Mapping[str, Any]) -> str:
    rows = "".join(f"<li>{escape(str(text))}</li>" for text in model.get("_options_labels", []))
    return f'<ul class="choices">{rows}</ul>'


def _settings(name: str, state: State) -> str:
    """Say where a panel's controls stand."""
    box = _find(name, state, "splash-controls")
    said = _values(box, state) if box else []
    return f'<p class="set"><strong>Set to</strong> {escape("; ".join(said))}.</p>' if said else ""


def _find(name: str, state: State, wanted: str) -> str:
    _, model = _model(name, state)
    if wanted in model.get("_dom_classes", []):
        return name
    return next((found for child in _children(model) if (found := _find(child, state, wanted))), "")


def _values(name: str, state: State) -> list[str]:
    kind, model = _model(name, state)
    label = str(model.get("description", ""))
    if kind == "TextModel" and model.get("value"):
        return [f"{label}: {model['value']}"]
    if kind == "DropdownModel" and _chosen(model):
        return [f"{label}: {_chosen(model)}"]
    if kind == "CheckboxModel":
        return [f"{label}: {'yes' if model.get('value') else 'no'}"]
    return [text for child in _children(model) for text in _values(child, state)]
