"""What a keyboard meets in a lesson, what a screen reader is told of it, and what a small window does to it."""

from __future__ import annotations

import re
from itertools import pairwise
from typing import Any

from tools.browser import figure_words, sentence

CARD = ".splash-card"
SMALLEST = 11 * 96 / 72 - 0.1  # [CSS px] 11 pt, less a rounding
SHORTCUTS = ["a", "b", "x", "m", "d", "d", "j", "Shift+M"]  # to JupyterLab: insert, cut, change, delete, leave, merge
STOPS_MOST = 600

# what has the focus now: kind, name, whether it is ours and seen, where it stands; `met` keeps what was met before
STOP = """() => {
    const e = document.activeElement, look = getComputedStyle(e), box = e.getBoundingClientRect();
    const kinds = {SELECT: 'list', SUMMARY: 'summary', A: 'link', BUTTON: 'button'};
    const control = e.closest('.splash-control');
    let kind = kinds[e.tagName] || e.type || e.tagName;
    if (kind === 'text' && control?.querySelector('.splash-step')) kind = 'number';
    if (e.classList.contains('splash-step')) kind = 'step';
    if (e.classList.contains('widget-upload')) kind = 'upload';
    const by = e.getAttribute('aria-labelledby');
    const name = e.getAttribute('aria-label') || (by && document.getElementById(by)?.textContent)
        || e.labels?.[0]?.textContent || e.textContent || e.title || '';
    const cards = [...document.querySelectorAll('.splash-card')], card = e.closest('.splash-card');
    const met = window.met.has(e), last = window.last;
    const ordered = !last?.isConnected || !!(last.compareDocumentPosition(e) & Node.DOCUMENT_POSITION_FOLLOWING);
    if (card) { window.met.add(e); window.last = e; }
    return {
        kind, name: name.trim(), ours: !!card, card: cards.indexOf(card), met, ordered, value: e.value ?? '',
        question: card?.querySelector('[role=heading]')?.textContent.startsWith('Question') ?? false,
        panel: !!card?.querySelector('.splash-sentence') && !!card.querySelector('[role=img], img'),
        chosen: e.selectedIndex, options: e.options?.length,
        shown: look.outlineStyle !== 'none' && parseFloat(look.outlineWidth) > 0 || look.boxShadow !== 'none',
        seen: box.width > 0 && box.height > 0 && box.bottom > 0 && box.top < innerHeight,
    };
}"""
NOTEBOOK = """() => {
    const panel = window.jupyterapp.shell.currentWidget.content;
    return [...panel.model.cells].map(c => c.type[0]).join('') + ' ' + panel.mode;
}"""
WATCH = """() => {
    window.met = new Set(); window.last = null; window.asked = 0; window.waiting = new Set();
    window.jupyterapp.shell.currentWidget.sessionContext.session.kernel.anyMessage.connect((_, {msg, direction}) => {
        if (direction === 'send') { window.asked += 1; window.waiting.add(msg.header.msg_id); }
        else if (msg.header.msg_type === 'status' && msg.content.execution_state === 'idle')
            window.waiting.delete(msg.parent_header.msg_id);
    });
}"""


