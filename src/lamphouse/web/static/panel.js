// The panel view: pointer, touch and keys made commands; the server owns the file and the sums.

import { edit, projectAddress, say, send, show } from "./edits.js";
import { bounds, both, moved, nearestCorner, resized, rounded, shiftOf, snapped, stretched } from "./panel_geometry.js";
import { decode, washedOut } from "./panel_field.js";
import { Live } from "./panel_live.js";
import { Stage, idOf, noDraft, place } from "./panel_stage.js";
import { additionOf } from "./panel_adding.js";
import "./panel_suggest.js";
import { roomLight } from "./room_light.js";

/** @typedef {import("./panel_stage.js").Item} Item */
/** @typedef {import("./panel_stage.js").Shown} Shown */
/** @typedef {import("./panel_geometry.js").Spot} Spot */
/** @typedef {import("./panel_geometry.js").Corner} Corner */
/** @typedef {{item: Item | null, handle: number, from: Spot, stood: Spot, pointer: number, isMoved: boolean}} Hold */

const REACH_PX = 7;
const NUDGE_MM = 0.1;
const NUDGES_WAIT_MS = 600;
const FORM_WAITS_MS = 120;
const htmx = () => /** @type {any} */ (window).htmx;

class PanelView {
  /** @param {HTMLElement} root */
  constructor(root) {
    this.root = root;
    this.sub = root.dataset.sub ?? "";
    this.panel = root.dataset.panel ?? "";
    this.query = `sub=${encodeURIComponent(this.sub)}&panel=${encodeURIComponent(this.panel)}`;
    this.stage = new Stage(
      /** @type {SVGSVGElement} */ (/** @type {unknown} */ (this.at("#panel-stage"))),
      /** @type {HTMLCanvasElement} */ (this.at("#panel-glow")),
      /** @type {HTMLCanvasElement} */ (this.at("#panel-seen")),
    );
    this.live = new Live({ sub: this.sub, panel: this.panel }, (fields) => this.glowCame(fields));
    this.tool = "pick";
    /** @type {Hold | null} */
    this.hold = null;
    /** @type {Map<number, Spot>} */
    this.touches = new Map();
    /** @type {Spot[]} */
    this.points = [];
    /** @type {Spot} */
    this.nudged = [0, 0];
    this.nudgeTimer = 0;
    this.formTimer = 0;
    /** @type {Promise<void>} */
    this.last = Promise.resolve();
    this.rowWay = "";
    /** @type {Spot} */
    this.over = [0, 0];
    this.isAlive = true;
    this.stage.lux = roomLight();
    this.listen();
    void this.refresh();
    void this.refreshField();
  }

  /**
   * @param {string} selector
   * @returns {HTMLElement}
   */
  at(selector) {
    return /** @type {HTMLElement} */ (this.root.querySelector(selector));
  }

  listen() {
    const stage = this.stage.root;
    stage.addEventListener("pointerdown", (event) => this.pressed(event));
    stage.addEventListener("pointermove", (event) => this.dragged(event));
    stage.addEventListener("pointerup", (event) => void this.released(event));
    stage.addEventListener("pointercancel", () => this.letGo());
    stage.addEventListener("wheel", (event) => this.wheeled(event), { passive: false });
    stage.addEventListener("keydown", (event) => this.keyed(event));
    stage.addEventListener("dblclick", (event) => void this.addCorner(event));
    stage.addEventListener("focusin", (event) => this.focused(event));
    this.root.addEventListener("click", (event) => this.clicked(event));
    this.root.addEventListener("change", (event) => this.chosen(event));
    new ResizeObserver(() => this.stage.look()).observe(this.at(".stage"));
    new ResizeObserver(() => this.stage.drawGlow()).observe(this.at(".seen"));
    // a picture is asked for when it is looked at: making one takes time that the glow wants
    const seen = new IntersectionObserver((entries) => entries.forEach(showPicture), { root: this.at(".beside") });
    new MutationObserver(() => {
      for (const one of this.root.querySelectorAll("#panel-side img[data-src]:not([src])")) seen.observe(one);
    }).observe(this.at("#panel-side"), { childList: true, subtree: true, attributes: true, attributeFilter: ["data-src", "src"] });
    const onStale = () => (this.isAlive && document.body.contains(this.root) ? void this.stale() : undefined);
    document.addEventListener("viewstale", onStale);
    document.addEventListener("roomlight", (event) => {
      this.stage.lux = /** @type {CustomEvent<number>} */ (event).detail;
      this.stage.drawGlow();
      this.showFigures();
    });
  }

  async stale() {
    await this.refresh();
    await this.refreshField();
    await this.refreshForm();
  }

