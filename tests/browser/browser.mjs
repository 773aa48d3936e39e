// @ts-check
/** Chromium as Debian packs it, with a user folder of its own for every start. */
import { existsSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { chromium } from 'playwright-core';

const FLAGS = ['--headless', '--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run',
  '--disable-background-networking', '--disable-component-update', '--disable-sync'];

export const PHONE = { width: 390, height: 844 };
export const NARROW = { width: 320, height: 640 };
export const DESK = { width: 1280, height: 900 };

function program() {
  const found = [process.env.AXLESTAND_CHROMIUM, '/usr/bin/chromium', '/usr/bin/chromium-browser'].find((path) => path && existsSync(path));
  if (!found) throw new Error('no Chromium: apt-get install chromium, or name one in AXLESTAND_CHROMIUM');
  return found;
}

/** One browser window's store of cookies and pages: a device.
 * @param {Omit<import('playwright-core').BrowserContextOptions, 'baseURL'>} [as]
 * @returns {Promise<import('playwright-core').BrowserContext & {end: () => Promise<void>}>} */
export async function device(as = {}) {
  const folder = mkdtempSync(join(tmpdir(), 'axlestand-browser-'));
  const context = await chromium.launchPersistentContext(folder, { executablePath: program(), args: FLAGS, viewport: PHONE, ...as });
  context.setDefaultTimeout(15_000);
  return Object.assign(context, { end: async () => { await context.close(); rmSync(folder, { recursive: true, force: true }); } });
}

/** Waits until the page's script runs and stands still: no answer is on its way. @param {import('playwright-core').Page} page */
export async function settled(page) {
  await page.waitForFunction(() => document.readyState === 'complete');
  await page.evaluate(() => new Promise((ok) => requestAnimationFrame(() => requestAnimationFrame(ok))));
}
