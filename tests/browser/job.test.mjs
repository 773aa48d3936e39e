// @ts-check
/** The demo's job from where it stands to the road, as its mechanic does it with the app: on a phone a
 * step at a time, on a desk whole stages at once; live on a second device; by keys alone; without script. */
import assert from 'node:assert/strict';
import { execFileSync, spawnSync } from 'node:child_process';
import { test } from 'node:test';
import { binary, serve } from './app_server.mjs';
import { DESK, device, PHONE, troubles } from './browser.mjs';

/** @typedef {import('./browser.mjs').Page} Page */

/** What tape, string and gauge show in the invented garage, by the reading's name. */
const READINGS = /** @type {const} */ ([
  ['height-front', '366 ± 1.5 mm'], ['height-rear', '369 ± 1.5 mm'], ['toe-front', '0.12 ± 0.06 °'],
  ['camber-front', '-0.6 ± 0.2 °'], ['tie-rod-threads', '21.4 ± 0.3 mm'], ['tie-rod-length', '53.0 ± 0.5 mm'],
]);

/** @param {string} name */
function value(name) {
  const found = READINGS.find(([reading]) => name.startsWith(reading));
  if (!found) throw new Error(`the test has no value for ${name}`);
  return found[1];
}

/** What the command line says of the same garage. @param {import('./app_server.mjs').Server} server @param {string[]} words */
const tell = (server, ...words) => JSON.parse(execFileSync(binary(), [...words, '--json', '--garage', server.garage], { encoding: 'utf8' }));

/** Whether the road check is clear; the command ends with 1 where not. @param {import('./app_server.mjs').Server} server */
const roadIsClear = (server) => spawnSync(binary(), ['check', 'road', '--garage', server.garage]).status === 0;

/** Does rows by the command line until one begins with `until`. @param {import('./app_server.mjs').Server} server @param {string} until */
function advance(server, until) {
  for (;;) {
    /** @type {{number: number, action: string}[]} */
    const rows = tell(server, 'next', '-n', '40').rows;
    const stop = rows.findIndex(({ action }) => action.startsWith(until));
    const batch = rows.slice(0, stop < 0 ? rows.length : stop).map(({ number }) => String(number));
    if (!batch.length) return;
    const done = (/** @type {string[]} */ numbers) => spawnSync(binary(), ['done', ...numbers, '--garage', server.garage]).status === 0;
    assert.ok(done(batch) || done(batch.slice(0, 1)), `${rows[0]?.action} is refused`);
  }
}

/** @param {Page} page */
const heading = async (page) => (await page.locator('main h1').first().innerText()).replaceAll(/\s+/g, ' ');

/** The action of the step on the page. @param {Page} page */
const step = async (page) => (await page.locator('article.step').count()) ? await page.locator('article.step').getAttribute('data-action') : null;

/** Does the step on the page; true where it went on. @param {Page} page */
async function doStep(page) {
  const before = await step(page);
  const reading = page.locator('article.step form[data-entry=read]');
  if (await reading.count()) {
    const name = String(await reading.locator('input[name=reading]').inputValue());
    await reading.locator('input[name=value]').fill(value(name));
    await page.locator('.at-hand button').click();
  } else {
    await page.locator('article.step button.done').click();
  }
  await page.waitForFunction((was) => document.querySelector('article.step')?.getAttribute('data-action') !== was || document.querySelector('.not-yet.fresh'), before);
  const refused = page.locator('.not-yet.fresh');
  assert.equal(await refused.count(), 0, `${before}: ${(await refused.allInnerTexts()).join()}`);
}

/** Tries a step that cannot be done now: it is refused, and leads to what comes first.
 * @param {Page} page @param {string} base @param {string} action @param {RegExp} because */
async function isRefused(page, base, action, because) {
  await page.goto(`${base}now?step=${action}`);
  assert.match(String(await page.locator('.not-yet').first().textContent()), because);
  await page.locator('button.done').click();
  const said = page.locator('.not-yet.fresh');
  await said.waitFor();
  assert.match(await said.innerText(), /^Not recorded/);
  assert.match(String(await said.textContent()), because);
  await said.locator('a.do-first').first().click();
  await page.waitForFunction((was) => document.querySelector('article.step')?.getAttribute('data-action') !== was, action);
  assert.notEqual(await step(page), action);
}

