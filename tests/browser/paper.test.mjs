// @ts-check
/** Every sheet of the half-done demo, as a printer and a browser show it: on its page, nothing on another,
 * dark enough for a copier. The pictures stay in target/paper. */
import assert from 'node:assert/strict';
import { execFileSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { after, before, test } from 'node:test';
import { binary, serve } from './app_server.mjs';
import { device } from './browser.mjs';
import { album, info, rendered, words } from './paper.mjs';

/** @typedef {import('./paper.mjs').Word} Word */

/** Points to a millimetre. */
const MM = 72 / 25.4;
/** What home printers cannot reach at the sides is at most 6.4 mm (a quarter inch; from memory). The sheets
 * keep twice that, and less at the foot, where only the page number stands. */
const FREE = { left: 13 * MM, top: 12 * MM, right: 13 * MM, bottom: 6 * MM };
/** Half-way between black and white: a copier makes of a shade what it likes, what is lighter may vanish. */
const COPIED = 128;

/** @type {import('./app_server.mjs').Server} */
let server;
/** @type {string} */
let folder;
before(async () => {
  server = await serve();
  folder = mkdtempSync(join(tmpdir(), 'axlestand-paper-'));
});
after(async () => {
  await server.stop();
  rmSync(folder, { recursive: true, force: true });
});

/** Makes a sheet and gives its file. @param {string} name @param {string[]} wanted */
function sheet(name, wanted) {
  const file = join(folder, name);
  execFileSync(binary(), ['--garage', server.garage, 'sheet', ...wanted, '--replace', '-o', file]);
  return file;
}

/** Where the ink of a word is, without the room above and below its letters. @param {Word} word */
const ink = (word) => {
  const high = word.bottom - word.top;
  return { ...word, top: word.top + 0.3 * high, bottom: word.bottom - 0.3 * high };
};

/** @param {Word[]} all @param {number} [touch] */
function overlapping(all, touch = 0.5) {
  const boxes = all.map(ink);
  const found = [];
  for (const [at, a] of boxes.entries()) {
    for (const b of boxes.slice(at + 1)) {
      if (Math.min(a.right, b.right) - Math.max(a.left, b.left) > touch && Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top) > touch) found.push(`'${a.text}' on '${b.text}'`);
    }
  }
  return found;
}

const FORECAST = ['--session', 'Sat 9-18', '--session', 'Sun 10-16', '--from', '2099-12-05 09:00', '--by', '2099-12-06 16:00'];
/** @type {[string, string[]][]} */
const KINDS = [['card', []], ['shopping', []], ['tools', []], ['job', []], ['open', []], ['deferred', []], ['labels', []], ['curves', []],
  ['readings', []], ['torque', ['--item', 'arm-front-bolt.left']], ['forecast', FORECAST], ['road', []], ['alignment', []], ['owner', []], ['notes', []], ['all', []]];

for (const [paper, width, height] of /** @type {const} */ ([['a4', 210, 297], ['letter', 215.9, 279.4]])) {
  test(`every sheet is whole on ${paper}`, () => {
    for (const [kind, more] of KINDS) {
      const file = sheet(`${kind}.pdf`, [kind, ...more, '--paper', paper]);
      const told = info(file);
      assert.equal(told.get('Tagged'), 'yes', kind);
      assert.match(told.get('Title') ?? '', / · /, kind);
      assert.ok(statSync(file).size < 2e6, `${kind}: ${statSync(file).size} bytes`);
      const pages = words(file);
      const shades = rendered(file, `${paper}-${kind}`);
      assert.equal(pages.length, shades.length, kind);
      for (const [at, page] of pages.entries()) {
        const what = `${paper} ${kind}, page ${at + 1}`;
        const shade = shades[at];
        assert.ok(shade);
        assert.ok(Math.abs(page.width - width * MM) < 1 && Math.abs(page.height - height * MM) < 1, `${what}: ${page.width} x ${page.height}`);
        for (const [edge, box] of Object.entries({
          left: { left: 0, top: 0, right: FREE.left, bottom: page.height },
          upper: { left: 0, top: 0, right: page.width, bottom: FREE.top },
          right: { left: page.width - FREE.right, top: 0, right: page.width, bottom: page.height },
          lower: { left: 0, top: page.height - FREE.bottom, right: page.width, bottom: page.height },
        })) assert.ok(shade.within(box).darkest > 250, `${what}: ink in the ${edge} edge`);
        assert.ok(page.words.length > 12, `${what}: nothing but its foot`);
        assert.deepEqual(overlapping(page.words), [], what);
        for (const word of page.words) {
          assert.doesNotMatch(word.text, /[a-z]…$/i, `${what}: cut`);
          if (!/[\p{L}\p{N}]/u.test(word.text)) continue;
          const { darkest, lightest } = shade.within(word);
          assert.ok(lightest - darkest > 255 - COPIED, `${what}: '${word.text}' is too pale`);
        }
      }
    }
  });
}

test('every picture is whole, and each of its items has a name to be read aloud', async () => {
  const browser = await device({ viewport: { width: 1000, height: 1000 } });
  const page = await browser.newPage();
  /** @type {string[][]} */
  const wanted = [['plan']];
  for (const side of ['left', 'right']) {
    for (const view of ['oblique', 'front', 'side', 'above']) {
      for (const room of [[], ['--narrow']]) wanted.push(['corner', '--side', side, '--view', view, ...room]);
    }
    wanted.push(['corner', '--side', side, '--dark'], ['corner', '--side', side, '--axle', 'rear']);
  }
  try {
    for (const arguments_ of wanted) {
      const what = arguments_.join(' ').replaceAll('--', '');
      const svg = readFileSync(sheet('picture.svg', arguments_), 'utf8');
      await page.setContent(`<body style="margin:0">${svg}</body>`);
      const { texts, size, nameless, twice } = await page.evaluate(() => {
        const picture = /** @type {SVGSVGElement} */ (document.querySelector('svg'));
        const box = (/** @type {Element} */ one) => { const { left, top, right, bottom } = one.getBoundingClientRect(); return { left, top, right, bottom }; };
        const ids = [...picture.querySelectorAll('[id]')];
        return {
          texts: [...picture.querySelectorAll('text')].map((one) => ({ text: one.textContent ?? '', ...box(one) })),
          size: box(picture),
          nameless: ids.filter((one) => one.tagName === 'g' && !one.querySelector(':scope > title')?.textContent).map((one) => one.id),
          twice: ids.map((one) => one.id).filter((id, at, all) => all.indexOf(id) !== at),
        };
      });
      assert.ok(texts.length > 2, what);
      assert.deepEqual(nameless, [], what);
      assert.deepEqual(twice, [], what);
      assert.deepEqual(overlapping(texts, 1), [], what);
      for (const one of texts) {
        assert.ok(one.left >= size.left - 0.5 && one.right <= size.right + 0.5 && one.top >= size.top - 1 && one.bottom <= size.bottom + 1, `${what}: '${one.text}' leaves the picture`);
      }
      await page.locator('svg').screenshot({ path: `${album}${what.replaceAll(' ', '-')}.png` });
    }
  } finally {
    await browser.end();
  }
});
