// Ways to light a box: asked for, compared side by side in the room's light, and one applied.

import { get, say, send, show } from "./edits.js";
import { decode, paint, rgbAt, whiteOf } from "./panel_field.js";
import { roomLight } from "./room_light.js";

/** @typedef {import("./panel_field.js").Fields} Fields */

/** @type {Map<HTMLCanvasElement, Fields>} */
const pictures = new Map();
let asked = 0;

/** @param {SubmitEvent} event */
async function ask(event) {
  const form = event.target;
  if (!(form instanceof HTMLFormElement) || form.id !== "panel-suggest") return;
  event.preventDefault();
  const given = new FormData(form);
  const words = (/** @type {string} */ key) => String(given.get(key) ?? "");
  const outcome = await send("panel/suggest", { sub: form.dataset.sub, box: words("box"), deepest: words("deepest"), thorough: given.get("thorough") === "yes" });
  say(outcome.ok ? "" : outcome.answer.message);
  if (outcome.ok) asked = outcome.answer.job;
}

/** @param {number} job */
async function compare(job) {
  const dialog = /** @type {HTMLDialogElement | null} */ (document.getElementById("panel-choices"));
  if (!dialog) return;
  const outcome = await get(`panel/choices?job=${job}`, (answer) => answer.text());
  if (!outcome.ok) return say(outcome.answer.message);
  const made = new DOMParser().parseFromString(outcome.answer, "text/html");
  dialog.replaceChildren(...made.body.childNodes);
  pictures.clear();
  dialog.showModal();
  const room = Number(dialog.querySelector("section")?.dataset.roomLx ?? 0);
  await Promise.all(
    [...dialog.querySelectorAll("canvas")].map(async (canvas) => {
      const number = canvas.dataset.number;
      const field = await get(`panel/choice-field?job=${job}&number=${number}`, async (answer) => decode(await answer.arrayBuffer()));
      if (field.ok) pictures.set(canvas, field.answer);
    }),
  );
  drawAll(room);
}

/** @param {number} judged lx */
function drawAll(judged) {
  const lux = roomLight();
  const share = judged > 0 ? lux / judged : 0;
  let most = 0;
  for (const [canvas, { openings }] of pictures) {
    const glow = JSON.parse(canvas.dataset.glow ?? "{}");
    for (const one of openings) {
      const seen = glow[one.name];
      if (seen) most = Math.max(most, one.brightest * Math.max(...rgbAt(seen, lux)) + share * Math.max(...seen.thrown_rgb));
    }
  }
  const white = whiteOf(lux, most);
  for (const [canvas, { openings }] of pictures) {
    const glow = JSON.parse(canvas.dataset.glow ?? "{}");
    const [left, bottom] = [Math.min(...openings.map((one) => one.left_mm)), Math.min(...openings.map((one) => one.bottom_mm))];
    const right = Math.max(...openings.map((one) => one.left_mm + one.columns * one.pixel_mm));
    const top = Math.max(...openings.map((one) => one.bottom_mm + one.rows * one.pixel_mm));
    const per = openings.length ? 1 / openings[0].pixel_mm : 1;
    canvas.width = Math.max(1, Math.round((right - left) * per));
    canvas.height = Math.max(1, Math.round((top - bottom) * per));
    const context = canvas.getContext("2d");
    for (const one of openings) {
      const seen = glow[one.name] ?? { dark_rgb: [1, 1, 1], room_rgb: [1, 1, 1], thrown_rgb: [0, 0, 0] };
      const image = new ImageData(one.columns, one.rows);
      const thrown = seen.thrown_rgb.map((/** @type {number} */ part) => share * part);
      paint(one, { white, thrown, rgb: rgbAt(seen, lux) }, image.data);
      context?.putImageData(image, Math.round((one.left_mm - left) * per), Math.round((top - one.bottom_mm) * per) - one.rows);
    }
  }
}

/** @param {HTMLElement} button */
async function apply(button) {
  const outcome = await send("panel/apply", { job: Number(button.dataset.job), number: Number(button.dataset.apply) });
  const words = /** @type {HTMLElement | null} */ (document.querySelector("#panel-choices .refusal"));
  if (!outcome.ok) {
    if (words) words.textContent = outcome.answer.message;
    return;
  }
  show(outcome.answer);
  /** @type {HTMLDialogElement} */ (document.getElementById("panel-choices")).close();
  document.dispatchEvent(new CustomEvent("viewstale"));
}

document.addEventListener("submit", (event) => void ask(event));
document.addEventListener("job", (event) => {
  const job = /** @type {CustomEvent} */ (event).detail;
  if (job.number === asked && job.state === "done") void compare(job.number);
});
document.addEventListener("click", (event) => {
  const button = event.target instanceof Element ? event.target.closest("button") : null;
  if (button?.dataset.apply) void apply(button);
  else if (button?.dataset.closeChoices !== undefined) /** @type {HTMLDialogElement} */ (document.getElementById("panel-choices")).close();
});
document.addEventListener("roomlight", () => {
  const dialog = /** @type {HTMLDialogElement | null} */ (document.getElementById("panel-choices"));
  if (dialog?.open) drawAll(Number(dialog.querySelector("section")?.dataset.roomLx ?? 0));
});