  /** Ask what is drawn, and draw it. */
  async refresh() {
    const answer = await fetch(`${projectAddress()}/panel/shown?${this.query}`);
    if (!answer.ok) return say((await answer.json().catch(() => ({}))).message ?? "There is no such panel.");
    const shown = /** @type {Shown} */ (await answer.json());
    if (!shown.planned && this.stage.shown) {
      // until the new plan is there the old light and the old drawing serve, the drawing faint
      shown.glow = this.stage.shown.glow;
      shown.ground = this.stage.shown.ground;
    }
    this.stage.root.classList.toggle("stale", !shown.planned);
    // what is being dragged has its place by itself; all it is measured from is the new file's
    this.stage.show(shown, Boolean(this.hold?.isMoved || this.nudgeTimer));
    document.body.dataset.revision = shown.revision;
    this.listItems(shown);
    this.root.dataset.state = shown.planned ? "planned" : "planning";
    this.showFigures();
    if (shown.planned) void htmx().ajax("GET", `${projectAddress()}/panel/side?${this.query}`, { target: "#panel-side", swap: "innerMorph" });
  }

  async refreshField() {
    const answer = await fetch(`${projectAddress()}/panel/field?${this.query}`);
    if (!answer.ok || this.hold) return;
    const fields = decode(await answer.arrayBuffer());
    this.stage.fields.clear();
    this.stage.take(fields.openings);
    this.showFigures();
    this.root.dataset.field = String(document.body.dataset.revision);
  }

  /** @param {Shown} shown */
  listItems(shown) {
    const list = /** @type {HTMLSelectElement} */ (this.at("#panel-item"));
    const options = shown.items.map((item) => new Option(`${item.kind} ${item.name}`, idOf(item)));
    list.replaceChildren(new Option("nothing", ""), ...options);
    list.value = this.stage.picked;
    if (list.selectedIndex < 0) this.pick("");
  }

  /** @param {import("./panel_field.js").Fields} fields */
  glowCame(fields) {
    this.stage.take(fields.openings);
    this.showFigures();
    this.status(fields.unknown.length ? fields.unknown.map((one) => one.why).join("; ") : "");
    this.root.dispatchEvent(new CustomEvent("glowpainted", { bubbles: true, detail: fields.seq }));
  }

  showFigures() {
    const rows = [...this.stage.fields.values()].map((field) => {
      const glow = this.stage.shown?.glow?.openings[field.name];
      const room = this.stage.roomShare() * (glow?.room_cd_m2 ?? 0);
      const cells = [
        field.name,
        `${digits(field.mean_cd_m2)} ± ${digits(field.bar_cd_m2)}`,
        percent(field.evenness),
        percent(field.hot_spot),
        percent(washedOut(field.mean_cd_m2, room)),
      ];
      const row = document.createElement("tr");
      cells.forEach((words, i) => {
        const cell = document.createElement(i ? "td" : "th");
        if (!i) cell.setAttribute("scope", "row");
        else cell.className = "number";
        cell.textContent = words;
        row.append(cell);
      });
      return row;
    });
    this.at("#panel-figures tbody").replaceChildren(...rows);
    const share = [...this.stage.fields.values()].length;
    this.at(".seen figcaption .lux").textContent = share ? said(this.stage.lux) : "";
  }

  /** @param {string} words */
  status(words) {
    this.at("#panel-status").textContent = words;
  }

  /**
   * @param {string} id
   * @param {boolean} [isToFocus]
   */
  pick(id, isToFocus = false) {
    if (this.stage.picked !== id) this.rowWay = "";
    this.stage.picked = id;
    this.stage.draw();
    const list = /** @type {HTMLSelectElement} */ (this.at("#panel-item"));
    list.value = id;
    this.formSoon();
    if (isToFocus) /** @type {SVGElement | null} */ (this.stage.root.querySelector(`[data-id="${CSS.escape(id)}"]`))?.focus();
    const item = this.stage.pickedItem();
    /** @type {HTMLButtonElement} */ (this.at("#panel-remove")).disabled = !item || item.kind === "panel";
    /** @type {HTMLButtonElement} */ (this.at("#panel-points")).disabled = !item?.shape || item.shape === "points" || item.kind === "overlay";
  }

  /** Fetch the form when nothing is being dragged: the glow goes first. */
  formSoon() {
    window.clearTimeout(this.formTimer);
    this.formTimer = window.setTimeout(() => (this.hold?.isMoved ? this.formSoon() : void this.refreshForm()), FORM_WAITS_MS);
  }

