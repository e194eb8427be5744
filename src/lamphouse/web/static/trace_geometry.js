// Windows onto a picture, and ways from pixels to mm: pure functions of the tracing view.

/** @typedef {{x: number, y: number, w: number, h: number}} Port */
/** @typedef {[number, number]} Spot */

/**
 * The way in mm that moves a place by so many pixels of the picture.
 * @param {Spot} by columns and rows
 * @param {Spot} right columns and rows for 1 mm to the right
 * @param {Spot} up columns and rows for 1 mm upwards
 * @returns {Spot} right and up in mm; nothing where the picture shows no difference
 */
export function inMm(by, right, up) {
  const across = right[0] * up[1] - right[1] * up[0];
  if (!across) return [0, 0];
  return [(by[0] * up[1] - by[1] * up[0]) / across, (right[0] * by[1] - right[1] * by[0]) / across];
}

/**
 * The way in pixels of so many mm.
 * @param {Spot} way right and up
 * @param {Spot} right
 * @param {Spot} up
 * @returns {Spot}
 */
export function inPixels(way, right, up) {
  return [way[0] * right[0] + way[1] * up[0], way[0] * right[1] + way[1] * up[1]];
}

/**
 * Show more or less of a picture, one place staying where it is.
 * @param {Port} port
 * @param {number} factor above 1 shows less, larger
 * @param {Spot} at the place that stays
 * @param {Port} whole
 * @returns {Port}
 */
export function zoomed(port, factor, at, whole) {
  const least = Math.max(8, whole.w / 400);
  const w = Math.min(Math.max(port.w / factor, least), whole.w * 1.5);
  const share = w / port.w;
  return { x: at[0] - (at[0] - port.x) * share, y: at[1] - (at[1] - port.y) * share, w, h: port.h * share };
}

/**
 * Move a window, its middle never leaving the picture.
 * @param {Port} port
 * @param {Spot} by
 * @param {Port} whole
 * @returns {Port}
 */
export function panned(port, by, whole) {
  const middle = (/** @type {number} */ at, /** @type {number} */ size, /** @type {number} */ low, /** @type {number} */ long) =>
    Math.min(Math.max(at + size / 2, low), low + long) - size / 2;
  return { ...port, x: middle(port.x + by[0], port.w, whole.x, whole.w), y: middle(port.y + by[1], port.h, whole.y, whole.h) };
}

/**
 * The path of a closed line.
 * @param {Spot[]} line
 */
export function closed(line) {
  return line.length ? `M${line.map(([x, y]) => `${x} ${y}`).join("L")}Z` : "";
}

/**
 * How far an arrow key moves a place: 0.1 mm, with Shift 1 mm.
 * @param {string} key
 * @param {boolean} far
 * @returns {Spot | null} right and up in mm
 */
export function stepOf(key, far) {
  const step = far ? 1 : 0.1;
  switch (key) {
    case "ArrowRight":
      return [step, 0];
    case "ArrowLeft":
      return [-step, 0];
    case "ArrowUp":
      return [0, step];
    case "ArrowDown":
      return [0, -step];
    default:
      return null;
  }
}
