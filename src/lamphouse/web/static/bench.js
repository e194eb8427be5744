// The bench in one hand: flags, next steps, readings, faults, the log; kept when the network goes.

import { at, here, kept } from "./bench_kept.js";
import { choose, gateNow, made, showAll, showFound, showGates, showNext, showReadings } from "./bench_shown.js";
import { ask, countPhotos, fetchBest, fetchData, keepPhoto, note, sync } from "./bench_sync.js";

const SYNC_MS = 5000;
let begun = false;

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

function begin() {
  const section = /** @type {HTMLElement | null} */ (document.querySelector(".bench[data-store]"));
  if (!section || section.dataset.begun) return;
  section.dataset.begun = "yes";
  if (section.parentElement) section.parentElement.dataset.live = ""; // it draws itself
  here.storeKey = `bench ${section.dataset.store}`;
  const before = JSON.parse(localStorage.getItem(here.storeKey) ?? "null");
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
