// A small part for JupyterLab, in the form in which JupyterLab loads finished extensions; nothing has to be built.
// Without it everything still works by mouse, and each radio button is clear by itself.
(function () {
  "use strict";

  // 1. Keys. JupyterLab's short keys act on whatever has the focus inside a notebook, text boxes apart. In a
  // drop-down list of ours the letter A would insert a cell, X would cut the panel out, and an arrow would leave the
  // list, so that neither a list nor a second radio button could be chosen by keyboard. Inside our cards plain keys
  // therefore stay with the control. Keys with Ctrl, Cmd or Alt, Shift-Enter, Escape and F-keys still reach JupyterLab.
  const HOLD = "data-lm-suppress-shortcuts"; // on the part with the focus: JupyterLab then looks for no short key

  function forLab(event) {
    return event.ctrlKey || event.metaKey || event.altKey || event.key === "Escape" ||
      (event.shiftKey && event.key === "Enter") || /^F\d/.test(event.key);
  }

  function key(event) {
    const focus = event.target;
    if (focus instanceof Element && focus.closest(".splash-card")) focus.toggleAttribute(HOLD, !forLab(event));
  }

  // 2. Radio buttons. ipywidgets says neither that they belong together nor what they answer. Our style sheet gives
  // each one in a card an animation that shows nothing; its start tells of every new one, and of nothing else.
  let groups = 0;

  function radio(event) {
    if (event.animationName !== "splash-radio") return;
    const label = event.target, box = label.parentElement, words = box.previousElementSibling;
    const shown = words && words.textContent.trim(); // a group with a label of its own
    const named = shown ? words : box.closest(".splash-card").querySelector(".splash-asked");
    if (!named) return;
    if (!box.id) box.id = `splash-radios-${++groups}`;
    if (!named.id) named.id = `${box.id}-asked`;
    box.setAttribute("role", "radiogroup");
    box.setAttribute("aria-labelledby", named.id);
    label.querySelector("input").name = box.id; // one stop for Tab; arrows stay inside; "1 of 4"
  }

  const plugin = {
    id: "splashkit-access:plugin",
    description: "Plain keys inside a splashkit panel stay with its controls; radio buttons are a group with a name.",
    autoStart: true,
    activate: () => {
      window.addEventListener("keydown", key, true); // before JupyterLab's own listener
      window.addEventListener("animationstart", radio, true);
    },
  };
  const held = (window._JUPYTERLAB = window._JUPYTERLAB || {});
  held["splashkit-access"] = { init: () => {}, get: async () => () => ({ __esModule: true, default: plugin }) };
})();
