// @ts-check
/** Phones with a store of their own, and what each has not sent yet. */
import assert from 'node:assert/strict';
import { existsSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { BINARY, CHROMIUM, browser } from './offline_server.mjs';

/** @typedef {import('playwright-core').Page} Page */
/** @typedef {import('playwright-core').BrowserContext} Context */

const lacks = [CHROMIUM, BINARY].find((file) => !existsSync(file));
if (lacks && process.env.CI) throw new Error(`the build server lacks ${lacks}`);
/** Why these tests cannot run on this machine; false where they can. */
export const skip = lacks ? `this machine lacks ${lacks}` : false;

export class Phones {
  folder = mkdtempSync(join(tmpdir(), 'axlestand-phones-'));
  /** @type {Context[]} */
  contexts = [];

  /** A new phone. */
  async add() {
    const context = await browser(mkdtempSync(join(this.folder, 'phone-')));
    this.contexts.push(context);
    return context;
  }

  /** The page of a new phone that keeps the job's pages. @param {import('./offline_server.mjs').Server} server */
  async keeping(server) {
    const page = (await this.add()).pages()[0];
    assert.ok(page);
    await page.goto(`${server.lan}/`);
    await page.waitForSelector('html[data-kept=yes]', { timeout: 60_000 });
    return page;
  }

  async close() {
    for (const context of this.contexts.splice(0)) await context.close();
  }

  /** Forgets what all phones kept. */
  end() {
    rmSync(this.folder, { recursive: true, force: true });
  }
}

/** What a phone has not sent yet. @param {Page} page @returns {Promise<{id: string, fields: [string, string][], takenBack?: boolean}[]>} */
export const queue = (page) => page.evaluate(async () => {
  const script = document.querySelector('script[type=module]')?.getAttribute('src') ?? '';
  return (await import(script.replace('app.js', 'queue.js'))).pending();
});

/** Waits until the phone says it: what is kept is read after the page is there. @param {Page} page @param {RegExp} what */
export const told = async (page, what) => {
  await page.waitForFunction((text) => new RegExp(text).test(document.querySelector('#told')?.textContent ?? ''), what.source);
};

/** @param {Page} page */
export async function sentAll(page) {
  await page.bringToFront();
  for (let tries = 0; tries < 300; tries++) {
    if (!(await queue(page)).length) return;
    await page.waitForTimeout(100);
  }
  assert.fail(`the queue is not empty: ${JSON.stringify(await queue(page))}`);
}
