// A small part for JupyterLab, in the form in which JupyterLab loads finished extensions; nothing has to be built.
//
// JupyterLab's short keys act on whatever has the focus inside a notebook, text boxes apart. In a drop-down list
// of ours the letter A would insert a cell, X would cut the panel out, and an arrow would leave the list, so that
// neither a list nor a second radio button could be chosen by keyboard. Inside our cards plain keys therefore stay
// with the control. Keys with Ctrl, Cmd or Alt, Shift-Enter, Escape and F-keys still reach JupyterLab.
(function () {
  "use strict";
  const HOLD = "data-lm-suppress-shortcuts"; // on the part with the focus: JupyterLab then looks for no short key

  function forLab(event) {
    return event.ctrlKey || event.metaKey || event.altKey || event.key === "Escape" ||
      (event.shiftKey && event.key === "Enter") || /^F\d/.test(event.key);
  }

  function key(event) {
    const focus = event.target;
    if (focus instanceof Element && focus.closest(".splash-card")) focus.toggleAttribute(HOLD, !forLab(event));
  }

  const plugin = {
    id: "splashkit-keys:plugin",
    description: "Plain keys inside a splashkit panel stay with its controls.",
    autoStart: true,
    activate: () => window.addEventListener("keydown", key, true), // before JupyterLab's own listener
  };
  const held = (window._JUPYTERLAB = window._JUPYTERLAB || {});
  held["splashkit-keys"] = { init: () => {}, get: async () => () => ({ __esModule: true, default: plugin }) };
})();
