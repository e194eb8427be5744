// Outlines from pictures: taking pictures in, asking for a tracing, and taking it into the project.

import { LOST, projectAddress, say, send, show } from "./edits.js";
import { marks, setMarking, showPicture, showTracing, wake } from "./trace_stage.js";

const MOST_BYTES = 60_000_000;

/** @param {string} id */
const by = (id) => /** @type {any} */ (document.getElementById(id));
let job = 0;
/** The job that is at work. */
let working = 0;
let showing = "";
/** Whether figures are to be shown for the first time. */
let isFresh = false;
/** Grows with whatever is shown: what comes late does not take its place. */
let turn = 0;
/** How each job stood last: word of it may come before its number. @type {Map<number, any>} */
const stands = new Map();
/** Whether the maker has changed the form since it was last sent or filled in. */
let isTyped = false;
/** Address of the picture that is shown. */
let picture = "";

/**
 * Make what the server is asked from a form as typed.
 * @param {FormData} typed
 * @param {number[]} put marks of a ruler
 */
export function askedOf(typed, put) {
  const text = (/** @type {string} */ name) => String(typed.get(name) ?? "").trim();
  const reference = text("reference");
  return {
    pictures: typed.getAll("pictures").map(String),
    reference,
    dpi: text(reference === "card" ? "card_dpi" : "dpi"),
    printed: text("printed"),
    paper: text("paper") || "A4",
    across: text("across"),
    high: text("high"),
    square: text("square"),
    marks: put,
    apart: text("apart"),
    lender: text("lender"),
    thickness: text("thickness"),
    window: text("window"),
    part: text("part"),
    sketch: typed.has("sketch"),
    finest: text("finest"),
    within: text("within"),
    snapped: !typed.has("unsnapped"),
    against: text("against"),
  };
}

/**
 * Say beside a field what is wrong with it.
 * @param {HTMLElement} form
 * @param {string} field empty clears all
 * @param {string} words
 */
function refuse(form, field, words) {
  for (const at of form.querySelectorAll("[data-field]")) {
    const is = at instanceof HTMLElement && at.dataset.field === field;
    at.classList.toggle("refused", is);
    const place = at.querySelector(".refusal");
    if (place) place.textContent = is ? words : "";
    const input = at.querySelector("input, select");
    if (is && input instanceof HTMLElement) input.focus();
  }
}

/**
 * Fetch something of the project's; a lost server is told, as an answer that is none.
 * @param {string} address
 */
async function get(address) {
  try {
    return await fetch(address);
  } catch {
    say(LOST);
    return Response.json({ message: LOST }, { status: 503 });
  }
}

/** @param {string} name */
async function showNamed(name) {
  const mine = ++turn;
  const address = `${projectAddress()}/trace/shown?name=${encodeURIComponent(name)}`;
  const answer = await get(address);
  if (!answer.ok) {
    const said = await answer.json().catch(() => ({ message: answer.statusText }));
    say(said.message);
    return;
  }
  const [columns = 1, rows = 1] = (answer.headers.get("Picture-Size") ?? "1 1").split(" ").map(Number);
  const content = await answer.blob();
  if (mine !== turn) return;
  showing = name;
  URL.revokeObjectURL(picture);
  picture = URL.createObjectURL(content);
  showPicture(picture, columns, rows, name);
  by("trace-figures").replaceChildren();
  by("trace-accept").hidden = true;
}

/** @param {File[]} files */
async function takeIn(files) {
  const at = by("trace-taken");
  const refused = [];
  for (const [number, file] of files.entries()) {
    at.textContent = `Taking in ${file.name}, ${number + 1} of ${files.length}.`;
    if (file.size > MOST_BYTES) {
      refused.push(`${file.name}: it has ${Math.round(file.size / 1e6)} MB; at most ${MOST_BYTES / 1e6} MB are kept`);
      continue;
    }
    const content = new FormData();
    content.append("file", file);
    try {
      const answer = await fetch(`${projectAddress()}/trace/picture`, { method: "POST", body: content });
      const said = await answer.json().catch(() => ({ message: answer.statusText }));
      if (answer.ok) list(said.name);
      else refused.push(`${file.name}: ${said.message}`);
    } catch {
      refused.push(`${file.name}: the page has lost its server; start lamphouse open again`);
    }
  }
  const kept = files.length - refused.length;
  at.textContent = kept ? `${kept} ${kept === 1 ? "picture" : "pictures"} taken in.` : "";
  refuse(by("trace-form"), refused.length ? "pictures" : "", refused.join(" "));
}

