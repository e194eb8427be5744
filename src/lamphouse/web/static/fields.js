// Fields that hold one value of the project's file: typed, sent when left, told when refused.

import { editNow, inTurn } from "./edits.js";

/**
 * Send what stands in a field, when it is another value than before by the time that its turn comes:
 * Enter sends it, and so does leaving it.
 * @param {HTMLInputElement | HTMLSelectElement} field
 */
export async function sendField(field) {
  if (field.value === (field.dataset.was ?? "")) return tell(field, "");
  await inTurn(async () => {
    const { value } = field;
    const was = field.dataset.was ?? "";
    if (value === was) return;
    const path = JSON.parse(field.dataset.path ?? "[]");
    const label = `${field.dataset.label ?? path.at(-1)}: ${value}`.slice(0, 180);
    const kind = field.dataset.edit ?? (value === "" && was ? "remove" : "set");
    const one = kind === "remove" ? { do: "remove", path } : { do: "set", path, value, was };
    const outcome = await editNow(label, [one, ...companion(field, kind)]);
    if (outcome.ok) field.dataset.was = value;
    tell(field, outcome.ok ? "" : outcome.answer.message);
  });
}

/**
 * What comes and goes with a field that is nothing without another one.
 * @param {HTMLInputElement | HTMLSelectElement} field
 * @param {string} kind what is done with the field
 * @returns {import("./edits.js").Edit[]}
 */
function companion(field, kind) {
  const also = JSON.parse(field.dataset.also ?? "null");
  if (also && kind === "set" && !also.stands) return [{ do: "set", path: also.path, value: also.value }];
  if (also && kind === "remove" && also.stands) return [{ do: "remove", path: also.path }];
  return [];
}

/**
 * Say beside a field what is wrong with it; what was typed stays.
 * @param {HTMLElement} field
 * @param {string} words
 */
function tell(field, words) {
  const label = field.closest(".field");
  label?.classList.toggle("refused", words !== "");
  field.setAttribute("aria-invalid", String(words !== ""));
  const at = label?.querySelector(".refusal");
  if (at) at.textContent = words;
}

document.addEventListener("change", (event) => {
  const field = event.target;
  if (field instanceof HTMLInputElement || field instanceof HTMLSelectElement) {
    if (field.dataset.path) void sendField(field);
  }
});
document.addEventListener("keydown", (event) => {
  const field = event.target;
  if (!(field instanceof HTMLInputElement) || !field.dataset.path) return;
  if (event.key === "Enter") {
    event.preventDefault();
    void sendField(field);
  } else if (event.key === "Escape") {
    field.value = field.dataset.was ?? "";
    tell(field, "");
  }
});
