// Wishes about strings: names of LEDs in one field, kept together or left to the tool.

import { edit, say } from "./edits.js";

/**
 * Part a text at its commas into names.
 * @param {string} text
 * @returns {string[]}
 */
export function namesIn(text) {
  return text
    .split(",")
    .map((name) => name.trim())
    .filter(Boolean);
}

/**
 * @param {string} label
 * @param {import("./edits.js").Edit[]} edits
 */
async function make(label, edits) {
  const outcome = await edit(label, edits);
  say(outcome.ok ? "" : outcome.answer.message);
  return outcome;
}

if (typeof document !== "undefined") {
  document.addEventListener("click", (event) => {
    const at = event.target instanceof Element ? event.target.closest("button") : null;
    const label = at?.dataset.label ?? "";
    if (at?.dataset.keepString) {
      const { path, leds } = JSON.parse(at.dataset.keepString);
      void make(label, [{ do: "set", path, value: { leds } }]);
    } else if (at?.dataset.drop) void make(label, [{ do: "remove", path: JSON.parse(at.dataset.drop) }]);
  });
  document.addEventListener("change", (event) => {
    const field = event.target;
    if (!(field instanceof HTMLInputElement) || field.dataset.names === undefined) return;

    const names = namesIn(field.value);
    const path = JSON.parse(field.dataset.names);
    void make(`${field.dataset.label}: ${names.join(", ")}`, [{ do: "set", path, value: names }]);
  });
}