  async refreshForm() {
    const item = this.stage.pickedItem();
    const form = this.at("#panel-form");
    if (!item) {
      delete form.dataset.path;
      return form.replaceChildren();
    }
    const path = JSON.stringify(item.path);
    const query = `path=${encodeURIComponent(path)}&member=${encodeURIComponent(item.member ? item.name : "")}`;
    const answer = await fetch(`${projectAddress()}/panel/form?${query}`);
    if (!answer.ok || idOf(item) !== this.stage.picked) return;
    const made = new DOMParser().parseFromString(await answer.text(), "text/html").body;
    if (form.dataset.path === path) keepTyped(form, made);
    form.dataset.path = path;
    const focused = form.contains(document.activeElement) ? nameOf(document.activeElement) : "";
    form.replaceChildren(...made.childNodes);
    if (focused) /** @type {HTMLElement | undefined} */ ([...form.querySelectorAll("input, select, button")].find((one) => nameOf(one) === focused))?.focus();
  }

  /** Places that sides and middles snap to, but those of the picked item. */
  marks() {
    const shown = this.stage.shown;
    /** @type {{x: number[], y: number[]}} */
    const marks = { x: [], y: [] };
    if (!shown) return marks;
    const own = this.stage.pickedItem();
    for (const item of shown.items) {
      if (own && JSON.stringify(item.path) === JSON.stringify(own.path)) continue;
      if (own?.kind === "box" && item.box === own.name) continue;
      const corners = this.stage.outlineOf(item);
      const at = this.stage.stands(item);
      if (at) {
        marks.x.push(at[0]);
        marks.y.push(at[1]);
      }
      if (!corners) continue;
      const [left, bottom, right, top] = bounds(corners);
      marks.x.push(left, right);
      marks.y.push(bottom, top);
    }
    return marks;
  }

  /**
   * Snap a place as the maker has set it.
   * @param {Spot} at
   * @param {{altKey: boolean}} event
   * @param {string} kind
   */
  snap(at, event, kind) {
    const setting = /** @type {HTMLSelectElement} */ (this.at("#panel-grid")).value;
    if (event.altKey || setting === "off") return { at: /** @type {Spot} */ ([rounded(at[0], 0), rounded(at[1], 0)]), on: [false, false] };
    const gluing = this.stage.shown?.gluing_mm ?? 0.5;
    const grid = kind === "LED" ? Math.max(gluing, Number(setting)) : Number(setting);
    return snapped(at, { marks: this.marks(), grid, reach: REACH_PX / this.stage.port.scale });
  }

  /** @param {PointerEvent} event */
  pressed(event) {
    const stage = this.stage.root;
    if (event.button > 1) return;
    this.touches.set(event.pointerId, [event.clientX, event.clientY]);
    stage.setPointerCapture(event.pointerId);
    if (this.touches.size === 2) return this.letGo();
    const at = this.stage.placeOf(event);
    const target = event.target instanceof Element ? event.target : null;
    if (this.tool !== "pick") return void this.placed(at, event);
    const handle = target?.closest("[data-handle]");
    if (handle) {
      const number = Number(/** @type {SVGElement} */ (handle).dataset.handle);
      this.hold = { item: this.stage.pickedItem() ?? null, handle: number, from: at, stood: this.stage.handles()[number].at, pointer: event.pointerId, isMoved: false };
      return;
    }
    const id = event.button === 0 ? (target?.closest(".item")?.getAttribute("data-id") ?? "") : "";
    if (event.button === 0) this.pick(id, true);
    const item = this.stage.pickedItem() ?? null;
    const held = item && item.kind !== "panel" ? item : null;
    this.hold = { item: held, handle: -1, from: at, stood: (held && this.stage.stands(held)) ?? [0, 0], pointer: event.pointerId, isMoved: false };
  }

  /** @param {PointerEvent} event */
  dragged(event) {
    const at = this.stage.placeOf(event);
    this.over = at;
    this.at("#panel-where").textContent = `${both(at[0])} right, ${both(at[1])} up`;
    if (this.touches.has(event.pointerId) && this.touches.size === 2) return this.pinched(event);
    if (this.touches.has(event.pointerId)) this.touches.set(event.pointerId, [event.clientX, event.clientY]);
    if (this.tool !== "pick" && !this.hold) return this.toolMoved(at, event);
    const hold = this.hold;
    if (!hold || hold.pointer !== event.pointerId) return;
    if (!hold.isMoved && Math.hypot(at[0] - hold.from[0], at[1] - hold.from[1]) * this.stage.port.scale < 3) return;
    hold.isMoved = true;
    if (!hold.item) return this.stage.pan([event.movementX, event.movementY]);
    const why = this.heldBy(hold.item);
    if (why && hold.handle < 0) return this.status(why);
    /** @type {Spot} */
    const to = [hold.stood[0] + at[0] - hold.from[0], hold.stood[1] + at[1] - hold.from[1]];
    const { at: snappedTo, on } = this.snap(to, event, hold.item.kind);
    this.stage.guide([...(on[0] ? [{ x: snappedTo[0] }] : []), ...(on[1] ? [{ y: snappedTo[1] }] : [])]);
    this.status(place(snappedTo));
    this.put(hold.item, hold.handle, snappedTo);
  }

