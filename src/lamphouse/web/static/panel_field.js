// Fields of luminance as the eye sees them: read from the server's message, painted in the room's light.

/**
 * @typedef {object} OpeningField
 * @property {string} name
 * @property {number} rows
 * @property {number} columns
 * @property {number} left_mm
 * @property {number} bottom_mm
 * @property {number} pixel_mm
 * @property {number} mean_cd_m2
 * @property {number} bar_cd_m2
 * @property {number} evenness
 * @property {number} hot_spot
 * @property {Float32Array} values cd/m2, the lowest row first; below 0 outside the opening
 * @property {number} brightest cd/m2
 */
/** @typedef {{seq: number, openings: OpeningField[], unknown: {box: string, why: string}[]}} Fields */

/** White of a picture in which nothing shines, cd/m2. */
export const DIMMEST = 1e-6;
const STEPS = 4096;

/**
 * Read a message.
 * @param {ArrayBuffer} buffer
 * @returns {Fields}
 */
export function decode(buffer) {
  const length = new DataView(buffer).getUint32(0, true);
  const header = JSON.parse(new TextDecoder().decode(new Uint8Array(buffer, 4, length)));
  let at = 4 + length;
  for (const one of header.openings) {
    const count = one.rows * one.columns;
    one.values = new Float32Array(buffer, at, count);
    at += 4 * count;
    one.brightest = brightestOf(one.values);
  }
  return header;
}

/** @param {Float32Array} values */
export function brightestOf(values) {
  let most = 0;
  for (let i = 0; i < values.length; i += 1) if (values[i] > most) most = values[i];
  return most;
}

/**
 * What an eye before the panel takes for white: white paper in the room's light, or the brightest
 * place of an opening where that is brighter.
 * @param {number} lux
 * @param {number} brightest cd/m2, the room's light on it included
 */
export function whiteOf(lux, brightest) {
  return Math.max(lux / Math.PI, brightest, DIMMEST);
}

/**
 * Turn a ratio to white into eight bits by the curve of sRGB.
 * @param {number} ratio
 */
export function encoded(ratio) {
  const linear = Math.min(Math.max(ratio, 0), 1);
  const curved = linear <= 0.0031308 ? 12.92 * linear : 1.055 * linear ** (1 / 2.4) - 0.055;
  return Math.round(255 * curved);
}

const CURVE = new Uint8ClampedArray(STEPS + 1);
for (let i = 0; i <= STEPS; i += 1) CURVE[i] = encoded((i / STEPS) ** 2);

/**
 * Paint an opening, the upper row first.
 * @param {OpeningField} field
 * @param {{white: number, thrown: number[], rgb: number[]}} seen white, cd/m2; what is thrown back of
 *   the room's light, cd/m2 of each colour of the screen; rgb of its own light at a luminance of 1
 * @param {Uint8ClampedArray} into four bytes for each place
 */
export function paint(field, { white, thrown, rgb }, into) {
  const { rows, columns, values } = field;
  const [red, green, blue] = rgb.map((part) => part / white);
  const [addedRed, addedGreen, addedBlue] = thrown.map((part) => part / white);
  for (let row = 0; row < rows; row += 1) {
    let at = 4 * columns * (rows - 1 - row);
    for (let i = row * columns; i < (row + 1) * columns; i += 1, at += 4) {
      const light = values[i];
      if (light < 0) {
        into[at + 3] = 0;
        continue;
      }
      into[at] = CURVE[index(light * red + addedRed)];
      into[at + 1] = CURVE[index(light * green + addedGreen)];
      into[at + 2] = CURVE[index(light * blue + addedBlue)];
      into[at + 3] = 255;
    }
  }
}

/** @param {number} ratio */
function index(ratio) {
  return ratio >= 1 ? STEPS : (Math.sqrt(ratio) * STEPS + 0.5) | 0;
}

/**
 * Share of an opening's light that is the room's: what is washed out.
 * @param {number} mean cd/m2 of its own
 * @param {number} room cd/m2 that the room adds
 */
export function washedOut(mean, room) {
  return mean + room > 0 ? room / (mean + room) : 0;
}

/**
 * Colours between those for the dark and those for the room's own light.
 * @param {{dark_rgb: number[], room_rgb: number[]}} glow
 * @param {number} lux
 */
export function rgbAt(glow, lux) {
  return lux > 0 ? glow.room_rgb : glow.dark_rgb;
}
