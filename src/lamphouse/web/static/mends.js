// The mend of a finding as a button, where it is a value of the file.

import { inTurn, say, send, show } from "./edits.js";

document.addEventListener("click", (event) => {
  const button = event.target instanceof Element ? event.target.closest("button[data-mends]") : null;
  if (!(button instanceof HTMLButtonElement)) return;
  const { code = "", item = "", message = "" } = /** @type {HTMLElement} */ (button.closest(".finding")).dataset;
  button.disabled = true;
  void inTurn(() => send("mend", { code, item, message })).then((outcome) => {
    button.disabled = false;
    say(outcome.ok ? "" : outcome.answer.message);
    if (!outcome.ok) return;
    show(outcome.answer);
    document.dispatchEvent(new CustomEvent("mended"));
  });
});