  /** @param {PointerEvent} event */
  pinched(event) {
    const before = [...this.touches.values()];
    this.touches.set(event.pointerId, [event.clientX, event.clientY]);
    const after = [...this.touches.values()];
    const [was, is] = [before, after].map(([[ax, ay], [bx, by]]) => Math.hypot(bx - ax, by - ay));
    const [wx, wy] = [(before[0][0] + before[1][0]) / 2, (before[0][1] + before[1][1]) / 2];
    const [ix, iy] = [(after[0][0] + after[1][0]) / 2, (after[0][1] + after[1][1]) / 2];
    const box = this.stage.root.getBoundingClientRect();
    this.stage.pan([ix - wx, iy - wy]);
    if (was > 0) this.stage.zoom(is / was, [ix - box.left, iy - box.top]);
  }

  /** @param {Item} item @returns {string} why it cannot be dragged; empty when it can */
  heldBy(item) {
    if (item.along && item.of > 1) return `It stands along '${item.along}'; move that outline, or change inset and count.`;
    if (this.stage.shown?.is_cone) return "On a cone, type its place instead.";
    return "";
  }

  /**
   * Put an item, or one of its handles, somewhere in the draft, and ask for its glow.
   * @param {Item} item
   * @param {number} handle -1 for the item itself
   * @param {Spot} to
   */
  put(item, handle, to) {
    const draft = noDraft();
    this.stage.draft = noDraft();
    const stood = handle < 0 ? this.stage.stands(item) : this.stage.handles()[handle]?.at;
    if (!stood) return;
    /** @type {Spot} */
    const by = [to[0] - stood[0], to[1] - stood[1]];
    const corners = this.stage.outlineOf(item);
    if (handle >= 0) this.reshape(item, handle, to, draft);
    else if (item.kind === "LED") draft.leds[item.name] = to;
    else if (item.kind === "strand") draft.strands[item.name] = to;
    else if (item.kind === "opening" && corners) draft.openings[item.name] = moved(corners, by);
    else if (item.kind === "baffle") this.moveBaffle(item, by, draft);
    else if (item.kind === "box" && corners) this.moveBox(item, corners, by, draft);
    this.stage.draft = draft;
    this.stage.draw();
    this.live.send(draft);
  }

  /** @param {Item} item @param {Spot} by @param {import("./panel_stage.js").Draft} draft */
  moveBaffle(item, by, draft) {
    const baffle = this.stage.shown?.boxes.find((one) => one.name === item.box)?.baffles.find((one) => one.name === item.name);
    if (!baffle) return;
    const ends = [baffle.from_mm, baffle.to_mm].map(([x, y]) => /** @type {Spot} */ ([x + by[0], y + by[1]]));
    draft.baffles[item.name] = { box: item.box, start: ends[0], end: ends[1] };
  }

  /** @param {Item} item @param {Corner[]} corners @param {Spot} by @param {import("./panel_stage.js").Draft} draft */
  moveBox(item, corners, by, draft) {
    draft.insides[item.name] = moved(corners, by);
    const box = this.stage.shown?.boxes.find((one) => one.name === item.name);
    for (const led of box?.leds ?? []) draft.leds[led.name] = [led.at_mm[0] + by[0], led.at_mm[1] + by[1]];
    for (const baffle of box?.baffles ?? []) this.moveBaffle({ ...item, kind: "baffle", name: baffle.name, box: item.name }, by, draft);
  }

  /**
   * @param {Item} item
   * @param {number} handle
   * @param {Spot} to
   * @param {import("./panel_stage.js").Draft} draft
   */
  reshape(item, handle, to, draft) {
    if (item.kind === "baffle") {
      const baffle = this.stage.shown?.boxes.find((one) => one.name === item.box)?.baffles.find((one) => one.name === item.name);
      if (baffle) draft.baffles[item.name] = { box: item.box, start: handle ? baffle.from_mm : to, end: handle ? to : baffle.to_mm };
      return;
    }
    const corners = this.stage.outlineOf(item);
    if (!corners) return;
    const changed = reshaped(item, corners, handle, to).corners;
    if (item.kind === "panel") draft.outline = changed;
    else if (item.kind === "opening") draft.openings[item.name] = changed;
    else if (item.kind === "box") draft.insides[item.name] = changed;
  }

  letGo() {
    this.hold = null;
    this.stage.draft = noDraft();
    this.stage.guide([]);
    this.live.stop();
    this.stage.draw();
  }

