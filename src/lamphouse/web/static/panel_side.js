// Beside a drawn panel: the figures of its glow, and what the plan says and pictures of it.

import { projectAddress } from "./edits.js";
import { washedOut } from "./panel_field.js";

/** @typedef {import("./panel_canvas.js").GlowCanvases} GlowCanvases */

const htmx = () => /** @type {any} */ (window).htmx;

/**
 * Show what is known of the light of each opening now.
 * @param {HTMLElement} root
 * @param {GlowCanvases} glow
 */
export function showFigures(root, glow) {
  const rows = [...glow.fields.values()].map((field) => {
    const row = document.createElement("tr");
    const name = document.createElement("th");
    name.scope = "row";
    name.textContent = field.name;
    row.append(name);
    for (const words of [
      `${digits(field.mean_cd_m2)} ± ${digits(field.bar_cd_m2)}`,
      percent(field.evenness),
      percent(field.hot_spot),
      percent(washedOut(field.mean_cd_m2, glow.roomOn(field.name))),
    ]) {
      const cell = document.createElement("td");
      cell.className = "number";
      cell.textContent = words;
      row.append(cell);
    }
    return row;
  });
  root.querySelector("#panel-figures tbody")?.replaceChildren(...rows);
  const lux = root.querySelector(".seen figcaption .lux");
  if (lux) lux.textContent = rows.length ? said(glow.lux) : "";
}

/**
 * Fetch what the plan says of the panel.
 * @param {string} query which panel
 */
export function fetchSide(query) {
  void htmx().ajax("GET", `${projectAddress()}/panel/side?${query}`, { target: "#panel-side", swap: "innerMorph" });
}

/**
 * Ask for a picture when it is looked at: making one takes time that the glow wants.
 * @param {HTMLElement} root
 */
export function fetchPicturesSeen(root) {
  const side = /** @type {HTMLElement} */ (root.querySelector("#panel-side"));
  const seen = new IntersectionObserver((entries) => entries.forEach(fetchPicture), { root: root.querySelector(".beside") });
  new MutationObserver(() => {
    for (const one of side.querySelectorAll("img[data-src]:not([src])")) seen.observe(one);
  }).observe(side, { childList: true, subtree: true, attributes: true, attributeFilter: ["data-src", "src"] });
}

/** @param {IntersectionObserverEntry} entry */
function fetchPicture({ isIntersecting, target }) {
  if (isIntersecting && target instanceof HTMLImageElement && !target.getAttribute("src")) target.src = target.dataset.src ?? "";
}

/** @param {number} value */
function digits(value) {
  return String(Number(value.toPrecision(value < 10 ? 2 : 3)));
}

/** @param {number} share */
function percent(share) {
  return `${Math.round(100 * share)} %`;
}

/** @param {number} lux */
function said(lux) {
  return lux ? `at ${lux} lx` : "in the dark";
}
