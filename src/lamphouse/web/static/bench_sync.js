// What is noted at the bench sent to the computer, and what others have written fetched.

import { withZone } from "./bench_data.js";
import { address, at, here, keep, kept, say } from "./bench_kept.js";
import { dropPhotograph, keepPhotograph, photographsOf } from "./bench_photos.js";
import { showAll, showLog, showSync } from "./bench_shown.js";

/** @typedef {import("./bench_data.js").Entry} Entry */

const JSON_TYPE = { "Content-Type": "application/json" };

function newKey() {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  return [...bytes].map((byte) => byte.toString(16).padStart(2, "0")).join("");
}

/**
 * Note something; it is kept here until the computer has it on its disk.
 * @param {Partial<Entry> & {kind: string, item: string}} entry
 */
export function note(entry) {
  const by = localStorage.getItem("by") ?? "";
  kept.waiting.push({ key: newKey(), at: withZone(new Date()), by, ...entry });
  keep();
  showLog();
  void sync();
}

let syncing = false;
/** Send what waits and fetch what others have written. */
export async function sync() {
  if (syncing) return;
  syncing = true;
  try {
    await sendPhotos();
    const sent = kept.waiting.slice(0, 200);
    const after = kept.log.at(-1)?.number ?? 0;
    const answer = sent.length
      ? await fetch(`${address()}/log`, { method: "POST", headers: JSON_TYPE, body: JSON.stringify({ entries: sent, after }) })
      : await fetch(`${address()}/log?after=${after}`);
    if (answer.status === 403) return unknown();
    const told = await answer.json();
    kept.reached = true;
    if (!answer.ok) {
      say(told.message ?? "");
      if (answer.status === 422 || answer.status === 400) await oneByOne(sent);
    } else {
      const written = new Set(told.written ?? []);
      kept.waiting = kept.waiting.filter((entry) => !written.has(entry.key));
      const there = new Set(kept.log.map((entry) => entry.number));
      kept.log.push(...told.entries.filter((/** @type {Entry} */ entry) => !there.has(entry.number)));
      keep();
      if (told.entries.length || written.size) showLog();
      if (told.entries.some((/** @type {Entry} */ entry) => entry.kind === "step" || entry.kind === "undone")) void fetchBest();
    }
  } catch {
    kept.reached = false;
  } finally {
    syncing = false;
    showSync();
  }
}

/**
 * Entries that the log refuses stand in the way of those behind them: each goes alone, and what is
 * refused then becomes a note, so that nothing written is lost.
 * @param {Entry[]} sent
 */
async function oneByOne(sent) {
  for (const entry of sent) {
    const content = JSON.stringify({ entries: [entry], after: 0 });
    const answer = await fetch(`${address()}/log`, { method: "POST", headers: JSON_TYPE, body: content });
    if (!answer.ok && answer.status !== 422 && answer.status !== 400) return;
    kept.waiting = kept.waiting.filter((one) => one.key !== entry.key);
    if (answer.ok || entry.kind === "note") continue;
    const words = [`not taken as ${entry.kind}`, entry.item, entry.name, entry.value, entry.text].filter(Boolean).join(": ");
    kept.waiting.push({ key: newKey(), at: entry.at, by: entry.by ?? "", kind: "note", item: "", text: words.slice(0, 2000) });
  }
  keep();
}

/** The computer was started anew, and knows no phone any more. */
function unknown() {
  kept.reached = true;
  say("Pair this phone again: show a new code on the computer. What is noted here is sent then.");
}

/**
 * Tell whether the page this phone keeps is an older one than the computer's, and fetch that.
 * @param {string} now
 */
async function isOld(now) {
  const mine = document.body.dataset.page;
  if (!mine || !now || mine === now || sessionStorage.getItem("page") === now) return false;
  sessionStorage.setItem("page", now); // once, whatever comes of it
  await Promise.all(["", "/body"].map((more) => fetch(`${address()}${more}`, { cache: "reload" })));
  return true;
}

export async function fetchData() {
  try {
    const answer = await fetch(`${address()}/data`);
    if (answer.status === 403) return unknown();
    if (!answer.ok) return say((await answer.json()).message);
    kept.data = await answer.json();
    keep();
    if (await isOld(kept.data?.page ?? "")) return location.reload();
    showAll();
  } catch {
    kept.reached = false;
  }
  showSync();
}

/** Ask which steps are best for the evening; without the network the last answer holds. */
export async function fetchBest() {
  const tonight = localStorage.getItem("tonight") ?? "";
  try {
    const answer = await fetch(`${address()}/next?${new URLSearchParams({ tonight })}`);
    if (answer.status === 403) return unknown();
    const told = await answer.json();
    say(answer.ok ? "" : told.message);
    if (!answer.ok) return;
    kept.best = told;
    keep();
    showLog();
  } catch {
    kept.reached = false;
    showSync();
  }
}

/**
 * @param {string} where
 * @param {unknown} content
 * @returns {Promise<any>}
 */
export async function ask(where, content) {
  try {
    const answer = await fetch(`${address()}/${where}`, { method: "POST", headers: JSON_TYPE, body: JSON.stringify(content) });
    return await answer.json();
  } catch {
    return { message: "No network: this needs the computer. What you log is kept." };
  }
}

/** @param {SubmitEvent} event */
export async function keepPhoto(event) {
  event.preventDefault();
  /** @type {File} */
  const file = at("photo").files[0];
  const data = await file.arrayBuffer();
  const by = localStorage.getItem("by") ?? "";
  try {
    await keepPhotograph({ key: newKey(), project: here.storeKey, at: withZone(new Date()), by, name: file.name, type: file.type, data });
  } catch {
    return say("This phone has no room for it; send it when it has.");
  }
  /** @type {HTMLFormElement} */ (event.target).reset();
  say("");
  await countPhotos();
  void sync();
}

export async function countPhotos() {
  here.photosWait = await photographsOf(here.storeKey).then((found) => found.length, () => here.photosWait);
  showSync();
}

/** Send the photographs that wait; one that is none goes, with why. */
async function sendPhotos() {
  for (const one of here.photosWait ? await photographsOf(here.storeKey) : []) {
    const content = new FormData();
    for (const name of /** @type {const} */ (["key", "at", "by"])) content.append(name, one[name]);
    content.append("item", "");
    content.append("file", new Blob([one.data], { type: one.type }), one.name);
    const answer = await fetch(`${address()}/photo`, { method: "POST", body: content });
    if (answer.status === 403) return unknown();
    const told = await answer.json();
    say(answer.ok ? "Kept." : told.message);
    if (answer.status >= 500 || answer.status === 429) return;
    await dropPhotograph(one.key);
    await countPhotos();
  }
}