class Walk:
    """A learner who has no mouse goes through a lesson once, with Tab, and uses what she meets."""

    def __init__(self, lesson: Any) -> None:
        self.lesson, self.page, self.keys = lesson, lesson.page, lesson.page.keyboard
        self.stops: list[dict[str, Any]] = []
        self.tried: set[Any] = set()
        self.wrong: list[str] = []
        self.changed: dict[int, bool] = {}  # by card: whether a move changed both sentence and figures
        self.before: Any = None

    def run_all(self) -> Walk:
        """Choose Run All Cells in the list of commands, and wait until every cell has run."""
        self.keys.press("Control+Shift+KeyC")
        self.page.locator(".lm-CommandPalette-input:focus").wait_for()
        self.keys.type("Run All Cells")
        self.page.locator(".lm-CommandPalette-item.lm-mod-active", has_text="Run All Cells").wait_for()
        self.keys.press("Enter")
        self.lesson.wait_idle()
        assert self.lesson.errors() == []
        return self

    def go(self) -> Walk:
        """Press Tab until all that is ours has had the focus once."""
        self.page.evaluate(WATCH)
        for _ in range(STOPS_MOST):
            self.keys.press("Tab")
            stop = self.page.evaluate(STOP)
            if not stop["ours"]:
                continue
            if stop["met"]:
                return self
            self.stops.append(stop)
            self.look(stop)
            self.use(stop)
        raise AssertionError(f"Tab comes to no end: it stays with {self.stops[-3:]}")

    def look(self, stop: dict[str, Any]) -> None:
        """What holds for every stop."""
        self.expect(stop, bool(stop["name"]), "has no name")
        self.expect(stop, stop["shown"], "nothing shows the focus")
        self.expect(stop, stop["seen"], "is out of sight")
        self.expect(stop, stop["ordered"], "Tab jumps back to it")
        first = ("back", stop["card"])
        if len(self.stops) > 1 and self.stops[-2]["card"] == stop["card"] and first not in self.tried:
            self.tried.add(first)
            self.page.evaluate("() => { window.here = document.activeElement }")
            self.keys.press("Shift+Tab")
            self.keys.press("Tab")
            self.expect(stop, self.kept(), "Shift-Tab and Tab do not lead back")

    def use(self, stop: dict[str, Any]) -> None:
        """Change the control by keyboard; the focus must stay, and JupyterLab must not hear it."""
        kind, card = stop["kind"], stop["card"]
        panel = self.page.locator(CARD).nth(card)
        if stop["panel"] and card not in self.changed:
            self.changed[card] = False
        self.before = self.told(panel) if stop["panel"] else None
        self.page.evaluate("() => { window.here = document.activeElement }")
        once = (card, kind) not in self.tried
        self.tried.add((card, kind))
        if kind not in self.tried:
            self.tried.add(kind)
            self.short_keys(stop)
        getattr(self, kind, lambda *_: None)(stop, panel, once)
        self.expect(stop, self.kept(), "loses the focus when it is used")

    def short_keys(self, stop: dict[str, Any]) -> None:
        """Letters that mean something to JupyterLab are pressed in one control of each kind."""
        was = self.page.evaluate(NOTEBOOK)
        for key in SHORTCUTS:
            self.keys.press(key)
        self.expect(stop, self.page.evaluate(NOTEBOOK) == was, "its keys reach the notebook")
        self.expect(stop, self.kept(), "letters take the focus away")

    # one method for each kind of stop

    def radio(self, stop: Any, panel: Any, once: bool) -> None:
        if once:
            self.keys.press("Space")
            self.keys.press("ArrowDown")
            chosen = "[...document.activeElement.closest('.splash-card').querySelectorAll('[type=radio]')]"
            at = self.page.evaluate(f"() => {chosen}.findIndex(e => e.checked && e === document.activeElement)")
            self.expect(stop, at == 1, "the arrow key does not choose the next answer")
            self.page.evaluate("() => { window.here = window.last = document.activeElement; window.met.add(here) }")

    def button(self, stop: Any, panel: Any, once: bool) -> None:
        name = stop["name"]
        if name == "This is my prediction":
            self.press("Enter")
            self.page.wait_for_function("() => document.activeElement.textContent.includes('prediction is made')")
            self.page.wait_for_function("() => !document.body.textContent.includes('Show without predicting')")
            self.lesson.wait_idle()
        elif stop["panel"] and (once or name == "Reset"):
            self.press("Enter" if once else "Space")
            self.note(stop, panel)
        elif stop["question"] and name == "Check" and "answered" not in self.tried:
            self.press("Space")
            self.verdict(stop, panel)

    def step(self, stop: Any, panel: Any, once: bool) -> None:
        if ("step", stop["card"], stop["name"][:4]) in self.tried or not stop["panel"]:
            return
        self.tried.add(("step", stop["card"], stop["name"][:4]))
        panel.locator(".splash-spoken").last.evaluate(
            "e => { window.says = []; window.ear?.disconnect();"
            "window.ear = new MutationObserver(() => window.says.push(e.textContent));"
            "window.ear.observe(e, {childList: true, subtree: true, characterData: true}) }"
        )
        self.press("Enter")
        after = self.told(panel)
        self.note(stop, panel)
        if after[0] != self.before[0]:
            said = self.page.evaluate("() => window.says")
            self.expect(stop, len(said) == 1, f"one move speaks {len(said)} times")

    def number(self, stop: Any, panel: Any, once: bool) -> None:
        was = stop["value"]
        try:
            value = float(was)
        except ValueError:
            return
        self.write(f"{value * 1.03 if value else 0.1:.4g}")
        if "Not possible" in self.told(panel)[0]:
            self.write(was)
        self.note(stop, panel)

    def text(self, stop: Any, panel: Any, once: bool) -> None:
        if stop["question"]:
            if "answered" not in self.tried:
                self.write("soup")
                self.verdict(stop, panel)
        elif once:
            self.write(stop["value"] or "12")
            self.note(stop, panel)

    def list(self, stop: Any, panel: Any, once: bool) -> None:
        last = stop["chosen"] == stop["options"] - 1
        if "list opened" not in self.tried:
            self.tried.add("list opened")
            self.keys.press("Alt+ArrowDown")
            self.keys.press("ArrowUp" if last else "ArrowDown")
            self.press("Enter")
        elif stop["options"] > 1:
            self.press("ArrowUp" if last else "ArrowDown")
        if stop["options"] > 1:
            at = self.page.evaluate("() => document.activeElement.selectedIndex")
            self.expect(stop, at != stop["chosen"] or "list" in self.tried, "arrow keys choose nothing")
        self.note(stop, panel)

    def checkbox(self, stop: Any, panel: Any, once: bool) -> None:
        was = self.page.evaluate("() => document.activeElement.checked")
        self.press("Space")
        self.expect(stop, self.page.evaluate("() => document.activeElement.checked") != was, "Space does nothing")
        self.note(stop, panel)

    def summary(self, stop: Any, panel: Any, once: bool) -> None:
        if "opened" not in self.tried:
            self.tried.add("opened")
            self.keys.press("Enter")
            self.expect(stop, self.page.evaluate("() => document.activeElement.parentElement.open"), "does not open")

    # helpers

    def press(self, key: str) -> None:
        """Press a key that the kernel hears of, and wait for its answer."""
        was = self.page.evaluate("() => window.asked")
        self.keys.press(key)
        self.settle(was)

    def write(self, words: str) -> None:
        self.keys.press("Control+a")
        self.keys.insert_text(words)
        self.press("Enter")

    def settle(self, was: int) -> None:
        try:
            self.page.wait_for_function("n => window.asked > n && !window.waiting.size", arg=was, timeout=10_000)
        except Exception:
            return  # nothing changed, so nothing was sent

    def kept(self) -> bool:
        return bool(self.page.evaluate("() => document.activeElement === window.here"))

    @staticmethod
    def told(panel: Any) -> tuple[str, list[str]]:
        return sentence(panel), figure_words(panel)

    def note(self, stop: Any, panel: Any) -> None:
        """Keep whether sentence and figures both tell of the move."""
        if self.before is not None:
            after = self.told(panel)
            if after[0] != self.before[0] and after[1] != self.before[1]:
                self.changed[stop["card"]] = True

    def verdict(self, stop: Any, panel: Any) -> None:
        self.tried.add("answered")
        panel.locator(".splash-yes, .splash-no").first.wait_for()

    def expect(self, stop: Any, right: bool, words: str) -> None:
        if not right:
            self.wrong.append(f"{stop['kind']} {stop['name']!r} (card {stop['card']}): {words}")


