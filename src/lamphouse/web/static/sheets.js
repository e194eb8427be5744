// Pieces on stock sheets, moved and turned by pointer and keys; the server decides where they lie.

import { say, send, show } from "./edits.js";
import { freshenJobs, start } from "./long_work.js";

const NUDGE_MM = 0.1;
const FAR_MM = 1;
const WAIT_MS = 450;
const STILL_PX = 3;

/** @typedef {{x: number, y: number, turn: number}} Place */

/**
 * Give the place of a piece of some size after a quarter turn about its middle.
 * @param {Place} at lower left corner of the box around it, as turned
 * @param {number} wide
 * @param {number} high
 * @returns {Place}
 */
export function quarterTurned(at, wide, high) {
  return { x: at.x + (wide - high) / 2, y: at.y + (high - wide) / 2, turn: (at.turn + 90) % 360 };
}

/**
 * Read a length in mm or inch as the maker types it; NaN when it is none.
 * @param {string} text
 * @returns {number}
 */
export function millimetres(text) {
  const found = /^\s*([-+]?(?:\d+\.?\d*|\.\d+))\s*(mm|cm|in|inch|thou|)\s*$/i.exec(text);
  if (!found) return NaN;
  const factor = { "": 1, mm: 1, cm: 10, in: 25.4, inch: 25.4, thou: 0.0254 }[(found[2] ?? "").toLowerCase()] ?? NaN;
  return Number(found[1]) * factor;
}

/**
 * Say a length with at most three decimals.
 * @param {number} value
 */
export function inMm(value) {
  return `${Number(value.toFixed(3))} mm`;
}

/** Places asked for that are not drawn yet, by piece. @type {Map<string, Place>} */
const wanted = new Map();

/** @param {SVGElement} piece @returns {Place} Where it is to lie, as far as is known. */
function placeOf(piece) {
  return wanted.get(piece.dataset.piece ?? "") ?? drawnAt(piece);
}

/** @param {SVGElement} piece @returns {Place} */
function drawnAt(piece) {
  const { x = "0", y = "0", turn = "0" } = piece.dataset;
  return { x: Number(x), y: Number(y), turn: Number(turn) };
}

/** @param {Element} piece */
function stockOf(piece) {
  const section = /** @type {HTMLElement | null} */ (piece.closest("[data-stock]"));
  return Number(section?.dataset.stock || 0);
}

const CANNOT = "Only the first copy of a piece, on the first sheet of an entry of the stock list, can be locked. 'I have this sheet' puts a bought one on the list.";

/**
 * Ask for a place.
 * @param {SVGElement} piece
 * @param {Place} place
 */
async function lock(piece, place) {
  const stock = stockOf(piece);
  if (!stock || piece.dataset.copy !== "1") return refuse(piece);
  isTyped = false;
  wanted.set(piece.dataset.piece ?? "", place);
  const outcome = await send("sheets/place", { piece: piece.dataset.piece, stock, ...place });
  return settled(outcome, piece);
}

/** @param {SVGElement} piece */
function refuse(piece) {
  piece.removeAttribute("transform");
  say(CANNOT);
}

/**
 * @param {import("./edits.js").Outcome} outcome
 * @param {SVGElement} [piece]
 */
function settled(outcome, piece) {
  say(outcome.ok ? "" : outcome.answer.message);
  if (outcome.ok) return show(outcome.answer);
  piece?.removeAttribute("transform");
  wanted.clear();
}

/** Id of the piece that is chosen; empty while none is. */
let chosen = "";
/** Whether the maker has typed a place for it. */
let isTyped = false;

/** Choose again what was chosen, after the view was fetched anew: what is typed for it stays. */
function chooseAgain() {
  wanted.clear();
  const piece = document.getElementById(chosen);
  if (piece instanceof SVGElement) choose(piece);
}

/** @param {SVGElement} piece */
function choose(piece) {
  if (piece.id !== chosen) isTyped = false;
  chosen = piece.id;
  for (const other of document.querySelectorAll(".piece.chosen")) other.classList.remove("chosen");
  piece.classList.add("chosen");
  for (const form of document.querySelectorAll("form[data-place]")) form.setAttribute("hidden", "");
  const form = piece.closest(".stock")?.querySelector("form[data-place]");
  if (!(form instanceof HTMLFormElement) || !stockOf(piece) || piece.dataset.copy !== "1") return;
  const at = placeOf(piece);
  form.dataset.piece = piece.dataset.piece;
  /** @type {HTMLElement} */ (form.querySelector("[data-name]")).textContent = piece.dataset.piece ?? "";
  if (!isTyped) {
    field(form, "x").value = inMm(at.x);
    field(form, "y").value = inMm(at.y);
    field(form, "turn").value = `${at.turn} deg`;
  }
  /** @type {HTMLButtonElement} */ (form.querySelector("[data-free]")).disabled = piece.dataset.locked === undefined;
  form.hidden = false;
}

/** @param {HTMLFormElement} form @param {string} name */
function field(form, name) {
  return /** @type {HTMLInputElement} */ (form.elements.namedItem(name));
}

/** @type {{piece: SVGElement, id: number, x: number, y: number, mmPerPx: number, moved: boolean} | null} */
let drag = null;
let timer = 0;
/** @type {{piece: SVGElement, place: Place} | null} */
let nudged = null;

