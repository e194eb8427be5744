// The picture with the outline over it: seen larger and smaller, its places moved, marks put.

import { say, send } from "./edits.js";
import { closed, inMm, panned, stepOf, zoomed } from "./trace_geometry.js";

/** @typedef {import("./trace_geometry.js").Port} Port */
/** @typedef {import("./trace_geometry.js").Spot} Spot */
/** @typedef {{corner: number | null, mm: Spot, at: Spot, right: Spot, up: Spot, moved: number}} Handle */
/** @typedef {{piece: number, round: boolean, line: Spot[], handles: Handle[]}} Piece */
/** @typedef {{places: number, most_mm: number, rms_mm: number, max_mm: number, words: string}} ByHand */
/** @typedef {{answer: any, asked: any, sight: {columns: number, rows: number} | null, pieces: Piece[], nudged: ByHand | null, open: any[]}} Found */

const SVG = "http://www.w3.org/2000/svg";
const HIT_PIXELS = 12;
const DOT_PIXELS = 3.5;

/** What is shown: a tracing by its number, or a plain picture when it is 0. */
const shown = {
  job: 0,
  whole: /** @type {Port} */ ({ x: 0, y: 0, w: 1, h: 1 }),
  port: /** @type {Port} */ ({ x: 0, y: 0, w: 1, h: 1 }),
  pieces: /** @type {Piece[]} */ ([]),
  held: "",
  /** @type {Spot[]} */
  marks: [],
  marking: false,
};
/** Nudges of one place that wait for the server. @type {{key: string, by: Spot} | null} */
let waiting = null;
let underway = false;

/** @param {string} id */
const by = (id) => /** @type {any} */ (document.getElementById(id));
/** @returns {SVGSVGElement} */
const stage = () => by("trace-stage");

/** @param {number} piece @param {number | null} corner */
const keyOf = (piece, corner) => `${piece}/${corner ?? ""}`;

/** @returns {{piece: Piece, handle: Handle} | undefined} */
function inHand() {
  for (const piece of shown.pieces)
    for (const handle of piece.handles) if (keyOf(piece.piece, handle.corner) === shown.held) return { piece, handle };
  return undefined;
}

/** Units of the picture that one pixel of the screen covers. */
function unit() {
  const box = stage().getBoundingClientRect();
  return Math.max(shown.port.w / Math.max(box.width, 1), shown.port.h / Math.max(box.height, 1));
}

/** @param {Port} port */
function look(port) {
  shown.port = port;
  stage().setAttribute("viewBox", `${port.x} ${port.y} ${port.w} ${port.h}`);
  const one = unit();
  for (const at of stage().querySelectorAll(".hit")) at.setAttribute("r", String(HIT_PIXELS * one));
  for (const at of stage().querySelectorAll(".dot")) at.setAttribute("r", String(DOT_PIXELS * one));
  for (const at of stage().querySelectorAll(".cross")) {
    const [x, y] = [Number(at.getAttribute("data-x")), Number(at.getAttribute("data-y"))];
    const arm = HIT_PIXELS * one;
    at.setAttribute("d", `M${x - arm} ${y}H${x + arm}M${x} ${y - arm}V${y + arm}`);
  }
}

/**
 * Show a picture.
 * @param {string} source
 * @param {number} columns
 * @param {number} rows
 * @param {string} name
 */
function showImage(source, columns, rows, name) {
  const image = by("trace-image");
  image.setAttribute("href", source);
  image.setAttribute("width", String(columns));
  image.setAttribute("height", String(rows));
  shown.whole = { x: 0, y: 0, w: columns, h: rows };
  stage().setAttribute("aria-label", name);
  by("trace").classList.add("filled");
  look(shown.whole);
}

/**
 * Show a picture that is not traced yet.
 * @param {string} source address of it
 * @param {number} columns
 * @param {number} rows
 * @param {string} name
 */
export function showPicture(source, columns, rows, name) {
  shown.job = 0;
  shown.pieces = [];
  shown.held = "";
  shown.marks = [];
  showImage(source, columns, rows, `Picture ${name}`);
  draw();
  marked();
}

/**
 * Show a tracing over its picture.
 * @param {number} job
 * @param {string} source
 * @param {Found} found
 */
export function showTracing(job, source, found) {
  if (!found.sight) return;
  shown.job = job;
  shown.held = "";
  shown.marks = [];
  shown.pieces = found.pieces;
  const { columns, rows } = found.sight;
  showImage(source, columns, rows, `${found.answer.result.picture} with its outline`);
  put(found);
}

