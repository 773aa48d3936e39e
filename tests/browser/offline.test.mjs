// @ts-check
/** Poor signal, with the real binary and a real browser: what is entered on a phone reaches the ledger
 * once, in the order in which it was made, whatever happens in between. The phone comes over plain http
 * from an address of the network, so that nothing here leans on a secure context. */
import assert from 'node:assert/strict';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { after, afterEach, before, test } from 'node:test';
import { Server, loseAnswer } from './offline_server.mjs';
import { Phones, queue, sentAll, skip, told } from './phones.mjs';

/** @type {Server} */
let server;
const phones = new Phones();
const phone = () => phones.add();

before(async () => { if (!skip) server = await Server.ofDemo(); });
afterEach(async () => {
  await phones.close();
  if (server && !server.runs) await server.start();
});
after(async () => {
  await server?.end();
  phones.end();
});

/** @typedef {import('playwright-core').Page} Page */

/** Opens the job and waits until its pages are kept. @param {Page} page */
async function openKept(page) {
  await page.goto(`${server.lan}/`);
  assert.equal(await page.evaluate(() => isSecureContext), false);
  await page.waitForSelector('html[data-kept=yes]', { timeout: 60_000 });
}

/** @returns {{text: string, withdrawn: boolean}[]} */
const log = () => server.run('log');

/** Keeps a note through the form of the page, as a person does; resolves once the phone has it.
 * @param {Page} page @param {string} text */
const note = (page, text) => page.evaluate(async (text) => {
  const script = document.querySelector('script[type=module]')?.getAttribute('src') ?? '';
  const { recall } = await import(script.replace('app.js', 'store.js'));
  const before = (await recall('number')) ?? 0;
  const field = document.querySelector('form[data-entry=note] input[name=text]');
  if (!(field instanceof HTMLInputElement)) throw new Error(`no note on ${location.href}`);
  field.value = text;
  field.form?.requestSubmit();
  for (let tries = 0; tries < 500; tries++) {
    if (((await recall('number')) ?? 0) > before) return;
    await new Promise((ok) => setTimeout(ok, 10));
  }
  throw new Error('the note was not kept');
}, text);

/** Ticks a row, as the button of its page does. @param {Page} page @param {string} row */
const tick = (page, row) => page.evaluate(async (row) => {
  const script = document.querySelector('script[type=module]')?.getAttribute('src') ?? '';
  const { put } = await import(script.replace('app.js', 'queue.js'));
  await put('wagtail', [['do', 'done'], ['rows', row]]);
}, row);

