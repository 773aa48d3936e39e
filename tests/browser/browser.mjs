// @ts-check
/** Chromium as Debian packs it, with a user folder of its own for every start. */
import { existsSync, mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { chromium } from 'playwright-core';

const FLAGS = ['--headless', '--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run',
  '--disable-background-networking', '--disable-component-update', '--disable-sync'];

export const PHONE = { width: 390, height: 844 };
export const NARROW = { width: 320, height: 640 };
export const DESK = { width: 1280, height: 900 };

/** @typedef {import('playwright-core').Page} Page */
/** @typedef {import('playwright-core').BrowserContext & {end: () => Promise<void>}} Device */

function program() {
  const found = [process.env.AXLESTAND_CHROMIUM, '/usr/bin/chromium', '/usr/bin/chromium-browser'].find((path) => path && existsSync(path));
  if (!found) throw new Error('no Chromium: apt-get install chromium, or name one in AXLESTAND_CHROMIUM');
  return found;
}

/** A browser with its own store of cookies and pages: a device. `text` is the size of text that its user
 * has set, px (16 as it comes, 32 is 200 %).
 * @param {import('playwright-core').BrowserContextOptions & {text?: number}} [as] @returns {Promise<Device>} */
export async function device({ text, ...as } = {}) {
  const folder = mkdtempSync(join(tmpdir(), 'axlestand-browser-'));
  if (text) {
    mkdirSync(join(folder, 'Default'));
    const webprefs = { default_font_size: text, default_fixed_font_size: text };
    writeFileSync(join(folder, 'Default', 'Preferences'), JSON.stringify({ webkit: { webprefs } }));
  }
  const context = await chromium.launchPersistentContext(folder, { executablePath: program(), args: FLAGS, viewport: PHONE, ...as });
  context.setDefaultTimeout(20_000);
  return Object.assign(context, { end: async () => { await context.close(); rmSync(folder, { recursive: true, force: true }); } });
}

/** What goes wrong in the page's script or is kept from it by the policy. @param {Page} page @returns {string[]} */
export function troubles(page) {
  /** @type {string[]} */
  const seen = [];
  page.on('pageerror', (error) => seen.push(String(error)));
  page.on('console', (line) => { if (line.type() === 'error' && !/Failed to load resource/.test(line.text())) seen.push(line.text()); });
  return seen;
}
