// Prices of the maker's own, noted beside a part.

import { edit, say } from "./edits.js";

/**
 * Make the entry of a price as the file has it.
 * @param {string} part
 * @param {string} price
 * @param {string} pack
 */
export function priceEntry(part, price, pack) {
  const entry = { part, price: price.trim() };
  return pack.trim() && pack.trim() !== "1" ? { ...entry, pack: pack.trim() } : entry;
}

/** @param {string} label @param {import("./edits.js").Edit} one */
async function make(label, one) {
  const outcome = await edit(label, [one]);
  say(outcome.ok ? "" : outcome.answer.message);
}

if (typeof document !== "undefined") {
  document.addEventListener("submit", (event) => {
    const form = event.target;
    if (!(form instanceof HTMLFormElement) || form.dataset.price === undefined) return;
    event.preventDefault();
    const typed = new FormData(form);
    const part = form.dataset.price;
    const entry = priceEntry(part, String(typed.get("price")), String(typed.get("pack")));
    const label = `Note the price of ${part}`.slice(0, 180);
    if (form.dataset.has !== undefined) void make(label, { do: "add", path: ["prices"], value: entry });
    else void make(label, { do: "set", path: ["prices"], value: [entry], was: "" });
  });
}
