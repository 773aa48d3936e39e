// @ts-check
/** The level "app": https with this machine's own certificate. The browser is told to trust the key of
 * that certificate (a flag for tests), as a phone is told to trust its authority; what the authority may
 * vouch for is proved in the crate itself, against webpki. */
import assert from 'node:assert/strict';
import { createHash, X509Certificate } from 'node:crypto';
import { existsSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { test } from 'node:test';
import { BINARY, CHROMIUM, Server, browser, freePort } from './offline_server.mjs';

const lacks = [CHROMIUM, BINARY].find((file) => !existsSync(file));
if (lacks && process.env.CI) throw new Error(`the build server lacks ${lacks}`);

test('trusted, it opens and reloads without the server, and delivers afterwards', { skip: lacks ? `this machine lacks ${lacks}` : false }, async (t) => {
  const [folder, profile] = [mkdtempSync(join(tmpdir(), 'axlestand-cert-')), mkdtempSync(join(tmpdir(), 'axlestand-phone-'))];
  const [ip, port] = ['192.168.77.7', await freePort()];
  const server = await Server.ofDemo(['--lan', ip, '--everywhere', '--app', '--app-port', `${port}`, '--certificates', folder]);
  const certificate = new X509Certificate(readFileSync(join(folder, 'leaf.pem')));
  const key = createHash('sha256').update(certificate.publicKey.export({ type: 'spki', format: 'der' })).digest('base64');
  const context = await browser(profile, [`--host-resolver-rules=MAP ${ip} 127.0.0.1`, `--ignore-certificate-errors-spki-list=${key}`]);
  t.after(async () => {
    await context.close();
    await server.end();
    for (const one of [folder, profile]) rmSync(one, { recursive: true, force: true });
  });
  const page = context.pages()[0];
  assert.ok(page);
  const days = (new Date(certificate.validTo).getTime() - new Date(certificate.validFrom).getTime()) / 86_400_000;
  assert.ok(days <= 390, `${days} days`);
  // The plain port hands out the authority's certificate, and the fingerprint that the page shows is its own.
  await page.goto(`http://${ip}:${server.port}/phone`);
  const der = await page.evaluate(async () => [...new Uint8Array(await (await fetch('/phone/axlestand-ca.crt')).arrayBuffer())]);
  const shown = new X509Certificate(Buffer.from(der)).fingerprint256;
  assert.equal(await page.textContent('main code'), shown);
  assert.equal(server.told.app.fingerprint, shown);

  await page.goto(`https://${ip}:${port}/`);
  await page.waitForSelector('html[data-level=app][data-kept=yes]', { timeout: 60_000 });
  assert.equal(await page.locator('link[rel=manifest]').count(), 1);
  await server.stop();
  await page.reload();
  await page.waitForSelector('.step');
  const number = await page.textContent('.step h1 .number');
  await page.click('button.done');
  await page.waitForFunction((n) => document.querySelector('.step h1 .number')?.textContent !== n, number);
  const told = await page.textContent('.unsent') ?? '';
  assert.match(told, /^1 not sent yet: kept on this phone only\./);
  // Here a reload loses nothing, so that nobody is warned of it.
  assert.doesNotMatch(told, /reload/);
  const ticked = server.run('log').length;
  const anew = await context.newPage();
  await anew.goto(`https://${ip}:${port}/`);
  // What is kept is read after the page is there: only then may it go.
  await anew.waitForSelector('.unsent');
  await server.start();
  await anew.waitForSelector('.unsent', { state: 'detached', timeout: 30_000 });
  assert.equal(server.run('log').length, ticked + 1);
});
