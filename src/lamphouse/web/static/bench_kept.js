// What a phone keeps of the bench, and what it says about it.

/** @typedef {import("./bench_data.js").Entry} Entry */
/** @typedef {{sub_assembly: string, gate: string, title: string, how: string, rows: string[][]}} Gate */
/** @typedef {{mark: string, page: string, project: string, sub_assemblies: string[], steps: import("./bench_data.js").Step[], flags: import("./bench_data.js").Flag[], gates: Gate[]}} Data */

export const address = () => `/p/${document.body.dataset.project}/bench`;
/** @type {{data: Data | null, log: Entry[], waiting: Entry[], best: {next: string[], evening: string}, reached: boolean}} */
export const kept = { data: null, log: [], waiting: [], best: { next: [], evening: "" }, reached: true };
/** Under what it is kept, and how many photographs wait. */
export const here = { storeKey: "", photosWait: 0 };

/** @param {string} id @returns {any} */
export const at = (id) => document.getElementById(id);

export function keep() {
  try {
    localStorage.setItem(here.storeKey, JSON.stringify(kept));
  } catch {
    say("This phone keeps nothing more; stay in the network until all is sent.");
  }
}

/** @param {string} words */
export function say(words) {
  if (at("bench-said")) at("bench-said").textContent = words;
}