  /** @param {PointerEvent} event */
  async released(event) {
    this.touches.delete(event.pointerId);
    const hold = this.hold;
    if (!hold || hold.pointer !== event.pointerId) return;
    this.hold = null;
    this.stage.guide([]);
    if (!hold.isMoved || !hold.item || !this.stage.isDrafted()) return;
    await this.commit(hold.item, hold.handle);
  }

  /**
   * Make what is drafted a change of the file.
   * @param {Item} item
   * @param {number} handle
   */
  commit(item, handle) {
    // one after the other: each is measured from the file that the one before has left
    this.last = this.last.then(async () => {
      this.nudgeTimer = 0;
      const command = this.stage.isDrafted() ? await this.commandOf(item, handle) : null;
      if (!command || !(await this.carryOut(command))) this.letGo();
    });
    return this.last;
  }

  /**
   * @param {Item} item
   * @param {number} handle
   * @returns {Promise<Record<string, unknown> | null>}
   */
  async commandOf(item, handle) {
    const draft = this.stage.draft;
    const now = handle < 0 ? this.stage.stands(item) : this.stage.handles()[handle]?.at;
    const after = this.stage.outlineOf(item);
    this.stage.draft = noDraft();
    const before = handle < 0 ? this.stage.stands(item) : this.stage.handles()[handle]?.at;
    const corners = this.stage.outlineOf(item);
    this.stage.draft = draft;
    if (!now || !before) return null;
    /** @type {Spot} */
    const by = [rounded(now[0] - before[0], 0), rounded(now[1] - before[1], 0)];
    if (!by[0] && !by[1]) return null;
    if (handle < 0) return this.moveOf(item, by, now);
    if (item.kind === "baffle") {
      const key = handle ? "to" : "from";
      return { edit: [{ do: "set", path: [...item.path, key], value: now.map(mm) }], label: `Move an end of ${item.name}` };
    }
    if (!corners || !after) return null;
    const path = [...item.path, item.shape_key];
    if (item.shape === "points") {
      const shift = shiftOf(item.points_mm, corners);
      return { do: "move corner", path, corner: handle, to: [rounded(now[0] - shift[0], 0), rounded(now[1] - shift[1], 0)], label: `Move a corner of ${item.name}` };
    }
    const { size, by: middleBy } = reshaped(item, corners, handle, now);
    return { do: "resize", path, size, by: item.kind === "panel" ? [0, 0] : middleBy, label: `Make ${item.name} ${size[0]} x ${size[1]} mm` };
  }

  /**
   * @param {Item} item
   * @param {Spot} by
   * @param {Spot} now
   */
  async moveOf(item, by, now) {
    const label = `Move ${item.kind === "LED" ? "" : `${item.kind} `}${item.name}`;
    const stands = this.stage.stands(item);
    if (item.of > 1) {
      const way = this.rowWay || (await this.askRow(item));
      if (!way) return null;
      this.rowWay = way;
      if (way === "out") {
        const members = (this.stage.shown?.items ?? []).filter((one) => idOf(one).startsWith(item.kind) && JSON.stringify(one.path) === JSON.stringify(item.path));
        const draft = this.stage.draft;
        this.stage.draft = noDraft();
        const places = members.map((one) => this.stage.stands(one));
        this.stage.draft = draft;
        return { do: "take out", path: item.path, member: item.member, places, to: now, label: `Take ${item.name} out of its row` };
      }
      return { do: "move", paths: [item.path], by, label: `Move the row of ${item.name}` };
    }
    return { do: "move", paths: [item.path], by, stands: stands ? [stands[0] - by[0], stands[1] - by[1]] : null, label };
  }

  /**
   * @param {Item} item
   * @returns {Promise<string>} ``whole``, ``out``, or empty to leave all as it was
   */
  askRow(item) {
    const dialog = /** @type {HTMLDialogElement} */ (this.at("#panel-row"));
    this.at("#panel-row-words").textContent = `${item.name} is one of ${item.of} in a row that the file writes in one line.`;
    this.at("#panel-row-out").textContent = `Take ${item.name} out of the row`;
    dialog.returnValue = "";
    dialog.showModal();
    return new Promise((done) => dialog.addEventListener("close", () => done(dialog.returnValue), { once: true }));
  }

  /**
   * @param {Record<string, unknown>} command
   * @returns {Promise<boolean>}
   */
  async carryOut(command) {
    const { edit: edits, ...rest } = command;
    const outcome = edits
      ? await edit(String(command.label), /** @type {import("./edits.js").Edit[]} */ (edits))
      : await send("panel/do", { command: { ...rest, seen: document.body.dataset.revision ?? "" } });
    say(outcome.ok ? "" : outcome.answer.message);
    if (!outcome.ok) return false;
    if (!edits) show(outcome.answer);
    this.live.stop();
    await this.refresh();
    await this.refreshForm();
    void this.refreshField();
    return true;
  }

