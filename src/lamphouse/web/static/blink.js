// The player of what blinks: a play head on the strips, the panel as it looks there.

import { edit, projectAddress, say } from "./edits.js";
import { inSteps } from "./glows.js";
import "./long_work.js";
import { addUp, bytesOf, curve, flashingPx, heldGroups, meanLight, readLayers } from "./play_light.js";
import { roomLight } from "./room_light.js";

const table = curve();
const still = window.matchMedia("(prefers-reduced-motion: reduce)");

/** @type {import("./play_light.js").Playing | null} */
let playing = null;
/** @type {import("./play_light.js").Layers | null} */
let layers = null;
let frames = new Uint8Array();
/** @type {number[]} */
let means = [];
/** @type {Set<string>} */
let held = new Set();
let at_s = 0;
let running = false;
let last_ms = 0;
let shownFor = "";

/** @template {Element} T @param {string} what @returns {T | null} */
function find(what) {
  return document.querySelector(`[data-player] ${what}`);
}

async function begin() {
  const player = /** @type {HTMLElement | null} */ (document.querySelector("[data-player]"));
  if (!player) return;
  const mark = `${document.body.dataset.revision} ${player.dataset.scene}`;
  if (mark !== shownFor) {
    shownFor = mark;
    const answer = await fetch(`${projectAddress()}/play.json?scene=${encodeURIComponent(player.dataset.scene ?? "")}`);
    if (!answer.ok) return;
    playing = await answer.json();
    if (!playing) return;
    frames = bytesOf(playing.frames);
    means = meanLight(frames, playing.groups.length, playing.light);
  }
  await choosePanel();
}

async function choosePanel() {
  const select = /** @type {HTMLSelectElement | null} */ (find("[data-panel]"));
  const chosen = select?.selectedOptions[0];
  if (!chosen) {
    layers = null;
    judge();
    return draw();
  }
  const { sub = "", name = "" } = chosen.dataset;
  const asked = new URLSearchParams({ sub, panel: name, lx: String(inSteps(roomLight())) });
  const answer = await fetch(`${projectAddress()}/play-panel?${asked}`);
  if (!answer.ok) return;
  layers = readLayers(await answer.arrayBuffer());
  shape();
  judge();
  draw();
}

/** Leave room below a tall panel for the time line; before it is judged, as its size on the page counts. */
function shape() {
  const stage = /** @type {HTMLElement | null} */ (document.querySelector(".player .stage"));
  const glow = /** @type {HTMLCanvasElement | null} */ (find("[data-glow]"));
  if (!layers || !stage || !glow) return;
  const { columns, rows } = layers.head;
  stage.style.setProperty("--shape", String(columns / rows));
  if (glow.width !== columns || glow.height !== rows) Object.assign(glow, { width: columns, height: rows });
}

/** Tell what the rule about flashing holds still on this page, and whether it may play at all. */
function judge() {
  const glow = /** @type {HTMLCanvasElement | null} */ (find("[data-glow]"));
  if (!playing) return;
  held = new Set();
  if (layers && glow) {
    const pxPerMm = (glow.clientWidth * layers.head.per_mm) / layers.head.columns;
    held = new Set(heldGroups(playing.often, flashingPx(layers, pxPerMm), playing.safe));
  }
  const words = [];
  if (held.size) words.push(`Held at its mean light, as it flashes more than three times in a second over more of the page than is safe: ${[...held].join(", ")}.`);
  if (still.matches) words.push("This computer asks for less motion: move the play head by hand.");
  const rule = find("[data-rule]");
  if (rule) rule.textContent = words.join(" ");
  const button = /** @type {HTMLButtonElement | null} */ (find("[data-play]"));
  if (button) button.disabled = still.matches;
  if (still.matches) stop();
}

/** @param {string} group @returns {number} */
function lightOf(group) {
  if (!playing) return 1;
  const place = playing.groups.indexOf(group);
  if (place < 0) return 1;
  if (held.has(group)) return means[place] ?? 0;
  const frame = Math.min(playing.count - 1, Math.floor(at_s * playing.rate));
  return playing.light[frames[frame * playing.groups.length + place] ?? 0] ?? 0;
}

function draw() {
  showHead();
  const glow = /** @type {HTMLCanvasElement | null} */ (find("[data-glow]"));
  const tips = /** @type {HTMLCanvasElement | null} */ (find("[data-tips]"));
  if (!layers || !glow || !tips) return;
  const { head, steady, shown } = layers;
  const picture = new ImageData(head.columns, head.rows);
  addUp(steady, layers.layers, head.groups.map(lightOf), table, shown, picture.data);
  glow.getContext("2d")?.putImageData(picture, 0, 0);
  drawTips(tips, glow);
}

/**
 * @param {HTMLCanvasElement} tips
 * @param {HTMLCanvasElement} glow
 */
