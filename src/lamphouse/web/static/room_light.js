// The room light: one slider from bench light to dark, kept for the whole page.

/** Illuminance at the bright end of the slider. */
export const BENCH_LX = 1000;
/** Below this the page itself goes dark. */
export const DARK_LX = 20;
const KEPT = "room light";

/**
 * Turn a place of the slider into lux: 0 is dark, then every step the same ratio from 0.1 lx.
 * @param {number} place 0 to 100
 * @returns {number}
 */
export function luxAt(place) {
  if (place <= 0) return 0;
  const lux = 0.1 * (BENCH_LX / 0.1) ** ((place - 1) / 99);
  return Number(lux.toPrecision(2));
}

/**
 * Turn lux into the nearest place of the slider.
 * @param {number} lux
 * @returns {number}
 */
export function placeOf(lux) {
  if (lux < 0.1) return 0;
  const place = 1 + (99 * Math.log(lux / 0.1)) / Math.log(BENCH_LX / 0.1);
  return Math.min(100, Math.max(0, Math.round(place)));
}

/**
 * Say lux in words.
 * @param {number} lux
 */
export function said(lux) {
  return lux === 0 ? "dark" : `${lux} lx`;
}

/** @returns {number | null} */
function kept() {
  const text = localStorage.getItem(KEPT);
  const lux = text === null ? NaN : Number(text);
  return Number.isFinite(lux) && lux >= 0 ? lux : null;
}

/**
 * Put the page into a light, and tell everybody on it (event `roomlight`, detail: lux).
 * @param {number} lux
 */
export function setRoomLight(lux) {
  document.documentElement.dataset.light = lux < DARK_LX ? "dark" : "bench";
  document.documentElement.dataset.lux = String(lux);
  document.dispatchEvent(new CustomEvent("roomlight", { detail: lux }));
}

/** @returns {number} The room light as it is, in lux. */
export function roomLight() {
  return Number(document.documentElement.dataset.lux ?? BENCH_LX);
}

function begin() {
  const start = kept() ?? 300;
  setRoomLight(start);
  const slider = /** @type {HTMLInputElement | null} */ (document.getElementById("room-light"));
  const words = document.getElementById("room-lx");
  if (!slider || !words) return;
  slider.value = String(placeOf(start));
  words.textContent = said(luxAt(Number(slider.value)));
  slider.setAttribute("aria-valuetext", words.textContent);
  slider.addEventListener("input", () => {
    const lux = luxAt(Number(slider.value));
    words.textContent = said(lux);
    slider.setAttribute("aria-valuetext", said(lux));
    localStorage.setItem(KEPT, String(lux));
    setRoomLight(lux);
  });
}

if (typeof document !== "undefined") begin();
