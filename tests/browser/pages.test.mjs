// @ts-check
/** Every page, at phone and desk width, in light and dark: usable by everybody (WCAG 2.2 AA as far as
 * axe-core sees it), and never wider than the screen, also at 320 px (WCAG 1.4.10) and with text twice
 * as big (1.4.4). */
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import axe from 'axe-core';
import { serve } from './app_server.mjs';
import { DESK, device, NARROW, PHONE, troubles } from './browser.mjs';
import { pages } from './site.mjs';

/** @type {import('./app_server.mjs').Server} */
let server;
/** @type {Map<string, string>} */
let all;
before(async () => { server = await serve(); all = await pages(server.address); });
after(() => server?.stop());

/** What of the page reaches beyond the right edge, or is cut off at it. Runs in the page. */
function tooWide() {
  const edge = document.documentElement.clientWidth;
  const wide = [...document.body.querySelectorAll('*')].filter((one) => {
    if (one.closest('.scroll, .aside, .skip, svg')) return false;
    return one.getBoundingClientRect().right > edge + 1;
  });
  const scrolls = document.documentElement.scrollWidth > edge;
  return scrolls || wide.length ? wide.slice(0, 4).map((one) => `${one.tagName}.${one.className}: ${one.textContent?.trim().slice(0, 40)}`).concat(scrolls ? ['the page scrolls sideways'] : []) : [];
}

/** Runs axe-core in the page, with what sticks to the screen's edge at its place in the page: what it covers
 * is reached by scrolling, and which target it covers by half is chance. */
async function violations() {
  for (const one of /** @type {NodeListOf<HTMLElement>} */ (document.querySelectorAll('header, #told, .at-hand, .bar'))) {
    if (getComputedStyle(one).position === 'sticky' || getComputedStyle(one).position === 'fixed') one.style.position = 'static';
  }
  const { axe } = /** @type {any} */ (globalThis);
  const tags = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'];
  const { violations } = await axe.run(document, { runOnly: tags, resultTypes: ['violations'] });
  const bad = violations.filter((/** @type {any} */ one) => one.impact === 'serious' || one.impact === 'critical');
  return bad.map((/** @type {any} */ one) => `${one.id}: ${one.nodes.slice(0, 3).map((/** @type {any} */ node) => `${node.html.slice(0, 120)} (${node.failureSummary?.split('\n')[1]?.trim()})`).join(' | ')}`);
}

for (const [width, viewport] of /** @type {const} */ ([['phone', PHONE], ['desk', DESK]])) {
  for (const colorScheme of /** @type {const} */ (['light', 'dark'])) {
    test(`axe-core finds nothing serious: ${width}, ${colorScheme}`, async () => {
      const browser = await device({ viewport, colorScheme });
      const page = await browser.newPage();
      const wrong = troubles(page);
      const found = [];
      for (const [kind, path] of all) {
        await page.goto(server.address + path);
        await page.evaluate(axe.source);
        for (const one of await page.evaluate(violations)) found.push(`${kind}: ${one}`);
        for (const one of await page.evaluate(tooWide)) found.push(`${kind}: ${one}`);
      }
      await browser.end();
      assert.deepEqual(found, []);
      assert.deepEqual(wrong, []);
    });
  }
}

for (const [name, as] of /** @type {const} */ ([
  ['at 320 px', { viewport: NARROW }],
  ['on the side', { viewport: { width: 844, height: 390 } }],
  ['with text at 200 %', { viewport: PHONE, text: 32 }],
  ['with text at 200 % on a desk', { viewport: DESK, text: 32 }],
])) {
  test(`no page is wider than the screen ${name}`, async () => {
    const browser = await device(as);
    const page = await browser.newPage();
    const found = [];
    for (const [kind, path] of all) {
      await page.goto(server.address + path);
      if ('text' in as) assert.equal(await page.evaluate(() => getComputedStyle(document.documentElement).fontSize), '36px');
      for (const one of await page.evaluate(tooWide)) found.push(`${kind}: ${one}`);
      // Head and bar stay in view, and leave at least half of it to the work.
      const taken = await page.evaluate(() => [...document.querySelectorAll('header, .bar')].filter((one) => ['sticky', 'fixed'].includes(getComputedStyle(one).position))
        .reduce((sum, one) => sum + one.getBoundingClientRect().height, 0) / innerHeight);
      if (taken > 0.5) found.push(`${kind}: head and bar take ${Math.round(taken * 100)} % of the height`);
    }
    await browser.end();
    assert.deepEqual(found, []);
  });
}

test('what is tapped is big enough for a glove', async () => {
  const browser = await device();
  const page = await browser.newPage();
  const small = [];
  for (const [kind, path] of all) {
    await page.goto(server.address + path);
    // 44 px is WCAG 2.5.5 (AAA); the main buttons have 56.
    small.push(...await page.evaluate((kind) => [...document.querySelectorAll('button, .button, .bar a, .stages a, summary, .do-first, input:not([type=hidden], [type=checkbox], [type=radio])')]
      .filter((one) => one.getClientRects().length && one.getBoundingClientRect().height < 43.5)
      .map((one) => `${kind}: ${one.textContent?.trim()} is ${one.getBoundingClientRect().height} px high`), kind));
  }
  await browser.end();
  assert.deepEqual(small, []);
});

test('the step in hand is on the first screen: caution, what, side, torque, Done', async () => {
  const browser = await device();
  const page = await browser.newPage();
  const waits = '/job/wagtail/now?step=final:arm-front-bolt.left';
  for (const [kind, path] of [...['now final', 'now fit', 'now lock', 'now again'].map((kind) => [kind, all.get(kind)]), ['with reasons why not yet', waits]]) {
    await page.goto(server.address + path);
    const seen = await page.evaluate(() => {
      const bar = /** @type {Element} */ (document.querySelector('.bar')).getBoundingClientRect().top;
      const bottom = (/** @type {string} */ which) => document.querySelector(which)?.getBoundingClientRect().bottom ?? 0;
      const digits = document.querySelector('.digits');
      return {
        bar, head: bottom('header') / innerHeight,
        needed: Math.max(bottom('.step > .caution'), bottom('.step h1'), bottom('.side'), bottom('.figure .big')),
        button: (document.querySelector('.at-hand button.big') ?? document.body).getBoundingClientRect().bottom,
        above: (document.querySelector('.at-hand') ?? document.body).getBoundingClientRect().top,
        digits: digits ? parseFloat(getComputedStyle(digits).fontSize) * 0.729 : null,
      };
    });
    assert.ok(seen.head <= 0.2, `${kind}: the head takes ${Math.round(seen.head * 100)} % of the height`);
    assert.ok(seen.needed <= Math.min(seen.bar, seen.above || seen.bar), `${kind}: what to do ends at ${seen.needed} px, the bar begins at ${seen.bar}, the button at ${seen.above}`);
    assert.ok(seen.button <= seen.bar + 1, `${kind}: the button ends at ${seen.button} px, the bar begins at ${seen.bar}`);
    // DejaVu Sans Bold's digits are 0.729 of the size high; 12 mm at 160 px an inch are 76 px.
    if (kind === 'now final') assert.ok((seen.digits ?? 0) >= 76, `the torque's digits are ${seen.digits} px high`);
  }
  await browser.end();
});