function drawTips(tips, glow) {
  if (!layers) return;
  const wide = Math.round(glow.clientWidth * window.devicePixelRatio);
  const high = Math.round(glow.clientHeight * window.devicePixelRatio);
  if (tips.width !== wide || tips.height !== high) Object.assign(tips, { width: wide, height: high });
  const brush = tips.getContext("2d");
  if (!brush) return;
  brush.clearRect(0, 0, wide, high);
  const perMm = (wide * layers.head.per_mm) / layers.head.columns;
  for (const [group, x, y, across, red, green, blue] of layers.head.dots) {
    const light = lightOf(group);
    const [r, g, b] = [red, green, blue].map((value) => table[Math.round(65535 * Math.min(1, value * light))] ?? 0);
    brush.fillStyle = `rgb(${r} ${g} ${b})`;
    brush.beginPath();
    brush.arc(x * perMm, y * perMm, Math.max((across * perMm) / 2, 1), 0, 2 * Math.PI);
    brush.fill();
  }
}

function showHead() {
  const strips = /** @type {HTMLElement | null} */ (find(".strips"));
  const line = find(".head");
  const slider = /** @type {HTMLInputElement | null} */ (find("[data-head]"));
  const clock = find("[data-clock]");
  if (strips && line) {
    const { start = "0", end = "0", seconds = "1" } = strips.dataset;
    const x = Number(start) + ((Number(end) - Number(start)) * at_s) / Number(seconds);
    line.setAttribute("x1", String(x));
    line.setAttribute("x2", String(x));
  }
  if (slider && document.activeElement !== slider) slider.value = String(at_s);
  if (clock) clock.textContent = `${at_s.toFixed(1)} s`;
  const now = find("[data-scene-now]");
  const scene = playing?.stretches.find(([, from, to]) => from <= at_s && at_s < to)?.[0] ?? "";
  if (now && now.textContent !== scene) now.textContent = scene;
}

/** @param {number} now_ms */
function tick(now_ms) {
  if (!running) return;
  const speed = Number(/** @type {HTMLSelectElement | null} */ (find("[data-speed]"))?.value ?? 1);
  if (playing) at_s = (at_s + (Math.min(now_ms - last_ms, 250) / 1000) * speed) % playing.seconds;
  last_ms = now_ms;
  draw();
  requestAnimationFrame(tick); // also while what plays is still on its way
}

function start() {
  if (running || still.matches) return;
  running = true;
  last_ms = performance.now();
  label();
  requestAnimationFrame(tick);
}

function stop() {
  running = false;
  label();
}

function label() {
  const button = find("[data-play]");
  if (!button) return;
  button.textContent = running ? "Stop" : "Play";
  button.setAttribute("aria-pressed", String(running));
}

/** @param {number} seconds */
function goTo(seconds) {
  at_s = Math.max(0, Math.min(seconds, (playing?.seconds ?? 1) - 1e-3));
  draw();
}

document.addEventListener("click", (event) => {
  const at = event.target instanceof Element ? event.target : null;
  const button = at?.closest("button");
  const strips = at?.closest(".strips");
  if (button?.dataset.play !== undefined) (running ? stop : start)();
  else if (button?.dataset.back !== undefined) goTo(0);
  else if (strips instanceof HTMLElement && event instanceof MouseEvent) {
    const box = strips.getBoundingClientRect();
    const { width = "1", start: from = "0", end = "1", seconds = "1" } = strips.dataset;
    const mm = ((event.clientX - box.left) / box.width) * Number(width);
    goTo(((mm - Number(from)) / (Number(end) - Number(from))) * Number(seconds));
  }
});

document.addEventListener("input", (event) => {
  const at = event.target;
  if (at instanceof HTMLInputElement && at.dataset.head !== undefined) goTo(Number(at.value));
});
document.addEventListener("change", (event) => {
  const at = event.target;
  if (at instanceof HTMLSelectElement && at.dataset.panel !== undefined) void choosePanel();
});
document.addEventListener("submit", (event) => {
  const form = event.target;
  if (!(form instanceof HTMLFormElement) || form.dataset.newScene === undefined) return;
  event.preventDefault();
  const typed = new FormData(form);
  const name = String(typed.get("name")).trim();
  void edit(`Add the scene ${name}`, [{ do: "set", path: ["scenes", name], value: { lasts: String(typed.get("lasts")) }, was: "" }]).then((outcome) => {
    say(outcome.ok ? "" : outcome.answer.message);
    if (outcome.ok) form.reset();
  });
});
let waiting = 0;
document.addEventListener("roomlight", () => {
  clearTimeout(waiting);
  waiting = window.setTimeout(() => void choosePanel(), 200);
});
still.addEventListener("change", judge);
window.addEventListener("resize", () => {
  judge();
  draw();
});
document.addEventListener("htmx:after:swap", (event) => {
  const at = event.target;
  if (at instanceof Element && at.closest("#job-list")) return;
  void begin();
});
