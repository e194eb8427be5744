// The tools that draw on a panel: new items put where they go, and lengths measured.

import { say } from "./edits.js";
import { additionOf } from "./panel_adding.js";
import { both } from "./panel_geometry.js";

/** @typedef {import("./panel.js").PanelView} PanelView */
/** @typedef {import("./panel_geometry.js").Spot} Spot */

const CLOSE_PX = 12;
const WORDS = /** @type {Record<string, string>} */ ({
  pick: "",
  measure: "Click one place, then another.",
  polygon: "Click its corners in turn; click the first again to close it.",
});

export class Drawing {
  /** @param {PanelView} view */
  constructor(view) {
    this.view = view;
    this.tool = "pick";
    /** Places given so far. @type {Spot[]} */
    this.points = [];
  }

  /** Whether a place of the pointer is for a tool, not for taking hold. */
  isOn() {
    return this.tool !== "pick";
  }

  /**
   * Take a tool up; ``pick`` puts it away.
   * @param {string} tool
   */
  take(tool) {
    const { root, stage } = this.view;
    this.tool = tool;
    this.points = [];
    stage.guide([]);
    stage.root.dataset.tool = tool;
    for (const one of root.querySelectorAll("[data-tool]")) one.setAttribute("aria-pressed", String(/** @type {HTMLElement} */ (one).dataset.tool === tool));
    this.view.status(WORDS[tool] ?? "Click where it goes, or press Enter here for the middle of the view.");
    if (this.isOn()) stage.root.focus();
  }

  /**
   * Draw a line from the last place to the pointer.
   * @param {Spot} at
   * @param {PointerEvent} event
   */
  moved(at, event) {
    const last = this.points.at(-1);
    if (last) this.view.stage.guide([], [last, this.view.snap(at, event, "").at]);
  }

  /**
   * A tool was used at a place.
   * @param {Spot} given
   * @param {PointerEvent | null} event null by a key
   */
  async placed(given, event) {
    const { view, tool } = this;
    const { shown } = view.stage;
    const at = view.snap(given, event ?? { altKey: false }, tool === "led" ? "LED" : "").at;
    if (tool === "measure") return this.measured(at);
    if (tool === "polygon" && event && !this.closes(at)) {
      this.points.push(at);
      return view.stage.guide([], [at, at]);
    }
    if (tool === "baffle" && event && !this.points.length) {
      this.points = [at];
      return view.status("Now where it ends.");
    }
    if (!shown) return;
    const made = additionOf(tool, { shown, at, points: this.points });
    if (typeof made === "string") return say(made);
    const { edit, label, picks } = made;
    this.take("pick");
    if (await view.carryOut(() => ({ edit, label }))) view.pick(picks, true);
  }

  /**
   * Whether a place closes the outline that is begun.
   * @param {Spot} at
   */
  closes(at) {
    const [first] = this.points;
    return this.points.length > 2 && Math.hypot(at[0] - first[0], at[1] - first[1]) * this.view.stage.port.scale < CLOSE_PX;
  }

  /** @param {Spot} at */
  measured(at) {
    const { stage } = this.view;
    if (this.points.length !== 1) {
      this.points = [at];
      return this.view.status("Now the other place.");
    }
    const [from] = this.points;
    stage.guide([], [from, at]);
    this.points = [];
    const [across, up] = [Math.abs(at[0] - from[0]), Math.abs(at[1] - from[1])];
    return this.view.status(`${both(Math.hypot(across, up))}; ${both(across)} across, ${both(up)} up`);
  }
}
