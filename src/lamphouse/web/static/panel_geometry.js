// Places and outlines on a panel: snapping, moving, resizing; pure sums in mm, y up.

/** @typedef {[number, number]} Spot */
/** @typedef {[number, number, number]} Corner place and bulge of the piece that follows */
/** @typedef {{x: number[], y: number[]}} Marks places that a side or middle snaps to */

/**
 * Round to a step and to a micrometre.
 * @param {number} value
 * @param {number} step 0 rounds to the micrometre alone
 */
export function rounded(value, step) {
  const near = step > 0 ? Math.round(value / step) * step : value;
  return Math.round(near * 1000) / 1000 + 0;
}

/**
 * Snap a place: to a mark within reach, else to the grid.
 * @param {Spot} at
 * @param {{marks: Marks, grid: number, reach: number}} to
 * @returns {{at: Spot, on: [boolean, boolean]}} where it goes, and which of its lengths met a mark
 */
export function snapped([x, y], { marks, grid, reach }) {
  const nearX = nearest(x, marks.x, reach);
  const nearY = nearest(y, marks.y, reach);
  return {
    at: [rounded(nearX ?? x, nearX === null ? grid : 0), rounded(nearY ?? y, nearY === null ? grid : 0)],
    on: [nearX !== null, nearY !== null],
  };
}

/**
 * @param {number} value
 * @param {number[]} marks
 * @param {number} reach
 * @returns {number | null}
 */
function nearest(value, marks, reach) {
  let best = null;
  let gap = reach;
  for (const mark of marks) {
    if (Math.abs(mark - value) <= gap) {
      gap = Math.abs(mark - value);
      best = mark;
    }
  }
  return best;
}

/**
 * @param {Corner[]} corners
 * @param {Spot} by
 * @returns {Corner[]}
 */
export function moved(corners, [dx, dy]) {
  return corners.map(([x, y, bulge]) => [x + dx, y + dy, bulge]);
}

/**
 * The box around corners; a full circle of two corners counts whole.
 * @param {Corner[]} corners
 * @returns {[number, number, number, number]} left, bottom, right, top
 */
export function bounds(corners) {
  const xs = corners.map(([x]) => x);
  const ys = corners.map(([, y]) => y);
  corners.forEach(([x, y, bulge], i) => {
    if (!bulge) return;
    const [ex, ey] = corners[(i + 1) % corners.length];
    for (const [ax, ay] of arcReach([x, y], [ex, ey], bulge)) {
      xs.push(ax);
      ys.push(ay);
    }
  });
  return [Math.min(...xs), Math.min(...ys), Math.max(...xs), Math.max(...ys)];
}

/**
 * The places at which an arc lies farthest left, right, down or up.
 * @param {Spot} start
 * @param {Spot} end
 * @param {number} bulge
 * @returns {Spot[]}
 */
function arcReach([sx, sy], [ex, ey], bulge) {
  const half = (1 - bulge * bulge) / (4 * bulge);
  const [cx, cy] = [(sx + ex) / 2 - half * (ey - sy), (sy + ey) / 2 + half * (ex - sx)];
  const radius = Math.hypot(sx - cx, sy - cy);
  const from = Math.atan2(sy - cy, sx - cx);
  const turn = 4 * Math.atan(bulge);
  /** @type {Spot[]} */
  const found = [];
  for (let quarter = -4; quarter <= 4; quarter += 1) {
    const angle = (quarter * Math.PI) / 2;
    const past = turn > 0 ? angle - from : from - angle;
    if (past > 0 && past < Math.abs(turn)) found.push([cx + radius * Math.cos(angle), cy + radius * Math.sin(angle)]);
  }
  return found;
}

/**
 * @param {Corner[]} corners
 * @returns {Spot}
 */
export function middle(corners) {
  const [left, bottom, right, top] = bounds(corners);
  return [(left + right) / 2, (bottom + top) / 2];
}

/**
 * Size of a rectangle, one corner of which is dragged while the one across from it stays.
 * @param {[number, number, number, number]} box left, bottom, right, top
 * @param {number} corner 0 lower left, 1 lower right, 2 upper right, 3 upper left
 * @param {Spot} to
 * @param {number} [least] smallest side
 * @returns {{size: Spot, by: Spot}} its size, and how far its middle moves
 */
export function resized([left, bottom, right, top], corner, [x, y], least = 0.1) {
  const onRight = corner === 1 || corner === 2;
  const onTop = corner === 2 || corner === 3;
  const width = Math.max(least, onRight ? x - left : right - x);
  const height = Math.max(least, onTop ? y - bottom : top - y);
  const dx = ((width - (right - left)) / 2) * (onRight ? 1 : -1);
  const dy = ((height - (top - bottom)) / 2) * (onTop ? 1 : -1);
  return { size: [rounded(width, 0), rounded(height, 0)], by: [rounded(dx, 0), rounded(dy, 0)] };
}