test('a step at a time on a phone, from the half-done job to the road', async () => {
  const server = await serve();
  const browser = await device({ viewport: PHONE });
  const page = await browser.newPage();
  const wrong = troubles(page);
  try {
    await page.goto(server.address);
    const base = page.url().replace(/now$/, '');
    assert.match(await page.locator('.banner').innerText(), /on stands/);
    // Rubber is clamped only at ride height.
    await isRefused(page, base, 'final:arm-front-bolt.left', /due with the car at ride height, and the car is on stands/);
    let castle = false;
    let lowered = false;
    let steps = 0;
    await page.goto(`${base}now`);
    for (; steps < 400; steps += 1) {
      const action = await step(page);
      if (!action) break;
      if (action === 'fit:tie-rod-nut.left' && !castle) {
        castle = true;
        await isRefused(page, base, 'on:wheel.left', /castle nut/);
        await page.goto(`${base}now?step=${action}`);
      }
      if (action === 'do:lower') {
        assert.match(await page.locator('.banner').innerText(), /on stands/);
        lowered = true;
      }
      await doStep(page);
      if (action === 'do:lower') assert.doesNotMatch(await page.locator('.banner').innerText(), /on stands/);
    }
    assert.ok(castle && lowered, `castle nut ${castle}, lowered ${lowered}`);
    assert.ok(steps > 60, `only ${steps} steps`);
    assert.match(await heading(page), /Every row is done/);
    assert.equal(await page.locator('.bar b').innerText(), '0');
    assert.equal(tell(server, 'open').count, 0);
    assert.ok(roadIsClear(server));
    assert.deepEqual(wrong, []);
    console.log(`# ${steps} steps on a phone`);
  } finally {
    await browser.end();
    await server.stop();
  }
});

test('sent along by another tab or the worker, an entry still gets its answer at its form', async () => {
  const server = await serve();
  const browser = await device({ viewport: PHONE });
  const page = await browser.newPage();
  const wrong = troubles(page);
  try {
    await page.goto(server.address);
    const base = page.url().replace(/now$/, '');
    await page.goto(`${base}now?step=final:arm-front-bolt.left`);
    // Another sending is next in line, so that it takes what is pressed now along.
    await page.evaluate(async () => {
      const app = /** @type {HTMLScriptElement} */ (document.querySelector('script[src$="app.js"]'));
      const { flush } = await import(new URL('queue.js', app.src).href);
      await new Promise((held) => void navigator.locks.request('axlestand-flush', () => new Promise((free) => {
        addEventListener('test-frees', free, { once: true });
        held(undefined);
      })));
      void flush().then((/** @type {{answers: Map<string, unknown>}} */ { answers }) => { document.body.dataset.along = `${answers.size}`; });
    });
    await page.locator('button.done').click();
    await page.waitForFunction(async () => ((await navigator.locks.query()).pending ?? []).length > 1);
    await page.evaluate(() => dispatchEvent(new Event('test-frees')));
    const said = page.locator('.not-yet.fresh');
    await said.waitFor();
    assert.match(await said.innerText(), /^Not recorded/);
    assert.equal(await page.locator('body').getAttribute('data-along'), '1', 'the other sending took it along');
    assert.deepEqual(wrong, []);
  } finally {
    await browser.end();
    await server.stop();
  }
});

test('whole stages at once on a desk: several are recorded together or not at all', async () => {
  const server = await serve();
  const browser = await device({ viewport: DESK });
  const page = await browser.newPage();
  const wrong = troubles(page);
  try {
    await page.goto(server.address);
    const base = page.url().replace(/now$/, '');
    const before = tell(server, 'log').length;
    // The first pending row, and one that has to wait: neither is recorded.
    await page.goto(`${base}refit`);
    const ticks = page.locator('input[name=rows]');
    const all = await ticks.count();
    await ticks.first().check();
    await page.locator('input[name=rows][value="on:wheel.left"]').check();
    await page.locator('.at-hand button').click();
    await page.locator('.not-yet.fresh').waitFor();
    assert.equal(tell(server, 'log').length, before);
    await page.goto(`${base}refit`);
    for (let n = 0; n < 10; n += 1) await ticks.nth(n).check();
    await page.locator('.at-hand button').click();
    await page.waitForURL(/now\?told=/);
    await page.goto(`${base}refit`);
    assert.equal(await ticks.count(), all - 10);
    assert.ok(tell(server, 'log').length >= before + 10);
    assert.deepEqual(wrong, []);
  } finally {
    await browser.end();
    await server.stop();
  }
});

test('what one device records is on the other within a second', async () => {
  const server = await serve();
  const [one, other] = [await device(), await device({ viewport: DESK })];
  try {
    const [page, watching] = [await one.newPage(), await other.newPage()];
    await page.goto(server.address);
    await watching.goto(server.address);
    await watching.waitForTimeout(1000);
    const took = [];
    for (let round = 0; round < 5; round += 1) {
      const shown = Number(await watching.evaluate(() => document.body.dataset.position));
      await doStep(page);
      // From the moment at which the one device shows it as recorded.
      const from = Date.now();
      await watching.waitForFunction((was) => Number(document.body.dataset.position) > was, shown, { polling: 20 });
      took.push(Date.now() - from);
    }
    console.log(`# ms until the other device shows it: ${took.join(', ')}`);
    assert.ok(took.every((ms) => ms < 1000), took.join(', '));
    assert.equal(await heading(watching), await heading(page));
  } finally {
    await one.end();
    await other.end();
    await server.stop();
  }
});

