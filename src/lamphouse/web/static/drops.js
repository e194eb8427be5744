// What a button takes out of the file: once, however often it is pressed before it is gone.

import { edit, say } from "./edits.js";

document.addEventListener("click", (event) => {
  const button = event.target instanceof Element ? event.target.closest("button[data-drop]") : null;
  if (!(button instanceof HTMLButtonElement)) return;
  const { label = "", drop = "" } = button.dataset;
  button.disabled = true; // until the view comes anew without it
  void edit(label, [{ do: "remove", path: JSON.parse(drop) }]).then((outcome) => {
    say(outcome.ok ? "" : outcome.answer.message);
    if (!outcome.ok) button.disabled = false;
  });
});