/** @param {Found} found */
function put(found) {
  shown.pieces = found.pieces;
  draw();
  const { nudged } = found;
  by("trace-nudges").textContent = nudged?.words
    ? `${nudged.words}; now ${nudged.rms_mm.toFixed(3)} mm rms off the edge, at most ${nudged.max_mm.toFixed(3)} mm.`
    : "";
  stage().parentElement?.querySelector(".by-hand")?.toggleAttribute("hidden", !nudged?.places);
  document.dispatchEvent(new CustomEvent("nudged", { detail: found }));
}

/** @param {string} tag @param {Record<string, string>} attributes */
function make(tag, attributes) {
  const made = document.createElementNS(SVG, tag);
  for (const [name, value] of Object.entries(attributes)) made.setAttribute(name, value);
  return made;
}

/** @param {Piece} piece */
const nameOf = (piece) => (piece.piece ? `hole ${piece.piece}` : "the outline");

/** @param {Piece} piece @param {Handle} handle */
function wordsOf(piece, handle) {
  const what = handle.corner === null ? nameOf(piece) : `corner ${handle.corner + 1} of ${nameOf(piece)}`;
  const moved = handle.moved ? `, moved by ${handle.moved.toFixed(2)} mm` : "";
  return `${what}, right ${handle.mm[0].toFixed(2)}, up ${handle.mm[1].toFixed(2)} mm${moved}`;
}

function draw() {
  const had = document.activeElement instanceof SVGElement && document.activeElement.classList.contains("spot");
  by("trace-lines").replaceChildren(
    ...shown.pieces.flatMap((piece) => {
      const d = closed(piece.line);
      return [make("path", { d, class: "halo" }), make("path", { d, class: piece.round ? "round" : "edge" })];
    }),
  );
  by("trace-rubber").setAttribute("d", "");
  const spots = shown.pieces.flatMap((piece) => piece.handles.map((handle) => spotOf(piece, handle)));
  by("trace-handles").replaceChildren(...spots);
  by("trace-marks").replaceChildren(...shown.marks.map(markOf));
  hold(shown.held, had);
  look(shown.port);
}

/** @param {Piece} piece @param {Handle} handle */
function spotOf(piece, handle) {
  const kinds = ["spot", piece.round ? "round" : "", handle.moved ? "nudged" : ""].join(" ").trim();
  const key = keyOf(piece.piece, handle.corner);
  const spot = make("g", { class: kinds, role: "button", tabindex: "-1", "data-spot": key, "aria-label": wordsOf(piece, handle) });
  const [cx, cy] = handle.at.map(String);
  spot.append(make("circle", { class: "hit", cx: cx ?? "", cy: cy ?? "" }), make("circle", { class: "dot", cx: cx ?? "", cy: cy ?? "" }));
  return spot;
}

/** @param {Spot} at @param {number} number */
function markOf(at, number) {
  const mark = make("g", { class: "mark", role: "button", tabindex: "0", "data-mark": String(number), "aria-label": `ruler mark ${number + 1}` });
  const [x, y] = [String(at[0]), String(at[1])];
  mark.append(make("circle", { class: "hit", cx: x, cy: y }), make("path", { class: "cross", "data-x": x, "data-y": y }));
  return mark;
}

/** @param {string} key empty lets go @param {boolean} [focus] */
function hold(key, focus = false) {
  shown.held = key;
  for (const spot of stage().querySelectorAll(".spot")) {
    const is = spot.getAttribute("data-spot") === key;
    spot.classList.toggle("held", is);
    spot.setAttribute("tabindex", is ? "0" : "-1");
    if (is && focus) /** @type {SVGElement} */ (spot).focus({ preventScroll: true });
  }
  const here = inHand();
  by("trace-where").textContent = here ? wordsOf(here.piece, here.handle) : " ";
}

/** Bring the place in hand into the window. */
function reveal() {
  const here = inHand();
  if (!here) return;
  const { port } = shown;
  const [x, y] = here.handle.at;
  if (x > port.x && y > port.y && x < port.x + port.w && y < port.y + port.h) return;
  look({ ...port, x: x - port.w / 2, y: y - port.h / 2 });
}

/** @param {1 | -1} way */
function step(way) {
  const keys = shown.pieces.flatMap((piece) => piece.handles.map((handle) => keyOf(piece.piece, handle.corner)));
  if (!keys.length) return;
  const at = keys.indexOf(shown.held);
  const next = at < 0 ? (way > 0 ? 0 : keys.length - 1) : (at + way + keys.length) % keys.length;
  hold(keys[next] ?? "", true);
  reveal();
}