test('ticked without the server: shown, kept over a new tab, delivered once in the order made', { skip }, async () => {
  const context = await phone();
  const page = context.pages()[0];
  assert.ok(page);
  await openKept(page);
  await server.stop();
  await page.waitForURL(/\/shell#\/job\//);
  const number = async () => Number(await page.textContent('.step h1 .number'));
  const first = await number();
  for (const gone of [1, 2, 3]) {
    await page.click('button.done');
    await page.waitForFunction((n) => document.querySelector('.step h1 .number')?.textContent !== `${n}`, first + gone - 1);
    await told(page, new RegExp(`^${gone} not sent yet: kept on this phone only`));
  }
  assert.deepEqual((await queue(page)).length, 3);
  const ticked = (await queue(page)).map(({ fields }) => fields.find(([name]) => name === 'rows')?.[1]);
  // Shown as not sent in the lists, in the step itself, and never offered again as what comes next.
  await page.click('.stages a[href$="/refit"]');
  await page.waitForFunction(() => document.querySelectorAll('a[data-unsent]').length === 3);
  await page.click(`a.row[data-action="${ticked[0]}"]`);
  await page.waitForSelector('.unsent-here');
  assert.equal(await page.isVisible('button.done'), false);
  const next = await page.getAttribute('.then a.row', 'data-action');
  assert.ok(next && !ticked.includes(next));
  // Put away and opened anew, without the server.
  const shell = page.url().replace(/#.*/, '');
  await page.close();
  const anew = await context.newPage();
  await anew.goto(shell);
  await anew.waitForSelector('.step');
  assert.equal(Number(await anew.textContent('.step h1 .number')), first + 3);
  await told(anew, /3 not sent yet/);
  await anew.click('.bar a[href$="/open"]');
  await anew.waitForSelector('ul.open');
  const earlier = log().length;
  await server.start();
  await sentAll(anew);
  assert.deepEqual(log().slice(earlier).map((line) => line.text), ticked.map((row) => `done ${row}`));
  await anew.waitForURL(/\/job\/[^/]+\/open$/);
});

test('what was made before is delivered after a day with the warning, a garbled entry holds up nothing', { skip }, async () => {
  const context = await phone();
  const page = context.pages()[0];
  assert.ok(page);
  await openKept(page);
  await server.stop();
  await note(page, 'kept on the second day');
  // Entries as a damaged or foreign program might leave them, before and behind a good one.
  await page.evaluate(async () => {
    const script = document.querySelector('script[type=module]')?.getAttribute('src') ?? '';
    const { within } = await import(script.replace('app.js', 'store.js'));
    await within(['queue', 'kept'], 'readwrite', async (/** @type {IDBTransaction} */ work) => {
      const queue = work.objectStore('queue');
      queue.put({ number: -3, id: 7, job: null });
      queue.put({ number: -2, id: 'ff'.repeat(16), job: 'no such job', made: Date.now() - 2 * 86_400_000, fields: [['do', 'note'], ['text', 'of another job']] });
      queue.put({ number: -1, id: 'ee'.repeat(16), job: 'wagtail', made: Date.now(), fields: [['do', 'fly']] });
      queue.put({ number: 0, id: 'dd'.repeat(16), job: 'wagtail', made: Date.now(), fields: [['do', 'note'], ['text', 'x'.repeat(600_000)]] });
      queue.put({ number: 100_000, id: 'cc'.repeat(16), job: 'wagtail', garage: '00'.repeat(16), made: Date.now(), fields: [['do', 'note'], ['text', 'of another garage']] });
      queue.put({ number: 100_001, id: 'bb'.repeat(16), job: 'wagtail', made: Date.now(), fields: [['do', 'done'], ['rows', 'loosen:wheel-nuts.left'], ['torque', 'soup']] });
      work.objectStore('kept').put(100_001, 'number');
    });
  });
  await note(page, 'behind all of it');
  await told(page, /Older than a day/);
  await server.start();
  for (let tries = 0; tries < 200 && (await queue(page)).length > 1; tries++) await page.waitForTimeout(100);
  // Only what belongs elsewhere still waits; what is too big to read stands aside, and both stay.
  assert.deepEqual((await queue(page)).map(({ id }) => id), ['cc'.repeat(16)]);
  // The banner is drawn after the queue is written.
  await told(page, /1 not sent yet.*cannot read 1 entry/);
  const texts = log().map((line) => line.text);
  for (const text of ['kept on the second day', 'behind all of it']) assert.equal(texts.filter((line) => line.includes(text)).length, 1, text);
  const look = await context.newPage();
  await look.goto(`${server.lan}/job/wagtail/look`);
  assert.equal(await look.textContent('h1'), 'Needs a look: 4');
  // The server is asked again and again, but what needs a look is never sent again.
  /** @type {string[]} */
  const posts = [];
  page.on('request', (request) => { if (request.url().endsWith('/deliver')) posts.push(request.url()); });
  await page.waitForTimeout(6_000);
  assert.deepEqual(posts, []);
  await look.screenshot({ path: join(tmpdir(), 'axlestand-look.png'), fullPage: true });
  for (let left = 4; left > 0; left--) {
    await look.click('.waiting button');
    await look.waitForFunction((n) => document.querySelector('h1')?.textContent === `Needs a look: ${n}`, left - 1);
  }
});

test('three hundred entries over cut-offs, kills, reloads, doubled sends, lost answers, two tabs, two devices', { skip, timeout: 180_000 }, async () => {
  await server.end();
  server = await Server.ofSmallJob();
  const [a, b] = [await phone(), await phone()];
  const [tab, other] = [a.pages()[0], b.pages()[0]];
  assert.ok(tab && other);
  await openKept(tab);
  await openKept(other);
  const second = await a.newPage();
  await second.goto(`${server.lan}/`);
  // Some answers are lost on the way: the server has recorded, the phone does not learn of it.
  let [lost, sends] = [0, 0];
  /** @type {string[]} */
  const bodies = [];
  for (const context of [a, b]) {
    await context.route('**/deliver', async (route) => {
      bodies.push(route.request().postData() ?? '');
      if (++sends % 4) return route.continue().catch(() => {});
      if (await loseAnswer(route, server) === 200) lost++;
    });
  }
  server.run('read', 'height', '361 ± 1 mm');
  const from = log().length;
  // Ticked on both devices, in this order: in the ledger once.
  const rows = ['loosen:wheel-nuts', 'do:raise', 'undo:wheel-nuts', 'off:wheel'];
  /** @type {Record<string, string[]>} */
  const made = { A: [], B: [] };
  let [cuts, kills, reloads] = [0, 0, 0];
  const enter = async (/** @type {string} */ device, /** @type {Page} */ page, /** @type {number} */ count, /** @type {string | undefined} */ row) => {
    if (row) await tick(page, row);
    for (let i = 0; i < count; i++) {
      const list = made[device] ?? [];
      const text = `${device} ${list.length + 1}`;
      await note(page, text);
      list.push(text);
    }
  };
  for (let round = 0; round < 20; round++) {
    // Every fourth time the server dies (-9) in the middle of taking in what waits.
    const kill = round % 4 === 3;
    cuts++;
    if (!kill) await Promise.all([a.setOffline(true), b.setOffline(true)]);
    else if (round > 3) await tab.waitForTimeout(40 * round);
    if (kill) { await server.stop('SIGKILL'); kills++; }
    const row = rows[round - 5];
    await Promise.all([enter('A', round % 2 ? second : tab, row ? 7 : 8, row), enter('B', other, row ? 6 : 7, row)]);
    if (kill) await server.start();
    await Promise.all([a.setOffline(false), b.setOffline(false)]);
    if (round % 5 === 4) {
      // Reloaded in the middle of sending.
      await Promise.all([tab.goto(`${server.lan}/job/wagtail/now`), other.goto(`${server.lan}/job/wagtail/now`)]);
      reloads++;
    }
  }
  for (const page of [tab, second, other]) await sentAll(page);
  // Everything that was ever sent, sent once more.
  const seen = new Set();
  const isNew = (/** @type {string} */ body) => {
    const before = seen.size;
    for (const { id } of JSON.parse(body).entries) seen.add(id);
    return seen.size > before;
  };
  const repeated = await tab.evaluate(async (bodies) => {
    let count = 0;
    for (const body of bodies) {
      const answer = await (await fetch('/deliver?again', { method: 'POST', headers: { 'content-type': 'application/json' }, body })).json();
      for (const one of answer.answers) { if (!one.recorded || !one.repeated) throw new Error(JSON.stringify(one) + body.slice(0, 3000)); count++; }
    }
    return count;
  }, bodies.filter(isNew));
  const lines = log().slice(from).map((line) => line.text);
  const of = (/** @type {string} */ device) => lines.flatMap((line) => new RegExp(`\\b${device} \\d+`).exec(line) ?? []);
  assert.deepEqual(of('A'), made.A);
  assert.deepEqual(of('B'), made.B);
  assert.deepEqual(lines.filter((line) => line.startsWith('done ')), rows.map((row) => `done ${row}`));
  assert.equal(made.A.length + made.B.length + 2 * rows.length, 300);
  assert.equal(lines.length, 300 - rows.length);
  assert.deepEqual([cuts, kills, reloads], [20, 5, 4]);
  assert.ok(lost > 0 && repeated >= 300, `${lost} answers lost, ${repeated} sent again`);
  console.log(`300 entries: ${sends} sends, ${lost} answers lost, ${repeated} entries sent again at the end`);
});

test('a device that was shut out keeps its queue and says so; let in again it delivers', { skip }, async () => {
  const context = await phone();
  const page = context.pages()[0];
  assert.ok(page);
  await openKept(page);
  await context.route('**/deliver', (route) => route.fulfill({ status: 401, body: '' }));
  await note(page, 'written while shut out');
  await told(page, /does not let this phone in/);
  assert.equal((await queue(page)).length, 1);
  await context.unroute('**/deliver');
  await sentAll(page);
  assert.equal(log().filter((line) => line.text.includes('written while shut out')).length, 1);
});

test('handed over as a file and sent as well, it is recorded once', { skip }, async () => {
  const context = await phone();
  const page = context.pages()[0];
  assert.ok(page);
  await openKept(page);
  await server.stop();
  await note(page, 'in the file');
  await page.click('.unsent a');
  const coming = page.waitForEvent('download');
  await page.click('a[download]');
  const file = await (await coming).path();
  // On the command line, then on the page, then by the phone itself.
  assert.deepEqual(server.run('deliver', file), { recorded: 1, known: 0, 'taken-back': 0, remarks: [], 'to-look-at': [], elsewhere: 0 });
  assert.deepEqual(server.run('deliver', file), { recorded: 0, known: 1, 'taken-back': 0, remarks: [], 'to-look-at': [], elsewhere: 0 });
  await server.start();
  const form = await context.newPage();
  await form.goto(`${server.lan}/handover`);
  await form.setInputFiles('input[type=file]', file);
  await form.click('button.big');
  assert.match(await form.textContent('main') ?? '', /0 recorded now, 1 were there before/);
  await sentAll(page);
  assert.equal(log().filter((line) => line.text.includes('in the file')).length, 1);
});
