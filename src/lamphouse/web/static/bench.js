// The bench in one hand: flags, next steps, readings, faults, the log; kept when the network goes.

import { dropPhotograph, keepPhotograph, photographsOf } from "./bench_photos.js";
import { bestFirst, doneOf, nextSteps, search, together, withZone } from "./bench_data.js";

/** @typedef {import("./bench_data.js").Entry} Entry */
/** @typedef {{sub_assembly: string, gate: string, title: string, how: string, rows: string[][]}} Gate */
/** @typedef {{mark: string, page: string, project: string, sub_assemblies: string[], steps: import("./bench_data.js").Step[], flags: import("./bench_data.js").Flag[], gates: Gate[]}} Data */

const SYNC_MS = 5000;
const JSON_TYPE = { "Content-Type": "application/json" };
const address = () => `/p/${document.body.dataset.project}/bench`;
/** @type {{data: Data | null, log: Entry[], waiting: Entry[], best: {next: string[], evening: string}, reached: boolean}} */
const kept = { data: null, log: [], waiting: [], best: { next: [], evening: "" }, reached: true };
let storeKey = "";
let begun = false;
let photosWait = 0;

/** @param {string} id @returns {any} */
const at = (id) => document.getElementById(id);

/**
 * Make an element with words and children in it.
 * @param {string} tag
 * @param {Record<string, string>} [attributes]
 * @param {(Node | string)[]} children
 */
function made(tag, attributes = {}, ...children) {
  const element = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) element.setAttribute(name, value);
  element.append(...children);
  return element;
}

function keep() {
  try {
    localStorage.setItem(storeKey, JSON.stringify(kept));
  } catch {
    say("This phone keeps nothing more; stay in the network until all is sent.");
  }
}

/** @param {string} words */
function say(words) {
  if (at("bench-said")) at("bench-said").textContent = words;
}

function newKey() {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  return [...bytes].map((byte) => byte.toString(16).padStart(2, "0")).join("");
}

/**
 * Note something; it is kept here until the computer has it on its disk.
 * @param {Partial<Entry> & {kind: string, item: string}} entry
 */
function note(entry) {
  const by = localStorage.getItem("by") ?? "";
  kept.waiting.push({ key: newKey(), at: withZone(new Date()), by, ...entry });
  keep();
  showLog();
  void sync();
}

