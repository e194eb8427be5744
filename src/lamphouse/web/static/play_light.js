// Light that plays: frames, layers added up, and what may not be flashed on a page.

/** @typedef {{rate: number, seconds: number, groups: string[], count: number, frames: string, light: number[], stretches: [string, number, number][], often: Record<string, number>, safe: boolean}} Playing */
/** @typedef {{rows: number, columns: number, per_mm: number, groups: string[], dots: [string, number, number, number, number, number, number][], white: number}} Head */
/** @typedef {{head: Head, steady: Uint16Array, layers: Uint16Array[], shown: Uint8Array}} Layers */

/**
 * A quarter of ten degrees of the field of view, in CSS pixels: WCAG 2.3.1's 341 by 256, a quarter.
 */
export const MOST_FLASHING_PX = (341 * 256) / 4;
/** Of white: a layer fainter than this does not count as flashing (WCAG's general flash). */
export const LEAST_SWING = 0.1;

/**
 * Part the answer that holds a panel in layers.
 * @param {ArrayBuffer} data
 * @returns {Layers}
 */
export function readLayers(data) {
  const size = new DataView(data).getUint32(0, true);
  const head = /** @type {Head} */ (JSON.parse(new TextDecoder().decode(new Uint8Array(data, 4, size))));
  const each = head.rows * head.columns * 3;
  let at = 4 + size;
  const next = () => {
    const layer = new Uint16Array(data, at, each);
    at += each * 2;
    return layer;
  };
  const steady = next();
  const layers = head.groups.map(next);
  return { head, steady, layers, shown: new Uint8Array(data, at, head.rows * head.columns) };
}

/**
 * Turn linear values of the screen, 0 to 65535, into eight bits by the curve of sRGB.
 * @returns {Uint8ClampedArray}
 */
export function curve() {
  const table = new Uint8ClampedArray(65536);
  for (let step = 0; step < 65536; step += 1) {
    const linear = step / 65535;
    const value = linear <= 0.0031308 ? 12.92 * linear : 1.055 * linear ** (1 / 2.4) - 0.055;
    table[step] = Math.round(255 * value);
  }
  return table;
}

/**
 * Add layers up, each by its light.
 * @param {Uint16Array} steady
 * @param {Uint16Array[]} layers
 * @param {number[]} light of each layer, 0 to 1
 * @param {Uint8ClampedArray} table from curve()
 * @param {Uint8Array} shown
 * @param {Uint8ClampedArray} pixels red, green, blue, how solid
 */
export function addUp(steady, layers, light, table, shown, pixels) {
  const lit = layers.map((layer, place) => /** @type {const} */ ([layer, light[place] ?? 0])).filter(([, share]) => share > 0);
  for (let pixel = 0; pixel < shown.length; pixel += 1) {
    for (let part = 0; part < 3; part += 1) {
      const at = 3 * pixel + part;
      let sum = steady[at] ?? 0;
      for (const [layer, share] of lit) sum += (layer[at] ?? 0) * share;
      pixels[4 * pixel + part] = table[Math.min(65535, Math.round(sum))] ?? 255;
    }
    pixels[4 * pixel + 3] = shown[pixel] ?? 255;
  }
}

/**
 * Give how large each group shows, in CSS pixels, as far as it is bright enough to count.
 * @param {Layers} layers
 * @param {number} pxPerMm of the page
 * @returns {Record<string, number>}
 */
export function flashingPx(layers, pxPerMm) {
  const { head } = layers;
  const each = (pxPerMm / head.per_mm) ** 2;
  /** @type {Record<string, number>} */
  const areas = {};
  head.groups.forEach((group, place) => {
    const layer = layers.layers[place] ?? new Uint16Array();
    let count = 0;
    for (let at = 0; at < layer.length; at += 3) {
      if (Math.max(layer[at] ?? 0, layer[at + 1] ?? 0, layer[at + 2] ?? 0) >= LEAST_SWING * 65535) count += 1;
    }
    areas[group] = (areas[group] ?? 0) + count * each;
  });
  for (const [group, , , across] of head.dots) {
    areas[group] = (areas[group] ?? 0) + (Math.PI / 4) * Math.max(across * pxPerMm, 2) ** 2;
  }
  return areas;
}

/**
 * Tell which groups are held at their mean light: those that flash too often, where together they
 * would flash on more of the page than the rule allows, and all of them where the model is unsafe.
 * @param {Record<string, number>} often groups that flash too often
 * @param {Record<string, number>} areas in CSS pixels
 * @param {boolean} safe whether the model keeps the rule
 * @returns {string[]}
 */
export function heldGroups(often, areas, safe) {
  const names = Object.keys(often);
  const area = names.reduce((sum, name) => sum + (areas[name] ?? 0), 0);
  return !safe || area >= MOST_FLASHING_PX ? names : [];
}

/**
 * Give the mean light of each group over all frames.
 * @param {Uint8Array} frames
 * @param {number} groups
 * @param {number[]} light
 * @returns {number[]}
 */
export function meanLight(frames, groups, light) {
  const sums = new Array(groups).fill(0);
  for (let at = 0; at < frames.length; at += 1) sums[at % groups] += light[frames[at] ?? 0] ?? 0;
  const count = Math.max(1, frames.length / Math.max(1, groups));
  return sums.map((sum) => sum / count);
}

/**
 * Unpack bytes written in base 64.
 * @param {string} text
 */
export function bytesOf(text) {
  return Uint8Array.from(atob(text), (sign) => sign.charCodeAt(0));
}