# ---------------------------------------------------------------- the tree that a screen reader gets

CONTROLS = {
    *("textbox", "combobox", "checkbox", "radiogroup", "radio", "button", "slider", "spinbutton", "link"),
    "DisclosureTriangle",
}
IDS = """() => {
    const all = [...document.querySelectorAll('.jp-Notebook [id]')].map(e => e.id);
    return [...new Set(all.filter((id, at) => !id.trim() || all.indexOf(id) !== at))];
}"""


class Tree:
    """Chromium's accessibility tree of the page."""

    def __init__(self, cdp: Any) -> None:
        self.nodes = {node["nodeId"]: node for node in cdp.send("Accessibility.getFullAXTree")["nodes"]}
        self.by_dom = {node.get("backendDOMNodeId"): node for node in self.nodes.values()}

    @staticmethod
    def role(node: Any) -> str:
        return str(node.get("role", {}).get("value", ""))

    @staticmethod
    def name(node: Any) -> str:
        return str(node.get("name", {}).get("value", "") or "")

    @staticmethod
    def has(node: Any, wanted: str) -> Any:
        found = [one["value"].get("value") for one in node.get("properties", []) if one["name"] == wanted]
        return found[0] if found else None

    def inside(self, node: Any) -> Any:
        """Every node below one, in reading order, what is hidden left out."""
        for child in (self.nodes.get(name) for name in node.get("childIds", [])):
            if child is not None:
                if not child.get("ignored"):
                    yield child
                yield from self.inside(child)

    def words(self, node: Any) -> str:
        parts = [self.name(one) for one in self.inside(node) if self.role(one) == "StaticText"]
        return re.sub(r"\s+", " ", " ".join(parts)).strip()


# cells out of sight are not painted, and would not be in the tree either
PAINTED = ".jp-Cell { content-visibility: visible !important }"


def cards(page: Any, cdp: Any) -> list[int]:
    """The browser's own numbers of our cards."""
    cdp.send("DOM.enable")
    root = cdp.send("DOM.getDocument", {"depth": 0})["root"]["nodeId"]
    found = cdp.send("DOM.querySelectorAll", {"nodeId": root, "selector": f".jp-Notebook {CARD}"})["nodeIds"]
    return [cdp.send("DOM.describeNode", {"nodeId": one})["node"]["backendNodeId"] for one in found]


