// @ts-check
/** Who works with the app has no command line at hand: no page names a command or an option. Every page
 * that links lead to is read, every step and every item, and what is said to things that cannot be done. */
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import { serve } from './app_server.mjs';

/** @type {import('./app_server.mjs').Server} */
let server;
before(async () => { server = await serve(); });
after(() => server?.stop());

const COMMAND = [/\baxlestand [a-z'-]/, /(?:^|[\s("'“])--[a-z]/, /\bcar (?:set|show|check|new) /, /'(?:done|skip|read|choose|undo|set|check|open|log) ?[^']*'/, /\bundo-entry\b/];

/** A page as it is read. @param {string} html */
const read = (html) => html.replace(/<(script|style)[^>]*>.*?<\/\1>/gs, ' ').replace(/<[^>]*>/g, ' ')
  .replaceAll('&quot;', '"').replaceAll('&#39;', "'").replaceAll('&lt;', '<').replaceAll('&gt;', '>').replaceAll('&amp;', '&').replace(/\s+/g, ' ');

/** Where a text names a command, with what stands around it. @param {string} text */
function named(text) {
  return COMMAND.flatMap((command) => {
    const at = command.exec(text)?.index ?? -1;
    return at < 0 ? [] : [text.slice(Math.max(0, at - 60), at + 90)];
  });
}

test('no page names a command, whichever link leads to it', async () => {
  const waiting = ['/', '/pair', '/phone', '/job/wagtail/now', '/job/wagtail/look', '/nothing-here', '/handover', '/job/wagtail/now?step=nothing'];
  const seen = new Set(waiting);
  /** @type {Map<string, string>} */
  const found = new Map();
  let count = 0;
  for (let path = waiting.shift(); path !== undefined && count < 1500; path = waiting.shift()) {
    const answer = await fetch(server.address + path);
    if (!answer.headers.get('content-type')?.startsWith('text/html')) { await answer.body?.cancel(); continue; }
    const html = await answer.text();
    count += 1;
    // How a device is let in is read at the computer that serves, where the command is typed.
    if (['/pair', '/phone', '/let-in'].includes(path)) continue;
    for (const text of named(read(html))) if (!found.has(text)) found.set(text, path);
    for (const [, href] of html.matchAll(/<a [^>]*href="([^"#]+)"/g)) {
      const url = new URL(href.replaceAll('&amp;', '&'), answer.url);
      const to = url.pathname + url.search;
      if (url.origin !== new URL(answer.url).origin || seen.has(to) || /\.(pdf|svg|ics|csv|jpg)$/.test(url.pathname)) continue;
      seen.add(to);
      waiting.push(to);
    }
  }
  console.log(`# ${count} pages read`);
  assert.ok(count > 150, `only ${count} pages`);
  assert.deepEqual([...found].map(([text, path]) => `${path}: ${text}`), []);
});

test('what cannot be recorded is said without a command', async () => {
  const id = (/** @type {number} */ n) => n.toString(16).padStart(32, '0');
  const rows = await (await fetch(`${server.address}/job/wagtail/refit`)).text();
  const actions = [...new Set([...rows.matchAll(/data-action="([^"]+)"/g)].map(([, action]) => action))];
  /** @type {[string, string][][]} */
  const forms = [
    ...actions.map((action) => /** @type {[string, string][]} */ ([['do', 'done'], ['rows', action]])),
    [['do', 'skip'], ['rows', 'on:wheel.left'], ['reason', '']],
    [['do', 'skip'], ['rows', 'on:wheel.left']],
    [['do', 'done'], ['rows', 'fit:tie-rod-nut.left'], ['torque', '900 N·m']],
    [['do', 'done'], ['rows', 'fit:tie-rod-nut.left'], ['torque', '41 N·m'], ['condition', 'oiled']],
    [['do', 'done'], ['rows', 'final:arm-front-bolt.left'], ['seated', 'yes']],
    [['do', 'done'], ['rows', 'again:toe-front']],
    [['do', 'read'], ['reading', 'height-front.left'], ['value', '366 mm']],
    [['do', 'read'], ['reading', 'nothing'], ['value', '366 mm']],
    [['do', 'take-back'], ['entry', 'abc']],
    [['do', 'take-back'], ['entry', 'abcdef']],
    [['do', 'turned'], ['adjuster', 'nothing'], ['amount', '1 flat']],
    [['do', 'gauge'], ['value.nowhere', '1 mm']],
    [['do', 'gauge'], ['value.camber.fl', '1 mm']],
    [['do', 'keep-alignment']],
    [['do', 'stuck'], ['item', 'arm.left']],
    [['do', 'choose'], ['item', 'arm-front-bolt.left'], ['way', 'magic']],
  ];
  const found = new Set();
  for (const [n, fields] of forms.entries()) {
    const asForm = await fetch(`${server.address}/job/wagtail/entry`, { method: 'POST', body: new URLSearchParams([...fields, ['id', id(n + 1)]]), headers: { origin: server.address }, redirect: 'manual' });
    for (const text of named(read(await asForm.text()))) found.add(text);
    const entries = [{ id: id(n + 1000), number: n, job: 'wagtail', made: Date.now(), fields }];
    const sent = await fetch(`${server.address}/deliver`, { method: 'POST', headers: { 'content-type': 'application/json', origin: server.address }, body: JSON.stringify({ queue: 'q', sent: Date.now(), entries }) });
    for (const text of named(await sent.text())) found.add(text);
  }
  const look = await (await fetch(`${server.address}/job/wagtail/look`)).text();
  for (const text of named(read(look))) found.add(text);
  assert.deepEqual([...found], []);
});
