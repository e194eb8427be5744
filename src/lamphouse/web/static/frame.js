// The frame of every view: what the server tells, undo and redo, findings, long work.

import { edit, inTurn, projectAddress, say, send, show } from "./edits.js";
import "./drops.js";
import "./fields.js";
import "./mends.js";

/** @typedef {{ajax: (verb: string, path: string, options: object) => Promise<void>}} Htmx */
const htmx = () => /** @type {Htmx} */ (/** @type {any} */ (window).htmx);
const side = /** @type {HTMLElement} */ (document.getElementById("side"));
const view = /** @type {HTMLElement} */ (document.getElementById("view"));
const opener = /** @type {HTMLElement} */ (document.getElementById("open-findings"));

/** Views that show what the bench log says. */
const FOLLOW_THE_LOG = new Set(["table", "steps"]);

/** Fetch the view again and put what differs in the place of what was. */
function freshen() {
  if (view.dataset.live !== undefined) return document.dispatchEvent(new CustomEvent("viewstale"));
  void htmx().ajax("GET", view.dataset.body ?? "", { source: "#view", target: "#view", swap: "innerMorph" });
}

function freshenSide() {
  if (!side.hidden) void htmx().ajax("GET", `${projectAddress()}/findings`, { source: "#side", target: "#side", swap: "innerMorph" });
}

/** @param {boolean} open */
function openSide(open) {
  side.hidden = !open;
  opener.setAttribute("aria-expanded", String(open));
  freshenSide();
  if (!open) opener.focus();
}

let fault = "";
/** @param {string} now why the project's file cannot be read; empty while it can */
function showFault(now) {
  if (now !== fault) say(now);
  fault = now;
}

/** @param {any} event */
function heard(event) {
  if (event.state) show(event.state);
  showFault((event.state ?? event).fault ?? "");
  if (event.event === "hello") show(event);
  if (event.event === "revision" && event.outside) freshen();
  if (event.event === "planned") {
    freshen();
    freshenSide();
  }
  if (event.event === "logged" && FOLLOW_THE_LOG.has(document.body.dataset.view ?? "")) freshen();
  if (event.event === "job") showJob(event.job);
}

/** @param {{number: number, name: string, state: string, done: number, of: number, words: string}} job */
function showJob(job) {
  const at = /** @type {HTMLElement} */ (document.getElementById("work"));
  const running = job.state === "running" || job.state === "waiting";
  at.replaceChildren(`${job.name}: ${job.state}${job.of ? ` ${job.done}/${job.of}` : ""} ${job.words}`);
  if (running) {
    const stop = document.createElement("button");
    stop.type = "button";
    stop.textContent = "Stop";
    stop.dataset.stopJob = String(job.number);
    at.append(" ", stop);
  }
  document.dispatchEvent(new CustomEvent("job", { detail: job }));
}

function listen() {
  const source = new EventSource(`${projectAddress()}/events`);
  source.onmessage = (message) => {
    document.body.dataset.server = "there";
    heard(JSON.parse(message.data));
  };
  source.onerror = () => {
    document.body.dataset.server = "gone";
  };
}

/** @param {"undo" | "redo"} which */
async function step(which) {
  const outcome = await inTurn(() => send(which));
  say(outcome.ok ? "" : outcome.answer.message);
  if (!outcome.ok) return;
  show(outcome.answer);
  freshen();
}

document.addEventListener("click", (event) => {
  const at = event.target instanceof Element ? event.target.closest("button") : null;
  if (!at) return;
  if (at.id === "undo" || at.id === "redo") void step(at.id);
  else if (at.id === "open-findings") openSide(side.hidden === true);
  else if (at.dataset.closeSide !== undefined) openSide(false);
  else if (at.dataset.stopJob) void send(`jobs/${at.dataset.stopJob}/stop`);
});
document.addEventListener("htmx:response:error", (event) => {
  const { ctx } = /** @type {CustomEvent} */ (event).detail;
  if (ctx.response.status >= 500) say("This could not be computed anew, and what is shown is from before; the terminal of lamphouse open says why.");
});
document.addEventListener("mended", () => {
  freshen();
  freshenSide();
});
document.addEventListener("submit", (event) => {
  const form = event.target;
  if (!(form instanceof HTMLFormElement) || form.dataset.accept === undefined) return;
  event.preventDefault();
  const { code = "", item = "" } = form.dataset;
  const reason = String(new FormData(form).get("reason") ?? "");
  void edit(`Accept ${code}`, [{ do: "accept", code, item, reason }]).then((outcome) => {
    say(outcome.ok ? "" : outcome.answer.message);
    if (outcome.ok) freshen();
  });
});
document.addEventListener("keydown", (event) => {
  if (event.key === "Escape" && !side.hidden) openSide(false);
  if (!(event.ctrlKey || event.metaKey) || event.altKey) return;
  const typing = event.target instanceof HTMLInputElement && event.target.type === "text";
  const key = event.key.toLowerCase();
  if (typing || (key !== "z" && key !== "y")) return;
  event.preventDefault();
  void step(key === "y" || event.shiftKey ? "redo" : "undo");
});
document.querySelector(".views a[aria-current]")?.scrollIntoView({ inline: "center", block: "nearest" });
listen();