let syncing = false;
/** Send what waits and fetch what others have written. */
async function sync() {
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

async function fetchData() {
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
async function fetchBest() {
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

function showSync() {
  const waiting = kept.waiting.length + photosWait;
  const words = waiting ? `${waiting} not sent yet` : "all sent";
  at("sync")?.replaceChildren(kept.reached ? words : `no network, ${words}`);
}

function showAll() {
  if (!at("find") || !kept.data) return;
  fill("next-where", ["", ...kept.data.sub_assemblies], "anywhere");
  for (const id of ["read-where", "fault-where"]) fill(id, kept.data.sub_assemblies);
  showFound();
  showGates();
  showLog();
}

/** Show what the log changes; what is being typed elsewhere stays. */
function showLog() {
  if (!at("next") || !kept.data) return;
  showNext();
  showEntries();
  showSync();
}

/**
 * @param {string} id
 * @param {string[]} names
 * @param {string} [none]
 */
function fill(id, names, none = "") {
  const list = at(id);
  if (list.options.length === names.length) return;
  list.replaceChildren(...names.map((name) => made("option", { value: name }, name || none)));
}

function showFound() {
  const typed = at("find").value;
  const found = kept.data ? search(kept.data.flags, typed) : [];
  const items = found.map((flag) => {
    const lines = flag.lines.flatMap(([words, value]) => [made("dt", {}, words), made("dd", {}, value)]);
    return made("li", { class: "flag" }, made("h2", {}, flag.flag), made("p", {}, `${flag.kind}${flag.sub_assembly ? `, ${flag.sub_assembly}` : ""}`), made("dl", {}, ...lines));
  });
  if (typed.trim() && !items.length) items.push(made("li", {}, "Nothing has this flag."));
  at("found").replaceChildren(...items);
}

function showNext() {
  const steps = kept.data?.steps ?? [];
  const done = doneOf(together(kept.log, kept.waiting));
  const ready = bestFirst(nextSteps(steps, done, at("next-where").value), kept.best.next);
  const best = new Set(kept.best.next);
  at("next-count").textContent = `${steps.filter((step) => done.has(step.id)).length} of ${steps.length} steps done`;
  const items = ready.slice(0, 30).map((step) => {
    const buttons = [made("button", { type: "button", class: "large", "data-done": step.id }, "Done")];
    if (step.reads) buttons.unshift(made("button", { type: "button", class: "large", "data-reads": step.reads, "data-where": step.sub_assembly }, "Readings"));
    const when = best.has(step.id) ? [made("p", { class: "best" }, kept.best.evening ? `best for ${kept.best.evening}` : "best for the next two hours")] : [];
    const time = `${Math.round(step.minutes)} min${step.rest_hours ? `, then ${step.rest_hours} h rest` : ""}`;
    const expected = step.expected.map((line) => made("li", {}, line));
    return made("li", { class: step.gate ? "step gate" : "step" }, made("h2", {}, step.title), made("p", {}, `${step.gate ? "gate: " : ""}${step.kind}, ${time}`), ...when, made("ul", {}, ...expected), ...buttons);
  });
  const last = [...together(kept.log, kept.waiting)].reverse().find((entry) => entry.kind === "step" && done.has(entry.item));
  if (last) {
    const title = steps.find((step) => step.id === last.item)?.title ?? last.item;
    items.push(made("li", { class: "last" }, `Done last: ${title} `, made("button", { type: "button", "data-undone": last.item }, "Not done after all")));
  }
  at("next").replaceChildren(...items);
}

/** @returns {Gate | undefined} */
function gateNow() {
  const where = at("read-where").value;
  return kept.data?.gates.find((gate) => gate.sub_assembly === where && gate.gate === at("read-gate").value);
}

function showGates() {
  const where = at("read-where").value;
  const gates = kept.data?.gates.filter((gate) => gate.sub_assembly === where) ?? [];
  const list = at("read-gate");
  const chosen = list.value;
  list.replaceChildren(...gates.map((gate) => made("option", { value: gate.gate }, gate.title)));
  if (gates.some((gate) => gate.gate === chosen)) list.value = chosen;
  const gate = gateNow();
  const shown = JSON.stringify(gate ?? null);
  if (at("read-rows").dataset.shown === shown) return; // what is typed there, and its verdict, stay
  at("read-rows").dataset.shown = shown;
  at("read-how").textContent = gate?.how ?? "Nothing is foretold here.";
  const rows = (gate?.rows ?? []).map(([name, place, range, shows, band]) => {
    const field = made("input", { "data-read": name, autocomplete: "off", autocapitalize: "off", spellcheck: "false", placeholder: shows, "aria-label": `${name} reads` });
    return made("li", { class: "reading" }, made("h2", {}, name), made("p", {}, `${place}; range ${range}; should show ${shows}, ${band}`), field, made("button", { type: "button", "data-log-reading": name }, "Log"), made("p", { class: "verdict", "aria-live": "polite" }));
  });
  at("read-rows").replaceChildren(...rows);
}

/** @param {Entry} entry with a photograph */
function picture(entry) {
  const from = `${address()}/photo/${encodeURIComponent(entry.attachment ?? "")}`;
  const words = `Photograph${entry.item ? ` of ${entry.item}` : ""}, ${entry.at.slice(0, 10)}`;
  return made("a", { href: from, target: "_blank", class: "photo" }, made("img", { src: from, alt: words, loading: "lazy", width: "240" }));
}

/**
 * Show the readings of a gate.
 * @param {string} where
 * @param {string} gate
 */
function showReadings(where, gate) {
  at("read-where").value = where;
  showGates();
  at("read-gate").value = gate;
  showGates();
  choose("read");
  at("tab-read").focus();
}

function showEntries() {
  const entries = together(kept.log, kept.waiting).slice(-60).reverse();
  at("entries").replaceChildren(
    ...entries.map((entry) => {
      const figure = [entry.name, entry.value].filter(Boolean).join(" = ");
      const words = [entry.kind, entry.item, figure, entry.text, entry.attachment].filter(Boolean).join(": ");
      const by = [entry.at.slice(0, 16).replace("T", " "), entry.by, entry.device].filter(Boolean).join(", ");
      const seen = /\.(jpg|png)$/.test(entry.attachment ?? "") ? [picture(entry)] : [];
      return made("li", {}, words, " ", made("small", {}, entry.number ? by : `${by}, not sent yet`), ...seen);
    }),
  );
}

/**
 * @param {string} where
 * @param {unknown} content
 * @returns {Promise<any>}
 */
async function ask(where, content) {
  try {
    const answer = await fetch(`${address()}/${where}`, { method: "POST", headers: JSON_TYPE, body: JSON.stringify(content) });
    return await answer.json();
  } catch {
    return { message: "No network: this needs the computer. What you log is kept." };
  }
}

/** @param {HTMLElement} button */
async function logReading(button) {
  const row = /** @type {HTMLElement} */ (button.closest("li"));
  const field = /** @type {HTMLInputElement} */ (row.querySelector("input"));
  const verdict = /** @type {HTMLElement} */ (row.querySelector(".verdict"));
  const name = button.dataset.logReading ?? "";
  const gate = gateNow();
  if (!gate || !field.value.trim()) return;
  const value = field.value.trim();
  note({ kind: "reading", item: gate.sub_assembly, name, value, text: `gate ${gate.gate}` });
  verdict.textContent = "Logged.";
  const told = await ask("judge", { sub_assembly: gate.sub_assembly, readings: [`${name}=${value}`], gate: gate.gate });
  const [judged] = told.judged ?? [];
  verdict.textContent = judged ? `${judged.verdict}: should be ${judged.expected}. ${told.next}` : `Logged. ${told.message ?? ""}`;
  const how = judged?.verdict === "in band" ? "good" : "off";
  verdict.className = judged ? `verdict ${how}` : "verdict";
}

async function askFault() {
  const readings = at("fault-read").value.split(/\s+/).filter(Boolean);
  const told = await ask("fault", { sub_assembly: at("fault-where").value, readings, closed: at("fault-closed").checked });
  const result = told.result;
  if (!result) return at("fault-told").replaceChildren(told.message ?? told.error?.message ?? "");
  const suspects = result.suspects.map((/** @type {any} */ one) =>
    made("li", {}, made("b", {}, `${Math.round(100 * one.share)} %`), ...one.faults.map((/** @type {any} */ fault) => made("p", {}, `${fault.words}. ${fault.mend}`))),
  );
  const outcomes = (result.then?.outcomes ?? []).map((/** @type {any} */ one) => made("li", {}, made("b", {}, one.shows), ` ${one.means.join("; ")}`));
  at("fault-told").replaceChildren(
    made("h2", {}, suspects.length ? "Likely" : "Nothing is wrong that these readings show"),
    made("ol", {}, ...suspects),
    ...(result.then ? [made("h2", {}, `Read next: ${result.then.words}`), made("ul", {}, ...outcomes)] : []),
  );
}

/** @param {string} key */
function choose(key) {
  for (const tab of document.querySelectorAll(".bench-tabs [role=tab]")) {
    const chosen = tab.id === `tab-${key}`;
    tab.setAttribute("aria-selected", String(chosen));
    tab.setAttribute("tabindex", chosen ? "0" : "-1");
    at(tab.getAttribute("aria-controls") ?? "").hidden = !chosen;
  }
}

/** @param {SubmitEvent} event */
async function keepPhoto(event) {
  event.preventDefault();
  /** @type {File} */
  const file = at("photo").files[0];
  const data = await file.arrayBuffer();
  const by = localStorage.getItem("by") ?? "";
  try {
    await keepPhotograph({ key: newKey(), project: storeKey, at: withZone(new Date()), by, name: file.name, type: file.type, data });
  } catch {
    return say("This phone has no room for it; send it when it has.");
  }
  /** @type {HTMLFormElement} */ (event.target).reset();
  say("");
  await countPhotos();
  void sync();
}

async function countPhotos() {
  photosWait = await photographsOf(storeKey).then((found) => found.length, () => photosWait);
  showSync();
}

/** Send the photographs that wait; one that is none goes, with why. */
async function sendPhotos() {
  for (const one of photosWait ? await photographsOf(storeKey) : []) {
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

function begin() {
  const section = /** @type {HTMLElement | null} */ (document.querySelector(".bench[data-store]"));
  if (!section || section.dataset.begun) return;
  section.dataset.begun = "yes";
  if (section.parentElement) section.parentElement.dataset.live = ""; // it draws itself
  storeKey = `bench ${section.dataset.store}`;
  const before = JSON.parse(localStorage.getItem(storeKey) ?? "null");
  if (before && !begun) Object.assign(kept, before);
  at("by").value = localStorage.getItem("by") ?? "";
  at("find").addEventListener("input", showFound);
  at("tonight").value = localStorage.getItem("tonight") ?? "";
  at("tonight").addEventListener("change", () => {
    localStorage.setItem("tonight", at("tonight").value.trim().slice(0, 40));
    void fetchBest();
  });
  at("next-where").addEventListener("change", showNext);
  at("read-where").addEventListener("change", showGates);
  at("read-gate").addEventListener("change", showGates);
  at("fault-ask").addEventListener("click", () => void askFault());
  at("by").addEventListener("change", () => localStorage.setItem("by", at("by").value.slice(0, 100)));
  at("photo-form").addEventListener("submit", keepPhoto);
  at("note-form").addEventListener("submit", (/** @type {SubmitEvent} */ event) => {
    event.preventDefault();
    note({ kind: "note", item: "", text: at("note").value });
    at("note").value = "";
  });
  showAll();
  void countPhotos().then(fetchData).then(sync).then(fetchBest);
  if (begun) return;
  begun = true;
  setInterval(() => void countPhotos().then(sync), SYNC_MS); // a store that did not open is asked again
  addEventListener("online", () => void countPhotos().then(sync));
  document.addEventListener("viewstale", () => void fetchData().then(sync).then(fetchBest));
}

document.addEventListener("click", (event) => {
  const button = event.target instanceof Element ? /** @type {HTMLElement | null} */ (event.target.closest("button")) : null;
  if (!button) return;
  if (button.id.startsWith("tab-")) choose(button.id.slice(4));
  else if (button.dataset.done) note({ kind: "step", item: button.dataset.done });
  else if (button.dataset.undone) note({ kind: "undone", item: button.dataset.undone });
  else if (button.dataset.reads) showReadings(button.dataset.where ?? "", button.dataset.reads);
  else if (button.dataset.logReading) void logReading(button);
});
document.addEventListener("keydown", (event) => {
  const tab = event.target instanceof Element ? event.target.closest(".bench-tabs [role=tab]") : null;
  if (!tab || !["ArrowLeft", "ArrowRight"].includes(event.key)) return;
  const tabs = [...document.querySelectorAll(".bench-tabs [role=tab]")];
  const next = /** @type {HTMLElement} */ (tabs[(tabs.indexOf(tab) + (event.key === "ArrowRight" ? 1 : tabs.length - 1)) % tabs.length]);
  choose(next.id.slice(4));
  next.focus();
});
new MutationObserver(begin).observe(document.getElementById("view") ?? document.body, { childList: true, subtree: true });
begin();
