// @ts-check
/** Sheets as a printer gets them: read and rendered by Poppler, which shares no code with their writer. */
import { execFileSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, readFileSync, readdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

/** Where pictures of all sheets are kept, to be looked at. */
export const album = fileURLToPath(new URL('../../target/paper/', import.meta.url));
mkdirSync(album, { recursive: true });

/** @typedef {{text: string, left: number, top: number, right: number, bottom: number}} Word in points from the upper left corner
 * @typedef {{width: number, height: number, words: Word[]}} Page in points */

/** @param {string} name @param {string[]} args */
const tool = (name, args) => {
  try {
    return execFileSync(name, args, { encoding: 'utf8', maxBuffer: 1 << 28, stdio: ['ignore', 'pipe', 'pipe'] });
  } catch (why) {
    if (/** @type {NodeJS.ErrnoException} */ (why).code === 'ENOENT') throw new Error(`${name} is missing: apt-get install poppler-utils`);
    throw why;
  }
};

/** What the file says of itself: `Title`, `Tagged`, `Pages`, `Page size`. @param {string} file @returns {Map<string, string>} */
export const info = (file) => new Map(tool('pdfinfo', [file]).split('\n').map((line) => {
  const at = line.indexOf(':');
  return [line.slice(0, at), line.slice(at + 1).trim()];
}));

/** @param {string} text */
const plain = (text) => text.replaceAll('&lt;', '<').replaceAll('&gt;', '>').replaceAll('&quot;', '"').replaceAll('&apos;', "'").replaceAll('&amp;', '&');

/** The words of every page with their boxes. @param {string} file @returns {Page[]} */
export function words(file) {
  const told = tool('pdftotext', ['-bbox', file, '-']);
  return told.split('<page ').slice(1).map((page) => {
    const size = /^width="([\d.]+)" height="([\d.]+)"/.exec(page);
    const found = [...page.matchAll(/<word xMin="([-\d.]+)" yMin="([-\d.]+)" xMax="([-\d.]+)" yMax="([-\d.]+)">(.*?)<\/word>/gs)];
    return {
      width: Number(size?.[1]), height: Number(size?.[2]),
      words: found.map(([, left, top, right, bottom, text]) => ({ text: plain(text ?? ''), left: Number(left), top: Number(top), right: Number(right), bottom: Number(bottom) })),
    };
  });
}

/** A page in shades of grey, 0 black to 255 white. */
export class Shades {
  /** @param {string} file a binary PGM (netpbm P5, 8 bit) @param {number} dpi */
  constructor(file, dpi) {
    const bytes = readFileSync(file);
    const head = /^P5\s+(\d+)\s+(\d+)\s+255\s/.exec(bytes.subarray(0, 64).toString('latin1'));
    if (!head) throw new Error(`${file} is no PGM`);
    this.width = Number(head[1]);
    this.height = Number(head[2]);
    this.grey = bytes.subarray(head[0].length);
    this.perPoint = dpi / 72;
  }

  /** The darkest and the lightest shade in a box, points. @param {{left: number, top: number, right: number, bottom: number}} box */
  within({ left, top, right, bottom }) {
    const pixel = (/** @type {number} */ points, /** @type {number} */ most) => Math.min(Math.max(Math.round(points * this.perPoint), 0), most);
    let [darkest, lightest] = [255, 0];
    for (let y = pixel(top, this.height); y < pixel(bottom, this.height); y++) {
      for (let x = pixel(left, this.width); x < pixel(right, this.width); x++) {
        const shade = this.grey[y * this.width + x] ?? 255;
        darkest = Math.min(darkest, shade);
        lightest = Math.max(lightest, shade);
      }
    }
    return { darkest, lightest };
  }
}

/** Every page in shades of grey; beside it a picture to look at stays in the album.
 * @param {string} file @param {string} name @returns {Shades[]} */
export function rendered(file, name) {
  const dpi = 110;
  tool('pdftoppm', ['-r', String(dpi), '-gray', '-png', file, `${album}${name}`]);
  const folder = mkdtempSync(join(tmpdir(), 'axlestand-shades-'));
  try {
    tool('pdftoppm', ['-r', String(dpi), '-gray', file, join(folder, 'page')]);
    return readdirSync(folder).sort().map((page) => new Shades(join(folder, page), dpi));
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}