/**
 * Move the place in hand; steps that come while the server works go together in the next.
 * @param {Spot} way right and up in mm
 */
async function nudge(way) {
  if (waiting && waiting.key === shown.held) waiting.by = [waiting.by[0] + way[0], waiting.by[1] + way[1]];
  else waiting = { key: shown.held, by: way };
  if (underway) return;
  underway = true;
  try {
    while (waiting) {
      const { key, by } = /** @type {{key: string, by: Spot}} */ (waiting);
      waiting = null;
      const [piece, corner] = key.split("/");
      await command({ do: "move", piece: Number(piece), corner: corner ? Number(corner) : null, by: by.map((one) => Math.round(one * 1e4) / 1e4) });
    }
  } finally {
    underway = false;
  }
}

/**
 * Do something to the tracing that is shown.
 * @param {Record<string, unknown>} what
 */
export async function command(what) {
  const outcome = await send("trace/nudge", { command: { job: shown.job, ...what } });
  say(outcome.ok ? "" : outcome.answer.message);
  if (outcome.ok) put(outcome.answer);
  else draw();
}

/** @param {"last" | "place" | "all"} which */
function back(which) {
  const here = inHand();
  if (which === "place" && !here) return;
  void command({ do: which, piece: here?.piece.piece ?? 0, corner: here?.handle.corner ?? null });
}

/** @param {boolean} on */
export function setMarking(on) {
  shown.marking = on;
  stage().classList.toggle("marking", on);
}

/** @returns {number[]} The marks as columns and rows of the picture. */
export function marks() {
  return shown.marks.flatMap(([x, y]) => [x - 0.5, y - 0.5]);
}

function marked() {
  document.dispatchEvent(new CustomEvent("marked", { detail: shown.marks.length }));
}

/** @param {Spot} at */
function mark(at) {
  if (shown.job || !shown.marking) return;
  shown.marks = shown.marks.length > 1 ? [at] : [...shown.marks, at];
  draw();
  marked();
}

/** @param {PointerEvent | WheelEvent} event @returns {Spot} */
function placeOf(event) {
  const matrix = stage().getScreenCTM()?.inverse();
  const spot = new DOMPoint(event.clientX, event.clientY).matrixTransform(matrix);
  return [spot.x, spot.y];
}

/** Pointers that are down, and what the first of them does. */
const pointers = /** @type {Map<number, {x: number, y: number}>} */ (new Map());
/** @type {{from: Spot, port: Port, spot: string, mark: number, moved: boolean, by: Spot} | null} */
let drag = null;

/** @param {PointerEvent} event */
function down(event) {
  if (event.button > 0) return;
  pointers.set(event.pointerId, { x: event.clientX, y: event.clientY });
  stage().setPointerCapture(event.pointerId);
  const target = event.target instanceof Element ? event.target : stage();
  const spot = target.closest(".spot")?.getAttribute("data-spot") ?? "";
  const over = target.closest(".mark")?.getAttribute("data-mark");
  drag = { from: placeOf(event), port: shown.port, spot, mark: over ? Number(over) : -1, moved: false, by: [0, 0] };
  if (spot) hold(spot, true);
}

/** @param {PointerEvent} event */
function moved(event) {
  const last = pointers.get(event.pointerId);
  if (!last || !drag) return;
  if (pointers.size === 2) {
    pinch(event);
    return;
  }
  pointers.set(event.pointerId, { x: event.clientX, y: event.clientY });
  const here = placeOf(event);
  const way = /** @type {Spot} */ ([here[0] - drag.from[0], here[1] - drag.from[1]]);
  if (!drag.moved && Math.hypot(...way) < 3 * unit()) return;
  drag.moved = true;
  drag.by = way;
  if (drag.mark >= 0) {
    shown.marks[drag.mark] = here;
    draw();
  } else if (drag.spot) rubber(way);
  else look(panned(shown.port, [-way[0], -way[1]], shown.whole));
}

/** Show where a place would go before the server has moved it. @param {Spot} way */
function rubber(way) {
  const here = inHand();
  if (!here) return;
  const { piece, handle } = here;
  const [x, y] = [handle.at[0] + way[0], handle.at[1] + way[1]];
  const mm = inMm(way, handle.right, handle.up);
  by("trace-where").textContent = `right ${mm[0].toFixed(2)}, up ${mm[1].toFixed(2)} mm`;
  if (handle.corner === null) {
    by("trace-rubber").setAttribute("d", closed(piece.line.map(([a, b]) => [a + way[0], b + way[1]])));
    return;
  }
  const count = piece.handles.length;
  const before = piece.handles[(handle.corner + count - 1) % count]?.at ?? handle.at;
  const after = piece.handles[(handle.corner + 1) % count]?.at ?? handle.at;
  by("trace-rubber").setAttribute("d", `M${before.join(" ")}L${x} ${y}L${after.join(" ")}`);
}