/** Put a picture into the list, chosen. @param {string} name */
function list(name) {
  const there = [...by("trace-pictures").querySelectorAll("input")].find((one) => one.value === name);
  if (there) {
    there.checked = true;
  } else {
    const line = document.createElement("li");
    const label = document.createElement("label");
    label.className = "check";
    const box = Object.assign(document.createElement("input"), { type: "checkbox", name: "pictures", value: name, checked: true });
    label.append(box, ` ${name}`);
    const button = Object.assign(document.createElement("button"), { type: "button", className: "quiet", textContent: "show" });
    button.dataset.show = name;
    button.setAttribute("aria-label", `Show ${name}`);
    line.append(label, " ", button);
    by("trace-pictures").append(line);
    by("trace-form").elements.lender.append(new Option(name));
  }
  void showNamed(name);
}

async function begin() {
  const form = /** @type {HTMLFormElement} */ (by("trace-form"));
  refuse(form, "", "");
  const asked = askedOf(new FormData(form), marks());
  if (!asked.pictures.length) {
    refuse(form, "pictures", "Choose the pictures to trace.");
    return;
  }
  isTyped = false;
  const outcome = await send("trace/start", asked);
  if (!outcome.ok) {
    const { field, message } = outcome.answer;
    const named = field === "dpi" && asked.reference === "card" ? "card_dpi" : field;
    if (named) {
      const at = form.querySelector(`[data-field="${named}"]`)?.closest("details");
      if (at) at.open = true;
      refuse(form, named, message);
    } else say(message);
    return;
  }
  say("");
  follow(outcome.answer);
}

/** Follow a job until it ends. @param {{number: number, state: string, done: number, of: number, words: string}} begun */
function follow(begun) {
  working = begun.number;
  turn++;
  heard(stands.get(working) ?? begun);
}

/** @param {{number: number, state: string, done: number, of: number, words: string}} one */
function heard(one) {
  stands.set(one.number, one);
  if (one.number !== working) return;
  const runs = one.state === "waiting" || one.state === "running";
  const progress = by("trace-progress");
  progress.hidden = by("trace-stop").hidden = !runs;
  progress.max = one.of || 1;
  progress.value = one.done;
  by("trace-state").textContent = runs ? one.words || one.state : one.state === "failed" ? `Not done: ${one.words}` : one.state;
  if (runs) return;
  working = 0;
  isFresh = one.state === "done";
  if (isFresh) void open(one.number);
}

/** Show what came of a tracing. @param {number} number */
async function open(number) {
  const answer = await get(`${projectAddress()}/trace/found?job=${number}`);
  if (!answer.ok) return;
  /** @type {import("./trace_stage.js").Found} */
  const found = await answer.json();
  job = number;
  if (!isTyped) fill(found.asked);
  if (found.sight) showTracing(number, `${projectAddress()}/trace/sight.png?job=${number}`, found);
  by("trace-accept").hidden = !found.sight;
  by("trace-written").textContent = "";
  if (!found.sight) await figures();
}

/**
 * Fill the form in as it was when the tracing was asked for.
 * @param {ReturnType<typeof askedOf>} asked
 */
function fill(asked) {
  const form = /** @type {HTMLFormElement} */ (by("trace-form"));
  const typed = { ...asked, dpi: asked.reference === "card" ? "" : asked.dpi, card_dpi: asked.reference === "card" ? asked.dpi : "" };
  for (const [name, value] of Object.entries(typed)) {
    const at = form.elements.namedItem(name);
    if (at instanceof RadioNodeList && typeof value === "string") at.value = value;
    else if (at instanceof HTMLInputElement && at.type === "checkbox" && typeof value === "boolean") at.checked = value;
    else if ((at instanceof HTMLInputElement || at instanceof HTMLSelectElement) && typeof value === "string") at.value = value;
  }
  for (const box of form.querySelectorAll("input[name='pictures']"))
    /** @type {HTMLInputElement} */ (box).checked = asked.pictures.includes(/** @type {HTMLInputElement} */ (box).value);
  /** @type {HTMLInputElement} */ (form.elements.namedItem("unsnapped")).checked = !asked.snapped;
  settle();
}

async function figures() {
  const held = document.activeElement instanceof HTMLElement ? document.activeElement.dataset : {};
  const answer = await get(`${projectAddress()}/trace/figures?job=${job}`);
  if (!answer.ok) return;
  by("trace-figures").innerHTML = await answer.text();
  if (isFresh) by("trace-figures").scrollIntoView();
  isFresh = false;
  if (held.drill === undefined) return;
  const again = [...by("trace-figures").querySelectorAll("[data-drill]")];
  again.find((one) => one.dataset.drill === held.drill && one.dataset.piece === held.piece)?.focus();
}