  /** @param {WheelEvent} event */
  wheeled(event) {
    event.preventDefault();
    const box = this.stage.root.getBoundingClientRect();
    if (event.shiftKey) return this.stage.pan([-event.deltaY, 0]);
    return this.stage.zoom(Math.exp(-event.deltaY / 400), [event.clientX - box.left, event.clientY - box.top]);
  }

  /** @param {FocusEvent} event */
  focused(event) {
    const id = event.target instanceof Element ? (event.target.closest(".item")?.getAttribute("data-id") ?? "") : "";
    if (id && id !== this.stage.picked && !this.hold && event.target instanceof Element && event.target.matches(":focus-visible")) this.pick(id, true);
  }

  /** @param {KeyboardEvent} event */
  keyed(event) {
    if (event.ctrlKey || event.metaKey) return;
    const arrows = /** @type {Record<string, Spot>} */ ({ ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] });
    const way = arrows[event.key];
    const handle = event.target instanceof Element ? event.target.closest("[data-handle]") : null;
    if (way) {
      event.preventDefault();
      const step = event.shiftKey ? 10 * NUDGE_MM : NUDGE_MM;
      const item = this.stage.pickedItem();
      if (item && (handle || item.kind !== "panel")) this.nudge(item, handle ? Number(/** @type {SVGElement} */ (handle).dataset.handle) : -1, [way[0] * step, way[1] * step]);
      else this.stage.pan([-way[0] * 40, way[1] * 40]);
      return;
    }
    const done = /** @type {Record<string, () => void>} */ ({
      "+": () => this.stage.zoom(1.25),
      "-": () => this.stage.zoom(0.8),
      0: () => (this.stage.fit(), this.stage.draw()),
      Escape: () => this.escaped(),
      Delete: () => void this.remove(handle),
      PageDown: () => this.pickNext(1),
      PageUp: () => this.pickNext(-1),
      Enter: () => this.entered(handle),
    })[event.key];
    if (!done) return;
    event.preventDefault();
    event.stopPropagation();
    done();
  }

  /** @param {Element | null} handle */
  entered(handle) {
    if (this.tool !== "pick") {
      const { port } = this.stage;
      const [width, height] = this.stage.size();
      return void this.placed([port.x + width / 2 / port.scale, -(port.y + height / 2 / port.scale)], null);
    }
    if (handle) return;
    const focus = document.activeElement?.getAttribute("data-id") ?? "";
    if (focus && focus !== this.stage.picked) return this.pick(focus, true);
    /** @type {HTMLElement | null} */ (this.at("#panel-form").querySelector("input, select"))?.focus();
  }

  escaped() {
    this.letGo();
    this.points = [];
    if (this.tool !== "pick") this.setTool("pick");
    else this.pick("");
  }

  /** @param {number} way */
  pickNext(way) {
    const items = this.stage.shown?.items ?? [];
    const now = items.findIndex((one) => idOf(one) === this.stage.picked);
    const next = items[(now + way + items.length) % items.length];
    if (next) this.pick(idOf(next), true);
  }

  /**
   * @param {Item} item
   * @param {number} handle
   * @param {Spot} by
   */
  nudge(item, handle, by) {
    const why = handle < 0 ? this.heldBy(item) : "";
    if (why) return this.status(why);
    const now = handle < 0 ? this.stage.stands(item) : this.stage.handles()[handle]?.at;
    if (!now) return;
    /** @type {Spot} */
    const to = [rounded(now[0] + by[0], 0), rounded(now[1] + by[1], 0)];
    this.put(item, handle, to);
    this.status(place(to));
    window.clearTimeout(this.nudgeTimer);
    this.nudgeTimer = window.setTimeout(() => void this.commit(item, handle), NUDGES_WAIT_MS);
  }

  /** @param {MouseEvent} event */
  clicked(event) {
    const button = event.target instanceof Element ? event.target.closest("button") : null;
    if (!button) return;
    const { tool, port, move } = button.dataset;
    if (tool) this.setTool(tool);
    else if (port === "in") this.stage.zoom(1.25);
    else if (port === "out") this.stage.zoom(0.8);
    else if (port === "fit") this.stage.fit(), this.stage.draw();
    else if (button.id === "panel-remove") void this.remove(null);
    else if (button.id === "panel-points") void this.makePoints();
    else if (move) void this.listEdit(button);
  }

  /** @param {string} tool */
  setTool(tool) {
    this.tool = tool;
    this.points = [];
    this.stage.guide([]);
    this.stage.root.dataset.tool = tool;
    for (const one of this.root.querySelectorAll("[data-tool]")) one.setAttribute("aria-pressed", String(/** @type {HTMLElement} */ (one).dataset.tool === tool));
    const words = /** @type {Record<string, string>} */ ({
      measure: "Click one place, then another.",
      polygon: "Click its corners in turn; click the first again to close it.",
    });
    this.status(tool === "pick" ? "" : (words[tool] ?? "Click where it goes, or press Enter here for the middle of the view."));
    if (tool !== "pick") this.stage.root.focus();
  }

  /**
   * @param {Spot} at
   * @param {PointerEvent} event
   */
  toolMoved(at, event) {
    if (!this.points.length) return;
    const to = this.snap(at, event, "").at;
    this.stage.guide([], [/** @type {Spot} */ (this.points.at(-1)), to]);
  }

  /**
   * A tool was used at a place.
   * @param {Spot} given
   * @param {PointerEvent | null} event
   */
  async placed(given, event) {
    if (event) this.touches.delete(event.pointerId);
    const at = this.snap(given, event ?? { altKey: false }, this.tool === "led" ? "LED" : "").at;
    if (this.tool === "measure") return this.measured(at);
    if (this.tool === "polygon" && event && !this.closes(at)) {
      this.points.push(at);
      return this.stage.guide([], [at, at]);
    }
    if (this.tool === "baffle" && event && !this.points.length) {
      this.points = [at];
      return this.status("Now where it ends.");
    }
    const shown = this.stage.shown;
    if (!shown) return;
    const made = additionOf(this.tool, { shown, at, points: this.points });
    if (typeof made === "string") return say(made);
    this.setTool("pick");
    if (await this.carryOut(made)) this.pick(String(made.picks), true);
  }

  /** @param {Spot} at */
  closes(at) {
    const first = this.points[0];
    return this.points.length > 2 && first && Math.hypot(at[0] - first[0], at[1] - first[1]) * this.stage.port.scale < 12;
  }

  /** @param {Spot} at */
  measured(at) {
    if (this.points.length !== 1) {
      this.points = [at];
      return this.status("Now the other place.");
    }
    const from = this.points[0];
    this.stage.guide([], [from, at]);
    const length = Math.hypot(at[0] - from[0], at[1] - from[1]);
    this.points = [];
    return this.status(`${both(length)}; ${both(Math.abs(at[0] - from[0]))} across, ${both(Math.abs(at[1] - from[1]))} up`);
  }

  /** @param {Element | null} handle */
  async remove(handle) {
    const item = this.stage.pickedItem();
    if (!item) return;
    if (handle && item.shape === "points") {
      const corner = Number(/** @type {SVGElement} */ (handle).dataset.handle);
      await this.carryOut({ do: "remove corner", path: [...item.path, item.shape_key], corner, label: `Remove a corner of ${item.name}` });
      return;
    }
    if (item.kind === "panel") return;
    const members = (this.stage.shown?.items ?? []).filter((one) => one.kind === item.kind && JSON.stringify(one.path) === JSON.stringify(item.path));
    const command =
      item.of > 1
        ? { do: "take out", path: item.path, member: item.member, places: members.map((one) => this.stage.stands(one)), to: null, label: `Remove ${item.name} from its row` }
        : { do: "remove", paths: [item.path], label: `Remove ${item.kind} ${item.name}` };
    if (await this.carryOut(command)) this.pick("");
  }

  async makePoints() {
    const item = this.stage.pickedItem();
    const corners = item && this.stage.outlineOf(item);
    if (!item || !corners) return;
    const stands = item.kind === "panel" ? [0, 0] : this.stage.stands(item);
    await this.carryOut({ do: "points", path: [...item.path, item.shape_key], corners, stands, label: `Make points of ${item.name}` });
  }

  /** @param {MouseEvent} event */
  async addCorner(event) {
    const item = this.stage.pickedItem();
    const corners = item && this.stage.outlineOf(item);
    if (!item || item.shape !== "points" || !corners || this.tool !== "pick") return;
    const at = this.stage.placeOf(event);
    let best = { gap: Infinity, before: 0 };
    corners.forEach(([x, y], i) => {
      const [ex, ey] = corners[(i + 1) % corners.length];
      const share = Math.min(1, Math.max(0, ((at[0] - x) * (ex - x) + (at[1] - y) * (ey - y)) / ((ex - x) ** 2 + (ey - y) ** 2 || 1)));
      const gap = Math.hypot(at[0] - x - share * (ex - x), at[1] - y - share * (ey - y));
      if (gap < best.gap) best = { gap, before: i + 1 };
    });
    if (best.gap * this.stage.port.scale > 12) return;
    const shift = shiftOf(item.points_mm, corners);
    const to = this.snap(at, event, "").at;
    await this.carryOut({ do: "add corner", path: [...item.path, item.shape_key], corner: best.before, to: [to[0] - shift[0], to[1] - shift[1]], label: `Add a corner to ${item.name}` });
  }

  /** @param {Event} event */
  chosen(event) {
    const field = event.target;
    if (!(field instanceof HTMLInputElement || field instanceof HTMLSelectElement)) return;
    if (field.id === "panel-choose") location.assign(`${projectAddress()}/panel?${field.value}`);
    else if (field.id === "panel-item") this.pick(field.value);
    else if (field.dataset.newEntry) void this.listEdit(field);
    else if (field.dataset.alone) void this.unfold(field);
  }

  /**
   * An entry of a list comes, goes or changes places.
   * @param {HTMLElement} from
   */
  async listEdit(from) {
    const form = this.at("#panel-form");
    const named = from.getAttribute("aria-label");
    form.inert = true; // numbers in it are those of the file until it is fetched again
    await this.listEdited(from);
    form.inert = false;
    const again = named ? form.querySelector(`[aria-label="${CSS.escape(named)}"]`) : form.querySelector("[data-new-entry]");
    if (again instanceof HTMLElement) again.focus();
  }

  /** @param {HTMLElement} from */
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
      await this.carryOut({ edit: [one], label: `Add ${name} to the ${label}` });
    } else if (from.dataset.move === "away") {
      await this.carryOut({ edit: [{ do: "remove", path: [...path, number] }], label: `Take one of the ${label} away` });
    } else {
      const other = number + (from.dataset.move === "up" ? -1 : 1);
      [entries[number], entries[other]] = [entries[other], entries[number]];
      await this.carryOut({ edit: [{ do: "set", path, value: entries }], label: `Change the order of the ${label}` });
    }
  }

  /**
   * An entry that was one text gets a further key.
   * @param {HTMLInputElement | HTMLSelectElement} field
   */
  async unfold(field) {
    const path = JSON.parse(field.dataset.alone ?? "[]");
    const value = { [field.dataset.aloneKey ?? ""]: field.dataset.aloneValue, [field.dataset.key ?? ""]: field.value };
    await this.carryOut({ edit: [{ do: "set", path, value }], label: `${field.dataset.key}: ${field.value}` });
  }
}