/** @param {PointerEvent} event */
function pinch(event) {
  const [other] = [...pointers].filter(([id]) => id !== event.pointerId).map(([, at]) => at);
  const was = pointers.get(event.pointerId);
  if (!other || !was) return;
  const apart = Math.hypot(was.x - other.x, was.y - other.y);
  const now = Math.hypot(event.clientX - other.x, event.clientY - other.y);
  pointers.set(event.pointerId, { x: event.clientX, y: event.clientY });
  if (apart > 8 && now > 8) look(zoomed(shown.port, now / apart, placeOf(event), shown.whole));
  if (drag) drag = { ...drag, spot: "", mark: -1, moved: true };
}

/** @param {PointerEvent} event */
function up(event) {
  pointers.delete(event.pointerId);
  const done = drag;
  if (pointers.size || !done) return;
  drag = null;
  const here = inHand();
  if (event.type === "pointercancel") draw();
  else if (done.mark >= 0) marked();
  else if (done.spot && done.moved && here) void nudge(inMm(done.by, here.handle.right, here.handle.up));
  else if (!done.moved && !done.spot && shown.marking) mark(placeOf(event));
  else if (!done.moved && !done.spot) hold("");
}

/** @param {"in" | "out" | "fit"} which */
function port(which) {
  const { port: now, whole } = shown;
  if (which === "fit") look(whole);
  else look(zoomed(now, which === "in" ? 1.5 : 1 / 1.5, [now.x + now.w / 2, now.y + now.h / 2], whole));
}

/** @param {KeyboardEvent} event */
function pressed(event) {
  if (event.ctrlKey || event.metaKey || event.altKey) return;
  const way = stepOf(event.key, event.shiftKey);
  const held = document.activeElement instanceof Element ? document.activeElement.closest(".mark") : null;
  const { port: now, whole } = shown;
  if (way && held) {
    const at = Number(held.getAttribute("data-mark"));
    const [x, y] = shown.marks[at] ?? [0, 0];
    shown.marks[at] = [x + (way[0] * 10) / 2, y - (way[1] * 10) / 2];
    draw();
    /** @type {SVGElement | null} */ (stage().querySelector(`[data-mark="${at}"]`))?.focus();
    marked();
  } else if (way && inHand()) void nudge(way);
  else if (way) look(panned(now, [(Math.sign(way[0]) * now.w) / 10, (-Math.sign(way[1]) * now.h) / 10], whole));
  else if (event.key === "PageDown") step(1);
  else if (event.key === "PageUp") step(-1);
  else if (event.key === "Backspace" || event.key === "Delete") back("place");
  else if (event.key === "+" || event.key === "=") port("in");
  else if (event.key === "-") port("out");
  else if (event.key === "0") port("fit");
  else if (event.key === " " && shown.marking) mark([now.x + now.w / 2, now.y + now.h / 2]);
  else if (event.key === "Escape") {
    hold("");
    stage().focus();
  } else return;
  event.preventDefault();
}

/** Begin to listen to the stage. */
export function wake() {
  const at = stage();
  at.addEventListener("pointerdown", down);
  at.addEventListener("pointermove", moved);
  at.addEventListener("pointerup", up);
  at.addEventListener("pointercancel", up);
  at.addEventListener("keydown", pressed);
  at.addEventListener("focusin", (event) => {
    const key = event.target instanceof Element ? event.target.getAttribute("data-spot") : null;
    if (key && key !== shown.held) hold(key);
  });
  at.addEventListener(
    "wheel",
    (event) => {
      event.preventDefault();
      look(zoomed(shown.port, Math.exp(-event.deltaY / 400), placeOf(event), shown.whole));
    },
    { passive: false },
  );
  new ResizeObserver(() => look(shown.port)).observe(at);
  by("trace").addEventListener("click", (/** @type {Event} */ event) => {
    const button = event.target instanceof Element ? event.target.closest("button") : null;
    if (button?.dataset.port) port(/** @type {"in"} */ (button.dataset.port));
    else if (button?.dataset.back) back(/** @type {"last"} */ (button.dataset.back));
    else if (button?.dataset.drill !== undefined)
      void command({ do: "drill", piece: Number(button.dataset.piece), drill: button.dataset.drill });
  });
}
