// The order of work: ticks and readings into the bench log, evenings and wishes into the file.

import { withZone } from "./bench_data.js";
import { namesIn } from "./circuit.js";
import { edit, projectAddress, say, send } from "./edits.js";

/**
 * Make what is written into the file for a row or a step that is added; what is empty is left out.
 * @param {[string, string][]} typed
 */
export function entryOf(typed) {
  /** @type {Record<string, string | string[]>} */
  const entry = {};
  for (const [name, words] of typed) {
    const value = words.trim();
    if (!value || name === "name") continue;
    entry[name] = name === "after" || name === "before" ? namesIn(value) : value;
  }
  return entry;
}

/**
 * Give the edit that adds an entry to a list of the file, or a step by its name.
 * @param {string} list `evenings`, `waiting`, `order` or `steps`
 * @param {Record<string, string | string[]>} entry
 * @param {boolean} has whether the list is in the file already
 * @param {string} name of a step
 * @returns {import("./edits.js").Edit}
 */
export function added(list, entry, has, name = "") {
  if (list === "steps") return { do: "set", path: ["steps", name], value: entry, was: "" };
  if (has) return { do: "add", path: [list], value: entry };
  return { do: "set", path: [list], value: [entry], was: "" };
}

/**
 * Give an address with other words asked for; what is empty is left out.
 * @param {string} address
 * @param {[string, string][]} wanted
 */
export function narrowed(address, wanted) {
  const [path, query] = address.split("?", 2);
  const asked = new URLSearchParams(query);
  for (const [name, words] of wanted) {
    if (words.trim()) asked.set(name, words.trim());
    else asked.delete(name);
  }
  return asked.size ? `${path}?${asked}` : path;
}

/** @typedef {{ajax: (verb: string, path: string, options: object) => Promise<void>}} Htmx */

/**
 * Show another part of the view, and keep its address.
 * @param {string} query with its question mark, or empty
 * @param {boolean} [kept] whether the address stands in the history already
 */
async function go(query, kept = false) {
  const view = /** @type {HTMLElement} */ (document.getElementById("view"));
  const ground = `${projectAddress()}/steps`;
  view.dataset.body = `${ground}/body${query}`;
  if (!kept) history.pushState(null, "", `${ground}${query}`);
  const htmx = /** @type {Htmx} */ (/** @type {any} */ (window).htmx);
  await htmx.ajax("GET", view.dataset.body, { source: "#view", target: "#view", swap: "innerMorph" });
}

/** Bring the step that is open into sight. */
function showChosen() {
  const title = document.querySelector(".steps > li.here .title");
  if (title instanceof HTMLElement) title.focus({ preventScroll: true });
  title?.closest("li")?.scrollIntoView({ block: "nearest" });
  return title !== null;
}

const freshen = () => go(location.search, true);

function newKey() {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  return [...bytes].map((byte) => byte.toString(16).padStart(2, "0")).join("");
}

/**
 * Write an entry of the bench log, and say what stands against it.
 * @param {Record<string, string>} entry
 */
async function log(entry) {
  const by = localStorage.getItem("by") ?? "";
  const entries = [{ key: newKey(), at: withZone(new Date()), by, ...entry }];
  const outcome = await send("bench/log", { entries });
  say(outcome.ok ? "" : outcome.answer.message);
  return outcome.ok;
}

/** @param {HTMLButtonElement} button */
async function tick(button) {
  const { log: kind = "", item = "" } = button.dataset;
  button.disabled = true; // until all is planned anew and shown
  if (!(await log({ kind, item }))) button.disabled = false;
}

/** @param {HTMLFormElement} form */
async function logReading(form) {
  const { reading: name = "", item = "", gate = "" } = form.dataset;
  const field = /** @type {HTMLInputElement} */ (form.elements.namedItem("value"));
  const told = await log({ kind: "reading", item, name, value: field.value.trim(), text: gate ? `gate ${gate}` : "" });
  if (told) field.value = "";
}

/** @param {string} label @param {import("./edits.js").Edit[]} edits */
async function make(label, edits) {
  const outcome = await edit(label.slice(0, 180), edits);
  say(outcome.ok ? "" : outcome.answer.message);
  return outcome;
}

/** @param {HTMLFormElement} form */
async function add(form) {
  const { add: list = "", label = "", has } = form.dataset;
  const typed = [...new FormData(form)].map(([name, value]) => /** @type {[string, string]} */ ([name, String(value)]));
  const name = typed.find(([key]) => key === "name")?.[1].trim() ?? "";
  const outcome = await make(name ? `${label}: ${name}` : label, [added(list, entryOf(typed), has !== undefined, name)]);
  if (outcome.ok) form.reset();
}

/** @param {HTMLInputElement} field with names parted by commas */
async function sendNames(field) {
  const names = namesIn(field.value);
  if (!names.length && !field.dataset.was) return;
  const path = JSON.parse(field.dataset.listed ?? "[]");
  const one = names.length ? { do: "set", path, value: names } : { do: "remove", path };
  const outcome = await edit(`${field.dataset.label}: ${names.join(", ")}`.slice(0, 180), [one]);
  const told = outcome.ok ? "" : outcome.answer.message;
  if (outcome.ok) field.dataset.was = names.join(", ");
  const label = field.closest(".field");
  label?.classList.toggle("refused", told !== "");
  const at = label?.querySelector(".refusal");
  if (at) at.textContent = told;
}

/** @param {HTMLFormElement} form */
function narrow(form) {
  const typed = [...new FormData(form)].map(([name, value]) => /** @type {[string, string]} */ ([name, String(value)]));
  const address = narrowed(location.search || "?", [...typed, ["step", ""]]);
  void go(address.startsWith("?") ? address : "");
}

function listen() {
  document.addEventListener("click", (event) => {
    const at = event.target instanceof Element ? event.target.closest("button, a") : null;
    if (at instanceof HTMLButtonElement) {
      if (at.dataset.log) void tick(at);
    } else if (at instanceof HTMLAnchorElement && at.dataset.within !== undefined && !event.ctrlKey && !event.metaKey && event.button === 0) {
      event.preventDefault();
      void go(new URL(at.href).search).then(showChosen);
    }
  });
  document.addEventListener("submit", (event) => {
    const form = event.target;
    if (!(form instanceof HTMLFormElement)) return;
    const { reading, add: list, narrow: narrows } = form.dataset;
    if (reading === undefined && list === undefined && narrows === undefined) return;
    event.preventDefault();
    if (reading !== undefined) void logReading(form);
    else if (list !== undefined) void add(form);
    else narrow(form);
  });
  document.addEventListener("change", (event) => {
    const field = event.target;
    if (field instanceof HTMLSelectElement && field.form?.dataset.narrow !== undefined) narrow(field.form);
    else if (field instanceof HTMLInputElement && field.dataset.listed !== undefined) void sendNames(field);
  });
  addEventListener("popstate", () => void freshen());
  const view = document.getElementById("view");
  const first = new MutationObserver(() => {
    if (!view?.querySelector(".steps-view")) return;
    first.disconnect();
    showChosen();
  });
  if (view) first.observe(view, { childList: true, subtree: true });
}

if (typeof document !== "undefined") listen();
