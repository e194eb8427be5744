// The table: floor plan and list point at each other.

import "./glows.js";
import "./long_work.js";

/** @param {string} name of a sub-assembly; empty for none */
function point(name) {
  for (const at of document.querySelectorAll("[data-sub], [data-sub-card]")) {
    const own = at instanceof HTMLElement || at instanceof SVGElement ? (at.dataset.sub ?? at.dataset.subCard) : "";
    at.classList.toggle("here", name !== "" && own === name);
  }
}

for (const kind of ["pointerover", "focusin"]) {
  document.addEventListener(kind, (event) => {
    const at = event.target instanceof Element ? event.target.closest("[data-sub], [data-sub-card]") : null;
    const own = at instanceof HTMLElement || at instanceof SVGElement ? at.dataset : undefined;
    point(own?.sub ?? own?.subCard ?? "");
  });
}
document.addEventListener("click", (event) => {
  const at = event.target instanceof Element ? event.target.closest("a[data-sub]") : null;
  if (!(at instanceof SVGElement)) return;
  event.preventDefault();
  const card = document.querySelector(`[data-sub-card="${CSS.escape(at.dataset.sub ?? "")}"]`);
  if (!(card instanceof HTMLElement)) return;
  card.scrollIntoView({ block: "nearest" });
  card.focus();
});
