// The form of the item in hand: fetched, kept as typed, and its lists put in order.

import { get } from "./edits.js";
import { idOf } from "./panel_shown.js";

/** @typedef {import("./panel.js").PanelView} PanelView */

const WAIT_MS = 120;

export class Form {
  /**
   * @param {PanelView} view
   * @param {HTMLElement} root
   */
  constructor(view, root) {
    this.view = view;
    this.root = root;
    this.timer = 0;
  }

  /** Fetch the form when nothing is being dragged: the glow goes first. */
  refreshSoon() {
    window.clearTimeout(this.timer);
    this.timer = window.setTimeout(() => (this.view.holding.isDragging() ? this.refreshSoon() : void this.refresh()), WAIT_MS);
  }

  async refresh() {
    const { root } = this;
    const { stage } = this.view;
    const item = stage.pickedItem();
    if (!item) {
      delete root.dataset.path;
      root.inert = false;
      return root.replaceChildren();
    }
    const path = JSON.stringify(item.path);
    if (root.dataset.path && root.dataset.path !== path) root.inert = true; // nothing is typed into the item picked before
    const query = `path=${encodeURIComponent(path)}&member=${encodeURIComponent(item.member ? item.name : "")}`;
    const outcome = await get(`panel/form?${query}`, (answer) => answer.text());
    if (!outcome.ok || idOf(item) !== stage.picked) return;
    const made = new DOMParser().parseFromString(outcome.answer, "text/html").body;
    if (root.dataset.path === path) keepTyped(root, made);
    root.dataset.path = path;
    const focused = root.contains(document.activeElement) ? nameOf(document.activeElement) : "";
    root.replaceChildren(...made.childNodes);
    root.inert = false;
    if (focused) /** @type {HTMLElement | undefined} */ ([...root.querySelectorAll("input, select, button")].find((one) => nameOf(one) === focused))?.focus();
  }

  focusFirst() {
    /** @type {HTMLElement | null} */ (this.root.querySelector("input, select"))?.focus();
  }

  /**
   * An entry of a list comes, goes or changes places.
   * @param {HTMLElement} from field or button
   */
  async listEdit(from) {
    const named = from.getAttribute("aria-label");
    this.root.inert = true; // numbers in it are those of the file until it is fetched again
    await this.listEdited(from);
    this.root.inert = false;
    const again = named ? this.root.querySelector(`[aria-label="${CSS.escape(named)}"]`) : this.root.querySelector("[data-new-entry]");
    if (again instanceof HTMLElement) again.focus();
  }

  /** @param {HTMLElement} from field or button */
  async listEdited(from) {
    const path = JSON.parse(from.dataset.list ?? "[]");
    const number = Number(from.dataset.number ?? 0);
    const entries = JSON.parse(from.dataset.entries ?? "[]");
    const label = `${path.at(-1)} of ${path.at(-2)}`;
    if (from instanceof HTMLInputElement || from instanceof HTMLSelectElement) {
      const name = from.value.trim();
      if (!name) return;
      const isThere = from.dataset.isThere === "yes";
      const one = isThere ? { do: "add", path, value: name } : { do: "add", path: path.slice(0, -1), key: path.at(-1), value: [name] };
      from.value = "";
      await this.view.carryOut(() => ({ edit: [one], label: `Add ${name} to the ${label}` }));
    } else if (from.dataset.move === "away") {
      await this.view.carryOut(() => ({ edit: [{ do: "remove", path: [...path, number] }], label: `Take one of the ${label} away` }));
    } else {
      const other = number + (from.dataset.move === "up" ? -1 : 1);
      [entries[number], entries[other]] = [entries[other], entries[number]];
      await this.view.carryOut(() => ({ edit: [{ do: "set", path, value: entries }], label: `Change the order of the ${label}` }));
    }
  }

  /**
   * An entry that was one text gets a further key.
   * @param {HTMLInputElement | HTMLSelectElement} field
   */
  async unfold({ dataset, value: typed }) {
    const path = JSON.parse(dataset.alone ?? "[]");
    const value = { [dataset.aloneKey ?? ""]: dataset.aloneValue, [dataset.key ?? ""]: typed };
    await this.view.carryOut(() => ({ edit: [{ do: "set", path, value }], label: `${dataset.key}: ${typed}` }));
  }
}

/**
 * By what a field or button is known again in the form when it is made anew.
 * @param {Element | null} field
 */
function nameOf(field) {
  return field instanceof HTMLElement ? (field.dataset.path ?? field.getAttribute("aria-label") ?? field.dataset.newEntry ?? "") : "";
}

/**
 * Carry over what was typed and not yet taken, with why it was refused.
 * @param {HTMLElement} from
 * @param {HTMLElement} into
 */
function keepTyped(from, into) {
  for (const old of /** @type {NodeListOf<HTMLInputElement>} */ (from.querySelectorAll("input[data-path], select[data-path]"))) {
    if (old.value === old.dataset.was) continue;
    const made = [...into.querySelectorAll("input, select")].find((one) => nameOf(one) === nameOf(old));
    if (!(made instanceof HTMLInputElement || made instanceof HTMLSelectElement)) continue;
    made.value = old.value;
    const why = old.closest(".field")?.querySelector(".refusal")?.textContent ?? "";
    const at = made.closest(".field");
    at?.classList.toggle("refused", why !== "");
    const words = at?.querySelector(".refusal");
    if (words) words.textContent = why;
  }
}