/**
 * An outline with one handle elsewhere.
 * @param {Item} item
 * @param {Corner[]} corners
 * @param {number} handle
 * @param {Spot} to
 * @returns {{corners: Corner[], size: Spot, by: Spot}}
 */
function reshaped(item, corners, handle, to) {
  const box = bounds(corners);
  if (item.shape === "points") {
    const shift = shiftOf(item.points_mm, corners);
    const [px, py] = item.points_mm[handle] ?? [0, 0];
    const which = nearestCorner(corners, [px + shift[0], py + shift[1]]);
    const changed = corners.map((corner, i) => /** @type {Corner} */ (i === which ? [to[0], to[1], corner[2]] : corner));
    return { corners: changed, size: [0, 0], by: [0, 0] };
  }
  if (item.shape === "round") {
    const [x, y] = [(box[0] + box[2]) / 2, (box[1] + box[3]) / 2];
    const radius = Math.max(0.1, rounded(Math.hypot(to[0] - x, to[1] - y), 0));
    return { corners: stretched(corners, [x - radius, y - radius, x + radius, y + radius]), size: [rounded(2 * radius, 0), rounded(2 * radius, 0)], by: [0, 0] };
  }
  const { size, by } = resized(box, item.kind === "panel" ? 2 : handle, to);
  const [x, y] = [(box[0] + box[2]) / 2 + by[0], (box[1] + box[3]) / 2 + by[1]];
  return { corners: stretched(corners, [x - size[0] / 2, y - size[1] / 2, x + size[0] / 2, y + size[1] / 2]), size, by };
}

/** @param {IntersectionObserverEntry} entry */
function showPicture({ isIntersecting, target }) {
  if (isIntersecting && target instanceof HTMLImageElement && !target.getAttribute("src")) target.src = target.dataset.src ?? "";
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

/** @param {number} length */
function mm(length) {
  return `${rounded(length, 0)} mm`;
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

/** @type {PanelView | null} */
let current = null;
const view = /** @type {HTMLElement} */ (document.getElementById("view"));

function begin() {
  const root = /** @type {HTMLElement | null} */ (view.querySelector("#panel"));
  if (!root || current?.root === root) return;
  if (current) current.isAlive = false;
  current = new PanelView(root);
}
// Said before anything is told of the plan: nobody but this module changes what it has drawn.
view.dataset.live = "";
new MutationObserver(begin).observe(view, { childList: true });
begin();
