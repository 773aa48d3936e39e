// @ts-check
/** Photos: taken at a step on a phone without the server, sent later, shown where the same thing goes back;
 * handed over within the queue's file; nothing but the picture is stored. */
import assert from 'node:assert/strict';
import { existsSync, readFileSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import { after, afterEach, before, test } from 'node:test';
import { Server } from './offline_server.mjs';
import { Phones, skip, told } from './phones.mjs';

/** @typedef {import('playwright-core').Page} Page */

/** @type {Server} */
let server;
const phones = new Phones();
const phone = () => phones.keeping(server);

before(async () => { if (!skip) server = await Server.ofDemo(); });
afterEach(async () => {
  await phones.close();
  if (server && !server.runs) await server.start();
});
after(async () => { await server?.end(); phones.end(); });

/** A place and a camera as EXIF has them (CIPA DC-008, APP1 segment behind the JPEG's begin; from memory). */
const PLACE = 'GPS 47.0 N 8.0 E, taken with a phone';

/** A photo as a camera makes it, with a place in it. @param {Page} page @param {number} width */
async function photo(page, width) {
  const text = await page.evaluate((wide) => {
    const canvas = Object.assign(document.createElement('canvas'), { width: wide, height: wide / 2 });
    const at = canvas.getContext('2d');
    if (!at) throw new Error('no canvas');
    for (let n = 0; n < 40; n++) { at.fillStyle = `hsl(${n * 9} 80% 50%)`; at.fillRect(n * wide / 40, 0, wide / 40, wide / 2); }
    return canvas.toDataURL('image/jpeg', 0.9).replace(/^[^,]*,/, '');
  }, width);
  const plain = Buffer.from(text, 'base64');
  const exif = Buffer.concat([Buffer.from('Exif\0\0II*\0\x08\0\0\0\0\0\0\0\0\0', 'latin1'), Buffer.from(PLACE)]);
  const length = Buffer.alloc(2);
  length.writeUInt16BE(exif.length + 2);
  const buffer = Buffer.concat([plain.subarray(0, 2), Buffer.from([0xff, 0xe1]), length, exif, plain.subarray(2)]);
  assert.ok(buffer.includes(PLACE));
  return { name: 'taken.jpg', mimeType: 'image/jpeg', buffer };
}

/** @returns {string[]} the stored photos */
const stored = () => (existsSync(join(server.folder, 'photos')) ? readdirSync(join(server.folder, 'photos')) : []);

/** @returns {number} photos in the ledger that count */
const pictured = () => server.run('log').filter((/** @type {{text: string, withdrawn: boolean}} */ line) => line.text.startsWith('photo') && !line.withdrawn).length;

/** Takes a photo with the form of the step. @param {Page} page @param {string} note @param {number} [width] */
async function take(page, note, width = 3000) {
  const form = page.locator('form[data-photo]');
  await page.locator('details', { has: form }).locator('summary').click();
  await form.locator('input[type=file]').setInputFiles(await photo(page, width));
  await form.locator('input[name=note]').fill(note);
  await form.locator('button').click();
}

test('taken without the server at the step that undoes, it is shown where the same thing goes back', { skip, timeout: 120_000 }, async () => {
  const page = await phone();
  await page.goto(`${server.lan}/job/wagtail/now?step=undo:tie-rod-nut.left`);
  await page.waitForTimeout(300);
  await server.stop();
  await take(page, 'cotter pin as it was');
  await told(page, /1 not sent yet: kept on this phone only/);
  assert.equal(stored().length, 0);
  await server.start();
  for (let tries = 0; tries < 200 && !pictured(); tries++) await page.waitForTimeout(100);
  assert.equal(pictured(), 1);
  await page.waitForFunction(() => !document.querySelector('#told .unsent'));
  await page.goto(`${server.lan}/job/wagtail/now?step=fit:tie-rod-nut.left`);
  const image = page.locator('ul.photos img');
  await image.scrollIntoViewIfNeeded();
  await page.waitForFunction(() => { const one = document.querySelector('ul.photos img'); return one instanceof HTMLImageElement && one.naturalWidth > 0; });
  assert.match(String(await image.getAttribute('alt')), /^cotter pin as it was/);
  const sides = await image.evaluate((one) => (one instanceof HTMLImageElement ? [one.naturalWidth, one.naturalHeight] : []));
  assert.deepEqual(sides, [1600, 800]);
  for (const file of stored()) {
    const bytes = readFileSync(join(server.folder, 'photos', file));
    assert.ok(!bytes.includes('Exif') && !bytes.includes('GPS'), file);
  }
});

test('sent as the camera wrote it, the server takes out what the camera wrote beside the picture', { skip }, async () => {
  const page = await phone();
  const picture = await photo(page, 800);
  const kept = stored();
  const before_ = pictured();
  const id = 'ab'.repeat(16);
  const status = await page.evaluate(async ({ at, text }) => {
    const body = Uint8Array.from(atob(text), (sign) => sign.charCodeAt(0));
    return (await fetch(at, { method: 'POST', body })).status;
  }, { at: `/photo/${id}`, text: picture.buffer.toString('base64') });
  assert.equal(status, 200);
  const fresh = stored().filter((file) => !kept.includes(file));
  assert.deepEqual(fresh, [`${id}.jpg`]);
  const bytes = readFileSync(join(server.folder, 'photos', `${id}.jpg`));
  assert.ok(bytes.length > 1000 && !bytes.includes('Exif') && !bytes.includes('GPS'));
  // Kept, but no entry names it yet.
  assert.equal(pictured(), before_);
});

test('in the file of a stranded queue, handed over and sent as well, a photo is there once', { skip, timeout: 120_000 }, async () => {
  const page = await phone();
  const [files, entries] = [stored().length, pictured()];
  await page.goto(`${server.lan}/job/wagtail/now?step=undo:tie-rod-nut.left`);
  await page.waitForTimeout(300);
  await server.stop();
  await take(page, 'in the file');
  await page.waitForSelector('#told .unsent');
  await page.click('.unsent a');
  await page.waitForSelector('a[download]');
  assert.match(await page.textContent('[data-handover]') ?? '', /1 not sent yet.*photo .*in the file/);
  const coming = page.waitForEvent('download');
  await page.click('a[download]');
  const file = await (await coming).path();
  const text = readFileSync(file, 'utf8');
  assert.ok(text.length < 1_500_000, `${text.length} characters for one photo`);
  assert.equal(JSON.parse(text).version, 2);
  assert.ok(!text.includes(Buffer.from(PLACE).toString('base64').slice(4, 20)));
  const none = { 'taken-back': 0, remarks: [], 'to-look-at': [], elsewhere: 0 };
  assert.deepEqual(server.run('deliver', file), { recorded: 1, known: 0, ...none });
  assert.deepEqual(server.run('deliver', file), { recorded: 0, known: 1, ...none });
  assert.deepEqual([stored().length, pictured()], [files + 1, entries + 1]);
  await server.start();
  await page.waitForFunction(() => !document.querySelector('#told .unsent'), undefined, { timeout: 30_000 });
  assert.deepEqual([stored().length, pictured()], [files + 1, entries + 1]);
});

test('what the server does not keep stays on the phone with the reason, until it is put away', { skip, timeout: 120_000 }, async () => {
  const page = await phone();
  const [files, entries] = [stored().length, pictured()];
  await page.goto(`${server.lan}/job/wagtail/now?step=undo:tie-rod-nut.left`);
  const form = page.locator('form[data-photo]');
  await page.locator('details', { has: form }).locator('summary').click();
  await form.locator('input[type=file]').setInputFiles({ name: 'no.jpg', mimeType: 'image/jpeg', buffer: Buffer.from('no picture at all') });
  await form.locator('input[name=note]').fill('torn');
  await form.locator('button').click();
  await told(page, /1 photo that the server did not keep/);
  await page.reload();
  await told(page, /1 photo that the server did not keep/);
  await page.click('.unsent a');
  await page.waitForSelector('[data-put-photo-away]');
  const said = await page.textContent('[data-handover]') ?? '';
  assert.match(said, /torn, not kept: .*(picture|photo)/);
  assert.doesNotMatch(said, /[<>{}]/);
  const coming = page.waitForEvent('download');
  await page.click('[data-handover] a[download=photo]');
  assert.equal(readFileSync(await (await coming).path(), 'utf8'), 'no picture at all');
  await page.click('[data-put-photo-away]');
  await page.waitForFunction(() => !document.querySelector('#told .unsent') && !document.querySelector('[data-put-photo-away]'));
  assert.deepEqual([stored().length, pictured()], [files, entries]);
});
