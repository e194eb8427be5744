// What the bench shows: flags, next steps, gates with their readings, and the log.

import { bestFirst, doneOf, nextSteps, search, together } from "./bench_data.js";
import { address, at, here, kept } from "./bench_kept.js";

/** @typedef {import("./bench_data.js").Entry} Entry */
/** @typedef {import("./bench_kept.js").Gate} Gate */

/**
 * Make an element with words and children in it.
 * @param {string} tag
 * @param {Record<string, string>} [attributes]
 * @param {(Node | string)[]} children
 */
export function made(tag, attributes = {}, ...children) {
  const element = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) element.setAttribute(name, value);
  element.append(...children);
  return element;
}

export function showSync() {
  const waiting = kept.waiting.length + here.photosWait;
  const words = waiting ? `${waiting} not sent yet` : "all sent";
  at("sync")?.replaceChildren(kept.reached ? words : `no network, ${words}`);
}

export function showAll() {
  if (!at("find") || !kept.data) return;
  fill("next-where", ["", ...kept.data.sub_assemblies], "anywhere");
  for (const id of ["read-where", "fault-where"]) fill(id, kept.data.sub_assemblies);
  showFound();
  showGates();
  showLog();
}

/** Show what the log changes; what is being typed elsewhere stays. */
export function showLog() {
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

export function showFound() {
  const typed = at("find").value;
  const found = kept.data ? search(kept.data.flags, typed) : [];
  const items = found.map((flag) => {
    const lines = flag.lines.flatMap(([words, value]) => [made("dt", {}, words), made("dd", {}, value)]);
    return made("li", { class: "flag" }, made("h2", {}, flag.flag), made("p", {}, `${flag.kind}${flag.sub_assembly ? `, ${flag.sub_assembly}` : ""}`), made("dl", {}, ...lines));
  });
  if (typed.trim() && !items.length) items.push(made("li", {}, "Nothing has this flag."));
  at("found").replaceChildren(...items);
}

export function showNext() {
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
export function gateNow() {
  const where = at("read-where").value;
  return kept.data?.gates.find((gate) => gate.sub_assembly === where && gate.gate === at("read-gate").value);
}

export function showGates() {
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

/** @param {string} key */
export function choose(key) {
  for (const tab of document.querySelectorAll(".bench-tabs [role=tab]")) {
    const chosen = tab.id === `tab-${key}`;
    tab.setAttribute("aria-selected", String(chosen));
    tab.setAttribute("tabindex", chosen ? "0" : "-1");
    at(tab.getAttribute("aria-controls") ?? "").hidden = !chosen;
  }
}

/**
 * Show the readings of a gate.
 * @param {string} where
 * @param {string} gate
 */
export function showReadings(where, gate) {
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
