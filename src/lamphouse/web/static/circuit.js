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
    if (!at?.dataset.keepString) return;
    const { path, leds } = JSON.parse(at.dataset.keepString);
    void make(at.dataset.label ?? "", [{ do: "set", path, value: { leds } }]);
  });
  document.addEventListener("change", (event) => {
    const field = event.target;
    if (!(field instanceof HTMLInputElement) || field.dataset.names === undefined) return;

    const names = namesIn(field.value);
    const path = JSON.parse(field.dataset.names);
    void make(`${field.dataset.label}: ${names.join(", ")}`, [{ do: "set", path, value: names }]);
  });
}