/** @param {PointerEvent} event */
function pressed(event) {
  const at = event.target instanceof Element ? event.target.closest(".piece") : null;
  if (!(at instanceof SVGElement) || event.button !== 0) return;
  const over = /** @type {SVGSVGElement} */ (at.closest("svg"));
  const scale = over.getScreenCTM()?.a ?? 1;
  drag = { piece: at, id: event.pointerId, x: event.clientX, y: event.clientY, mmPerPx: 1 / scale, moved: false };
  choose(at);
}

/** @param {PointerEvent} event */
function dragged(event) {
  if (!drag || event.pointerId !== drag.id) return;
  const right = event.clientX - drag.x;
  const down = event.clientY - drag.y;
  if (!drag.moved && Math.hypot(right, down) < STILL_PX) return;
  if (!drag.moved) drag.piece.setPointerCapture(event.pointerId);
  drag.moved = true;
  drag.piece.classList.add("moving");
  drag.piece.setAttribute("transform", `translate(${right * drag.mmPerPx} ${down * drag.mmPerPx})`);
}

/** @param {PointerEvent} event */
function released(event) {
  const held = drag;
  drag = null;
  if (!held?.moved) return;
  held.piece.classList.remove("moving");
  const at = placeOf(held.piece);
  const right = (event.clientX - held.x) * held.mmPerPx;
  const down = (event.clientY - held.y) * held.mmPerPx;
  void lock(held.piece, { ...at, x: at.x + right, y: at.y - down });
}

function letGo() {
  drag?.piece.classList.remove("moving");
  drag?.piece.removeAttribute("transform");
  drag = null;
}

/**
 * @param {SVGElement} piece
 * @param {KeyboardEvent} event
 */
function keyed(piece, event) {
  const step = event.shiftKey ? FAR_MM : NUDGE_MM;
  const way = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] }[event.key];
  if (way && !event.ctrlKey && !event.metaKey) {
    event.preventDefault();
    const from = nudged?.piece === piece ? nudged.place : placeOf(piece);
    const place = { ...from, x: from.x + (way[0] ?? 0) * step, y: from.y + (way[1] ?? 0) * step };
    nudged = { piece, place };
    const at = drawnAt(piece);
    piece.setAttribute("transform", `translate(${place.x - at.x} ${at.y - place.y})`);
    clearTimeout(timer);
    timer = window.setTimeout(() => {
      nudged = null;
      void lock(piece, place);
    }, WAIT_MS);
  } else if (event.key.toLowerCase() === "r" && !event.ctrlKey && !event.metaKey) {
    void lock(piece, quarterTurned(placeOf(piece), Number(piece.dataset.w), Number(piece.dataset.h)));
  } else if (event.key.toLowerCase() === "l" && !event.ctrlKey && !event.metaKey) {
    if (piece.dataset.locked === undefined) void lock(piece, placeOf(piece));
    else void send("sheets/free", { pieces: [piece.dataset.piece] }).then((outcome) => settled(outcome));
  } else if (event.key === "Escape") letGo();
  else if (event.key === "Enter" || event.key === " ") {
    event.preventDefault();
    choose(piece);
  }
}

/** @param {MouseEvent} event */
function clicked(event) {
  const at = event.target instanceof Element ? event.target.closest("button") : null;
  if (!at) return;
  const { hold, own, squeeze, freeAll } = at.dataset;
  if (hold) void send("sheets/hold", { sheet: hold }).then((outcome) => settled(outcome));
  else if (own) void send("sheets/own", { sheet: own }).then((outcome) => settled(outcome));
  else if (freeAll) void send("sheets/free", { pieces: JSON.parse(freeAll) }).then((outcome) => settled(outcome));
  else if (squeeze) void start("start/squeeze", { sheets: JSON.parse(squeeze), seconds: 10 }).then(freshenJobs);
  else if (at.dataset.free !== undefined) {
    const piece = at.closest("form")?.dataset.piece;
    void send("sheets/free", { pieces: [piece] }).then((outcome) => settled(outcome));
  }
}

/** @param {SubmitEvent} event */
function submitted(event) {
  const form = event.target;
  if (!(form instanceof HTMLFormElement) || form.dataset.place === undefined) return;
  event.preventDefault();
  const place = {
    x: millimetres(field(form, "x").value),
    y: millimetres(field(form, "y").value),
    turn: Number(field(form, "turn").value.replace(/(deg|°)\s*$/, "")),
  };
  const refusal = /** @type {HTMLElement} */ (form.querySelector(".refusal"));
  const fine = Object.values(place).every(Number.isFinite);
  refusal.textContent = fine ? "" : "Type lengths such as 12.5 mm or 0.5 in, and a turn such as 90 deg.";
  const piece = [...(form.closest(".stock")?.querySelectorAll(".piece") ?? [])].find(
    (one) => one instanceof SVGElement && one.dataset.piece === form.dataset.piece && one.dataset.copy === "1",
  );
  if (fine && piece instanceof SVGElement) void lock(piece, place);
}

if (typeof document !== "undefined") {
  document.addEventListener("htmx:after:swap", chooseAgain);
  document.addEventListener("input", (event) => {
    if (event.target instanceof Element && event.target.closest("form[data-place]")) isTyped = true;
  });
  document.addEventListener("pointerdown", pressed);
  document.addEventListener("pointermove", dragged);
  document.addEventListener("pointerup", released);
  document.addEventListener("pointercancel", letGo);
  document.addEventListener("click", clicked);
  document.addEventListener("submit", submitted);
  document.addEventListener("focusin", (event) => {
    if (event.target instanceof SVGElement && event.target.matches(".piece")) choose(event.target);
  });
  document.addEventListener("keydown", (event) => {
    if (event.target instanceof SVGElement && event.target.matches(".piece")) keyed(event.target, event);
  });
}