test('by keys alone: onward, be refused, go to what comes first, read, take back, a fastener of the picture', async () => {
  const server = await serve();
  const browser = await device({ viewport: DESK });
  const page = await browser.newPage();
  const focused = () => page.evaluate(() => {
    const one = /** @type {HTMLElement} */ (document.activeElement);
    const style = getComputedStyle(one);
    return { what: one.matches('button, a, input, summary') ? (one.textContent || one.getAttribute('name') || '').trim() : one.id || one.tagName, visible: one.matches(':focus-visible') && style.outlineStyle !== 'none' && parseFloat(style.outlineWidth) >= 2, tag: one.tagName };
  });
  /** Tabs until the focus is there, and says what was passed. @param {(what: {what: string, tag: string}) => boolean} there */
  const tabTo = async (there) => {
    for (let n = 0; n < 120; n += 1) {
      await page.keyboard.press('Tab');
      const at = await focused();
      if (at.tag === 'BODY') continue;
      if (at.tag !== 'g') assert.ok(at.visible, `the focus on '${at.what}' cannot be seen`);
      if (there(at)) return;
    }
    assert.fail('it is not reached by Tab');
  };
  try {
    await page.goto(server.address);
    const base = page.url().replace(/now$/, '');
    await page.keyboard.press('Tab');
    assert.equal((await focused()).what, 'To the content');
    await page.keyboard.press('Enter');
    assert.equal((await focused()).what, 'main');
    for (let n = 0; n < 3; n += 1) {
      const was = await step(page);
      await tabTo((at) => at.tag === 'BUTTON' && at.what === 'Done');
      await page.keyboard.press('Enter');
      await page.waitForFunction((old) => document.querySelector('article.step')?.getAttribute('data-action') !== old, was);
      assert.equal((await focused()).what, 'main');
    }
    await tabTo((at) => at.what === 'Take it back');
    const told = await page.locator('.told').textContent();
    await page.keyboard.press('Enter');
    await page.waitForFunction((old) => document.querySelector('.told')?.textContent !== old, told);

    await page.goto(`${base}now?step=fit:wheel-nuts.left`);
    await tabTo((at) => at.tag === 'BUTTON' && at.what === 'Done');
    await page.keyboard.press('Enter');
    await page.locator('.not-yet.fresh').waitFor();
    await tabTo((at) => at.what === 'Do this first');
    await page.keyboard.press('Enter');
    await page.waitForFunction(() => document.querySelector('article.step')?.getAttribute('data-action') !== 'fit:wheel-nuts.left');

    await page.goto(`${base}corner`);
    await tabTo((at) => at.tag === 'g');
    await page.keyboard.press('Enter');
    await page.waitForURL(/\/item\//);
  } finally {
    await browser.end();
    await server.stop();
  }
});

test('without script: tick, be refused, go to what comes first, read, take back', async () => {
  const server = await serve();
  const browser = await device({ javaScriptEnabled: false });
  const page = await browser.newPage();
  try {
    await page.goto(server.address);
    const base = page.url().replace(/now$/, '');
    const was = await step(page);
    await page.locator('button.done').click();
    assert.match(page.url(), /now\?told=/);
    assert.match(await page.locator('.told').innerText(), /^Recorded/);
    assert.notEqual(await step(page), was);
    const after = tell(server, 'log').length;
    await page.getByRole('button', { name: 'Take it back' }).click();
    assert.equal(await step(page), was);
    assert.equal(tell(server, 'log').length, after + 1);

    await page.goto(`${base}now?step=final:arm-front-bolt.left`);
    await page.locator('button.done').click();
    assert.equal(await heading(page), 'Not recorded');
    const first = page.locator('a.do-first').first();
    await first.click();
    assert.notEqual(await step(page), 'final:arm-front-bolt.left');

    // The car comes down; then a reading that is none is asked for again, and one that is is recorded.
    advance(server, 'again:');
    const waits = tell(server, 'next', '-n', '1').rows[0].action;
    assert.match(waits, /^again:/);
    await page.goto(`${base}now?step=${waits}`);
    assert.doesNotMatch(await page.locator('.banner').innerText(), /on stands/);
    await page.locator('input[name=value]').fill('rather low');
    await page.locator('.at-hand button').click();
    assert.match(await heading(page), /^Not /);
    await page.goto(`${base}now?step=${waits}`);
    await page.locator('input[name=value]').fill(value(waits.split(':')[1]));
    await page.locator('.at-hand button').click();
    assert.match(await page.locator('.told').innerText(), /^Recorded/);
    assert.notEqual(await step(page), waits);
  } finally {
    await browser.end();
    await server.stop();
  }
});
