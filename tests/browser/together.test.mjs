// @ts-check
/** Two phones on one job, one of them without the server for a while; and entries that are taken back on the
 * phone before it knows them sent. */
import assert from 'node:assert/strict';
import { after, afterEach, beforeEach, test } from 'node:test';
import { Server, loseAnswer } from './offline_server.mjs';
import { Phones, queue, sentAll, skip, told } from './phones.mjs';

/** @typedef {import('playwright-core').Page} Page */

/** @type {Server} */
let server;
const phones = new Phones();
const phone = () => phones.keeping(server);

beforeEach(async () => { if (!skip) server = await Server.ofSmallJob(); });
afterEach(async () => {
  await phones.close();
  await server?.end();
});
after(() => phones.end());

/** @typedef {{id: string, text: string, withdrawn: boolean}} Line */
/** @returns {Line[]} */
const log = () => server.run('log');
/** @param {string} text */
const lines = (text) => log().filter((line) => line.text === text);

/** @param {Page} page */
const step = (page) => page.locator('article.step').getAttribute('data-action');

/** @param {Page} page @param {string} was */
const goesOn = (page, was) => page.waitForFunction((old) => document.querySelector('article.step')?.getAttribute('data-action') !== old, was);

/** @param {Page} page @param {string} value */
async function read(page, value) {
  await page.locator('article.step form[data-entry=read] input[name=value]').fill(value);
  await page.locator('.at-hand button').click();
}

test('two phones tick one row, one of them without the server: it is in the ledger once', { skip, timeout: 120_000 }, async () => {
  server.run('read', 'height', '361 ± 1 mm');
  const [one, other] = [await phone(), await phone()];
  const row = String(await step(one));
  assert.equal(await step(other), row);
  await other.context().setOffline(true);
  await other.locator('button.done').click();
  await goesOn(other, row);
  assert.equal((await queue(other)).length, 1);
  await one.locator('button.done').click();
  await goesOn(one, row);
  assert.equal(lines(`done ${row}`).length, 1);
  await other.context().setOffline(false);
  await sentAll(other);
  assert.equal(lines(`done ${row}`).length, 1);
  await other.goto(`${server.lan}/job/wagtail/look`);
  assert.equal(await other.textContent('h1'), 'Needs a look: 0');
});

test('two phones read one place differently: both readings are kept, and a person is told', { skip, timeout: 120_000 }, async () => {
  const [one, other] = [await phone(), await phone()];
  for (const page of [one, other]) await page.goto(`${server.lan}/job/wagtail/now?step=read:height`);
  await other.context().setOffline(true);
  await read(other, '371 ± 1 mm');
  await told(other, /1 not sent yet/);
  await read(one, '361 ± 1 mm');
  await one.waitForFunction(() => /^Recorded/.test(document.querySelector('.told')?.textContent ?? ''));
  await other.context().setOffline(false);
  await sentAll(other);
  const readings = log().filter((line) => line.text.startsWith('read height'));
  assert.deepEqual(readings.map((line) => line.text.replace(/.*: /, '')), ['361 ± 1 mm', '371 ± 1 mm']);
  await one.goto(`${server.lan}/job/wagtail/look`);
  assert.match(await one.textContent('.waiting') ?? '', /361 ± 1 mm before.*371 ± 1 mm now.*Both are kept/);
  assert.match(await one.textContent('.banner') ?? '', /1 .*look/);
});

test('taken back before it was sent, nothing of it stands; undone, it is recorded once', { skip, timeout: 120_000 }, async () => {
  server.run('read', 'height', '361 ± 1 mm');
  const page = await phone();
  const row = String(await step(page));
  await server.stop();
  await page.locator('button.done').click();
  await goesOn(page, row);
  await page.click(`.stages a[href$="/strip"]`);
  await page.click(`a.row[data-action="${row}"]`);
  await page.locator('.unsent-here button').click();
  await page.waitForFunction(() => !document.querySelector('.unsent-here'));
  assert.ok(await page.isVisible('button.done'));
  await told(page, /Taken back before it was sent/);
  assert.deepEqual((await queue(page)).map((entry) => entry.takenBack), [true]);
  await server.start();
  await sentAll(page);
  assert.equal(lines(`done ${row}`).length, 0);
  // Undone after the server knows: it is made again, as a new entry.
  await page.locator('#told button', { hasText: 'Undo' }).click();
  await sentAll(page);
  for (let tries = 0; tries < 50 && !lines(`done ${row}`).length; tries++) await page.waitForTimeout(100);
  assert.deepEqual(lines(`done ${row}`).map((line) => line.withdrawn), [false]);
});

test('taken back while the answer was lost: what arrived is taken back in the ledger', { skip, timeout: 120_000 }, async () => {
  server.run('read', 'height', '361 ± 1 mm');
  const page = await phone();
  const row = String(await step(page));
  await page.context().route('**/deliver', (route) => loseAnswer(route, server));
  await page.locator('button.done').click();
  await told(page, /1 not sent yet/);
  // It is shown as not sent before it is on its way.
  for (let tries = 0; tries < 100 && !lines(`done ${row}`).length; tries++) await page.waitForTimeout(100);
  assert.equal(lines(`done ${row}`).length, 1);
  await page.goto(`${server.lan}/handover`);
  await page.locator('[data-take-back]').click();
  await page.waitForSelector('[data-make-again]');
  await page.context().unroute('**/deliver');
  await sentAll(page);
  assert.deepEqual(lines(`done ${row}`).map((line) => line.withdrawn), [true]);
});