def misread(page: Any, cdp: Any) -> tuple[list[str], dict[int, tuple[int, str]]]:
    """What a screen reader would get wrong; and for each card the place that speaks, with its words."""
    tree, wrong, speaking = Tree(cdp), [], {}
    root = next(iter(tree.nodes.values()))
    levels = [(tree.has(n, "level"), tree.name(n)) for n in tree.inside(root) if tree.role(n) == "heading"]
    for (above, _), (level, words) in pairwise(levels):
        if level > above + 1:
            wrong.append(f"heading {words!r} jumps from level {above} to {level}")
    for number, dom in enumerate(cards(page, cdp)):
        card = tree.by_dom.get(dom)
        if card is None:
            wrong.append(f"card {number} is not in the tree")
            continue
        seen: set[tuple[str, str]] = set()
        images: list[str] = []
        asked: set[str] = set()  # what stands in a group of radio buttons
        for node in tree.inside(card):
            role, name = tree.role(node), tree.name(node)
            if role in CONTROLS:
                if len(name.strip()) < 3:
                    wrong.append(f"card {number}: a {role} is called {name!r}")
                if (role, name) in seen and role != "link":  # links of one name lead to one place
                    wrong.append(f"card {number}: two are called {name!r}")
                seen.add((role, name))
                if role == "radiogroup":
                    asked |= {one["nodeId"] for one in tree.inside(node)}
                elif role == "radio" and node["nodeId"] not in asked:
                    wrong.append(f"card {number}: no group asks what {name!r} answers")
            elif role in ("image", "img"):
                images.append(name)
                if len(name) < 20:
                    wrong.append(f"card {number}: an image is called {name!r}")
            elif role == "table":
                kinds = {tree.role(one) for one in tree.inside(node)}
                if not kinds & {"columnheader", "rowheader"}:
                    wrong.append(f"card {number}: a table has no headers")
            elif role in ("math", "MathMLMath") and not tree.words(node):
                wrong.append(f"card {number}: a formula has no words")
            elif role == "status" and tree.has(node, "live") == "polite" and tree.words(node):
                speaking[number] = node["backendDOMNodeId"], tree.words(node)
        if images and number in speaking and not re.search(r"\d", " ".join(images)):
            wrong.append(f"card {number}: no image tells a number: {images}")
    wrong += [f"the id {one!r} is empty or given twice" for one in page.evaluate(IDS)]
    if not page.evaluate("() => document.documentElement.lang"):
        wrong.append("the page does not say its language")
    return wrong, speaking


# ---------------------------------------------------------------- sizes

# words of ours that are painted smaller than wanted; a drawing may be scaled
SMALL = """least => {
    const found = [];
    for (const card of document.querySelectorAll('.splash-card')) {
        const walker = document.createTreeWalker(card, NodeFilter.SHOW_TEXT);
        while (walker.nextNode()) {
            const words = walker.currentNode.textContent.trim(), e = walker.currentNode.parentElement;
            if (!words || e.closest('style,script,math,sub,sup,title,desc') || !e.getClientRects().length) continue;
            let size = parseFloat(getComputedStyle(e).fontSize);
            const drawing = e.closest('svg');
            if (drawing) {
                const matrix = e.getScreenCTM?.();
                if (matrix) size *= Math.hypot(matrix.a, matrix.b);
                // a baseline shift inside a drawing is an index, like sub and sup
                if (e.tagName === 'tspan' && e.getAttribute('dy')) continue;
            }
            if (size > 0 && size < least) found.push(`${Math.round(10 * size) / 10} px: ${words.slice(0, 40)}`);
        }
    }
    return [...new Set(found)];
}"""
# controls and text of ours that stick out of their card or of each other, and words cut short
CUT = """() => {
    const found = [];
    const say = (why, e) => found.push(`${why}${e.tagName}: ${(e.textContent || e.className).trim().slice(0, 40)}`);
    for (const card of document.querySelectorAll('.splash-card')) {
        const edge = card.getBoundingClientRect();
        if (!edge.width) continue;
        const title = card.querySelector('[role=heading],dt,p') || card;
        if (card.scrollWidth > card.clientWidth + 1) say('scrolls sideways, ', title);
        for (const e of card.querySelectorAll('.splash-step-row'))
            if (e.scrollWidth > e.clientWidth + 1) say(`formula ${e.scrollWidth} in ${e.clientWidth}, `, e);
        const parts = 'button,input,select,label,p,summary,td,th,.splash-figure,.splash-photo';
        for (const e of card.querySelectorAll(parts)) {
            const box = e.getBoundingClientRect();
            if (!box.width || !box.height || e.closest('svg')) continue;
            const scrolls = e.closest('.splash-step-row,[style*="overflow"]');
            if (!scrolls && (box.right > edge.right + 1 || box.left < edge.left - 1)) say('', e);
            const words = e.tagName === 'BUTTON' && !e.matches('.splash-step');
            if (words && e.scrollWidth > e.clientWidth + 1) say('cut, ', e);
        }
    }
    return [...new Set(found)];
}"""