/**
 * Stretch the corners of a shape into another box.
 * @param {Corner[]} corners
 * @param {[number, number, number, number]} into
 * @returns {Corner[]}
 */
export function stretched(corners, [left, bottom, right, top]) {
  const [l, b, r, t] = bounds(corners);
  return corners.map(([x, y, bulge]) => [
    left + ((x - l) / (r - l)) * (right - left),
    bottom + ((y - b) / (t - b)) * (top - bottom),
    bulge,
  ]);
}

/**
 * From a shape's own coordinates to the panel's: both hold the same corners, in whatever order.
 * @param {Spot[]} points as the file lists them
 * @param {Corner[]} corners as they lie on the panel
 * @returns {Spot}
 */
export function shiftOf(points, corners) {
  if (!points.length) return [0, 0];
  const least = (/** @type {number[]} */ values) => Math.min(...values);
  return [
    least(corners.map(([x]) => x)) - least(points.map(([x]) => x)),
    least(corners.map(([, y]) => y)) - least(points.map(([, y]) => y)),
  ];
}

/**
 * @param {Corner[]} corners
 * @param {Spot} at
 * @returns {number}
 */
export function nearestCorner(corners, [x, y]) {
  let best = 0;
  corners.forEach(([cx, cy], i) => {
    if (Math.hypot(cx - x, cy - y) < Math.hypot(corners[best][0] - x, corners[best][1] - y)) best = i;
  });
  return best;
}

/**
 * The straight piece of an outline that comes nearest to a place.
 * @param {Corner[]} corners
 * @param {Spot} at
 * @returns {{gap: number, piece: number}} how far it is, and after which corner it follows
 */
export function nearestPiece(corners, [px, py]) {
  let best = { gap: Infinity, piece: -1 };
  corners.forEach(([x, y], piece) => {
    const [ex, ey] = corners[(piece + 1) % corners.length];
    const share = Math.min(1, Math.max(0, ((px - x) * (ex - x) + (py - y) * (ey - y)) / ((ex - x) ** 2 + (ey - y) ** 2 || 1)));
    const gap = Math.hypot(px - x - share * (ex - x), py - y - share * (ey - y));
    if (gap < best.gap) best = { gap, piece };
  });
  return best;
}

/**
 * Write corners as the d of an SVG path, y down.
 * @param {Corner[]} corners
 */
export function pathOf(corners) {
  const [x0, y0] = corners[0];
  const steps = [`M${x0} ${-y0}`];
  corners.forEach(([x, y, bulge], i) => {
    const [ex, ey] = corners[(i + 1) % corners.length];
    if (!bulge) return steps.push(`L${ex} ${-ey}`);
    const chord = Math.hypot(ex - x, ey - y);
    const radius = (chord * (1 + bulge * bulge)) / (4 * Math.abs(bulge));
    return steps.push(`A${radius} ${radius} 0 ${Math.abs(bulge) > 1 ? 1 : 0} ${bulge < 0 ? 1 : 0} ${ex} ${-ey}`);
  });
  return `${steps.join("")}Z`;
}

/**
 * Where lengths of the panel come to on the screen.
 * @typedef {{x: number, y: number, scale: number}} Port upper left corner in mm (y down), px per mm
 */

/**
 * Turn the wheel about a place of the screen.
 * @param {Port} port
 * @param {Spot} at px from the upper left corner
 * @param {number} factor
 * @returns {Port}
 */
export function zoomed(port, [px, py], factor) {
  const scale = Math.min(Math.max(port.scale * factor, 0.2), 400);
  return { x: port.x + px / port.scale - px / scale, y: port.y + py / port.scale - py / scale, scale };
}

/**
 * Show a box whole.
 * @param {[number, number, number, number]} box left, bottom, right, top
 * @param {Spot} room px
 * @param {number} [margin] px
 * @returns {Port}
 */
export function fitted([left, bottom, right, top], [width, height], margin = 28) {
  const scale = Math.max(
    0.2,
    Math.min((width - 2 * margin) / Math.max(right - left, 1), (height - 2 * margin) / Math.max(top - bottom, 1)),
  );
  return { x: (left + right) / 2 - width / 2 / scale, y: -(bottom + top) / 2 - height / 2 / scale, scale };
}

/**
 * Say a length in mm and in inches.
 * @param {number} mm
 */
export function both(mm) {
  return `${Number(mm.toFixed(3))} mm (${(mm / 25.4).toFixed(3)} in)`;
}
