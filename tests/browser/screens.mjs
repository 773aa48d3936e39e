// @ts-check
/** Takes a picture of every page at both widths in light and dark into target/screens, to be looked at.
 * `node screens.mjs [KIND …]`; STYLE=1 takes the style from the tree instead of from the binary. */
import { mkdirSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { serve } from './app_server.mjs';
import { DESK, device, PHONE } from './browser.mjs';
import { pages } from './site.mjs';

const folder = fileURLToPath(new URL('../../target/screens/', import.meta.url));
const style = new URL('../../crates/axlestand-web/assets/app.css', import.meta.url);
mkdirSync(folder, { recursive: true });
const server = await serve();
const all = await pages(server.address);
const wanted = process.argv.slice(2);
for (const [width, viewport] of /** @type {const} */ ([['phone', PHONE], ['desk', DESK]])) {
  for (const colorScheme of /** @type {const} */ (['light', 'dark'])) {
    const browser = await device({ viewport, colorScheme });
    const page = await browser.newPage();
    if (process.env.STYLE) {
      await page.route('**/app.css', async (route) => {
        const built = await (await route.fetch()).text();
        const tones = built.slice(0, built.indexOf('/*'));
        await route.fulfill({ contentType: 'text/css', body: tones + readFileSync(style, 'utf8') });
      });
    }
    for (const [kind, path] of all) {
      if (wanted.length && !wanted.includes(kind)) continue;
      await page.goto(server.address + path);
      const name = `${folder}${kind.replaceAll(/[ /]/g, '-')}-${width}-${colorScheme}`;
      await page.screenshot({ path: `${name}.png` });
      if (width === 'phone' && colorScheme === 'light') await page.screenshot({ path: `${name}-whole.png`, fullPage: true });
    }
    await browser.end();
  }
}
await server.stop();
console.log(`${all.size} kinds of page: ${[...all.keys()].join(', ')}`);
