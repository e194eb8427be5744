// Pictures of glowing panels, in the room light of the slider.

import { roomLight } from "./room_light.js";

const WAIT_MS = 120;
let timer = 0;

/**
 * Give a room light in steps that the eye hardly tells apart, so that few pictures serve.
 * @param {number} lux
 */
export function inSteps(lux) {
  if (lux < 0.1) return 0;
  return Number((10 ** (Math.round(Math.log10(lux) * 4) / 4)).toPrecision(2));
}

/** Show every picture in the light as it is. */
export function showGlows() {
  const lux = inSteps(roomLight());
  for (const picture of document.querySelectorAll("img[data-glow]")) {
    const at = /** @type {HTMLImageElement} */ (picture);
    const address = `${at.dataset.glow}&lx=${lux}&px=${at.dataset.px ?? 240}`;
    if (at.getAttribute("src") !== address) at.src = address;
  }
}

if (typeof document !== "undefined") {
  document.addEventListener("roomlight", () => {
    clearTimeout(timer);
    timer = window.setTimeout(showGlows, WAIT_MS);
  });
  document.addEventListener("htmx:after:swap", showGlows);
  document.addEventListener("viewshown", showGlows);
}
