// The glow that follows the pointer: places go to the server while one drags, fields come back.

import { projectAddress } from "./edits.js";
import { decode } from "./panel_field.js";

/** @typedef {import("./panel_field.js").Fields} Fields */
/** @typedef {import("./panel_shown.js").Draft} Draft */

/**
 * Put what is dragged into the words of the server; nothing where no light can change by it.
 * @param {Draft} draft
 * @param {{seq: number, sub: string, panel: string}} about
 */
export function messageOf(draft, { seq, sub, panel }) {
  const { leds, openings, insides } = draft;
  const baffles = Object.entries(draft.baffles).map(([name, one]) => ({ name, ...one }));
  const pillars = Object.entries(draft.pillars).map(([name, one]) => ({ name, ...one }));
  if (![leds, openings, insides].some((one) => Object.keys(one).length) && !baffles.length && !pillars.length) return null;
  return { seq, sub, panel, leds, openings, insides, baffles, pillars };
}

export class Live {
  /**
   * @param {{sub: string, panel: string}} about
   * @param {(fields: Fields) => void} came
   */
  constructor(about, came) {
    this.about = about;
    this.came = came;
    this.seq = 0;
    this.waiting = 0;
    /** @type {Draft | null} */
    this.next = null;
    /** @type {WebSocket | null} */
    this.socket = null;
  }

  /** @returns {WebSocket} */
  open() {
    if (this.socket && this.socket.readyState <= WebSocket.OPEN) return this.socket;
    const socket = new WebSocket(`${location.origin.replace(/^http/, "ws")}${projectAddress()}/live`);
    socket.binaryType = "arraybuffer";
    socket.onopen = () => this.flush();
    socket.onmessage = (message) => this.heard(message.data);
    socket.onclose = () => {
      this.waiting = 0;
    };
    this.waiting = 0;
    this.socket = socket;
    return socket;
  }

  /** @param {Draft} draft */
  send(draft) {
    this.next = draft;
    if (this.open().readyState === WebSocket.OPEN) this.flush();
  }

  /** Nothing more is wanted; what is still on its way is passed over. */
  stop() {
    this.next = null;
    this.seq += 1;
  }

  flush() {
    if (this.waiting || !this.next || !this.socket) return;
    const message = messageOf(this.next, { ...this.about, seq: this.seq + 1 });
    this.next = null;
    if (!message) return;
    this.seq = message.seq;
    this.waiting = message.seq;
    this.socket.send(JSON.stringify(message));
  }

  /** @param {ArrayBuffer | string} data */
  heard(data) {
    const waited = this.waiting;
    this.waiting = 0;
    this.flush();
    if (typeof data === "string") return;
    const fields = decode(data);
    if (fields.seq === waited && fields.seq >= this.seq - 1) this.came(fields);
  }
}