async function take() {
  const form = /** @type {HTMLFormElement} */ (by("trace-accept"));
  refuse(form, "", "");
  const typed = new FormData(form);
  const text = (/** @type {string} */ name) => String(typed.get(name) ?? "").trim();
  const content = { job, panel: text("panel"), into: text("into"), opening: text("opening"), at: text("at") };
  if (content.into === "opening" && !content.opening) {
    refuse(form, "opening", "Name the opening.");
    return;
  }
  const outcome = await send("trace/accept", content);
  if (!outcome.ok) {
    if (outcome.answer.field) refuse(form, outcome.answer.field, outcome.answer.message);
    else say(outcome.answer.message);
    return;
  }
  say("");
  show(outcome.answer);
  const [sub = "", panel = ""] = content.panel.split(" / ");
  const link = document.createElement("a");
  link.href = `${projectAddress()}/panel?sub=${encodeURIComponent(sub)}&panel=${encodeURIComponent(panel)}`;
  link.textContent = "Open the panel";
  by("trace-written").replaceChildren(`Taken into ${outcome.answer.written}. `, link);
}

/** Show the fields of what is chosen. */
function settle() {
  const form = /** @type {HTMLFormElement} */ (by("trace-form"));
  const typed = new FormData(form);
  const reference = String(typed.get("reference"));
  for (const at of form.querySelectorAll("[data-of]")) at.toggleAttribute("hidden", /** @type {HTMLElement} */ (at).dataset.of !== reference);
  const isThing = !["dpi", "ruler"].includes(reference);
  for (const name of ["lender", "thickness"]) form.querySelector(`[data-field="${name}"]`)?.toggleAttribute("hidden", !isThing);
  if (reference !== "ruler") mark(false);
  const into = new FormData(by("trace-accept")).get("into");
  for (const at of by("trace-accept").querySelectorAll("[data-into]")) at.hidden = at.dataset.into !== into;
  const panels = /** @type {[string, string[]][]} */ (JSON.parse(by("trace").dataset.panels));
  const chosen = panels.find(([name]) => name === by("trace-accept").elements.panel.value);
  by("trace-openings").replaceChildren(...(chosen?.[1] ?? []).map((name) => new Option("", name)));
}

/** @param {boolean} on */
function mark(on) {
  by("trace-mark")?.setAttribute("aria-pressed", String(on));
  setMarking(on);
}

/** @param {MouseEvent} event */
function clicked(event) {
  const button = event.target instanceof Element ? event.target.closest("button") : null;
  if (!button) return;
  if (button.dataset.show) void showNamed(button.dataset.show);
  else if (button.id === "trace-stop" && working) void send(`jobs/${working}/stop`);
  else if (button.id === "trace-mark") {
    mark(button.getAttribute("aria-pressed") !== "true");
    const first = by("trace-form").querySelector("input[name='pictures']:checked");
    if (first && (job || first.value !== showing)) {
      job = 0;
      void showNamed(first.value);
    }
  }
}

function begun() {
  const view = by("view");
  view.dataset.live = "";
  wake();
  settle();
  const at = by("trace");
  at.addEventListener("click", clicked);
  at.addEventListener("input", (/** @type {Event} */ event) => {
    if (event.target instanceof Element && event.target.closest("#trace-form")) isTyped = true;
  });
  at.addEventListener("change", (/** @type {Event} */ event) => {
    const from = event.target;
    if (from instanceof HTMLInputElement && from.type === "file") {
      void takeIn([...(from.files ?? [])]).then(() => (from.value = ""));
    } else settle();
  });
  at.addEventListener("submit", (/** @type {SubmitEvent} */ event) => {
    event.preventDefault();
    void (/** @type {HTMLElement} */ (event.target).id === "trace-form" ? begin() : take());
  });
  for (const [name, on] of /** @type {[string, boolean][]} */ ([["dragover", true], ["dragleave", false], ["drop", false]]))
    at.addEventListener(name, (/** @type {DragEvent} */ event) => {
      event.preventDefault();
      at.classList.toggle("dropping", on);
      if (name === "drop") void takeIn([...(event.dataTransfer?.files ?? [])]);
    });
  const latest = Number(at.dataset.latest);
  if (latest) void open(latest);
  else if (at.dataset.left !== undefined)
    void send("trace/again").then((outcome) => {
      if (outcome.ok) follow(outcome.answer);
      else say(outcome.answer.message);
    });
}

if (typeof document !== "undefined") {
  document.addEventListener("job", (event) => heard(/** @type {CustomEvent} */ (event).detail));
  document.addEventListener("nudged", () => void figures());
  document.addEventListener("marked", (event) => {
    const count = Number(/** @type {CustomEvent} */ (event).detail);
    const [x = 0, y = 0, u = 0, v = 0] = marks();
    const apart = count > 1 ? `, ${Math.hypot(u - x, v - y).toFixed(0)} pixels apart` : "";
    by("trace-marked").textContent = ["no mark yet", "one mark", "two marks"][count] + apart;
  });
  const ready = () => {
    if (!document.getElementById("trace")) return;
    watching.disconnect();
    begun();
  };
  const watching = new MutationObserver(ready);
  watching.observe(by("view"), { childList: true });
  ready();
}
