// @ts-check
/** Every kind of page that can be reached from the job, found by following its links. */

/** What an address shows, without which one: `item`, `now undo`. @param {URL} url */
function kind(url) {
  const path = url.pathname.replace(/^\/job\/[^/]+\//, '');
  const step = url.searchParams.get('step');
  if (step) return `${path} ${step.split(':')[0]}`;
  if (path.startsWith('item/')) return 'item';
  return [path.replace(/^\//, '') || 'start', ...[...url.searchParams.values()]].join(' ');
}

/** Pages that have to be among those that are found. */
const EXPECTED = ['now', 'open', 'corner', 'ledger', 'settings', 'devices', 'item', 'prepare', 'strip', 'refit', 'set', 'prove',
  'now fit', 'now final', 'now again', 'now lock', 'now do', 'now undo'];

/** Kind of page and one address of it. @param {string} base @returns {Promise<Map<string, string>>} */
export async function pages(base) {
  /** @type {Map<string, string>} */
  const found = new Map();
  const waiting = ['/', '/pair', '/job/wagtail/now', '/job/wagtail/look', '/nothing-here'];
  /** @type {Set<string>} */
  const seen = new Set();
  for (let path = waiting.shift(); path !== undefined; path = waiting.shift()) {
    const answer = await fetch(base + path);
    if (!answer.headers.get('content-type')?.startsWith('text/html')) { await answer.body?.cancel(); continue; }
    const html = await answer.text();
    const at = new URL(answer.url);
    if (!found.has(kind(at))) found.set(kind(at), at.pathname + at.search);
    for (const [, href] of html.matchAll(/<a [^>]*href="([^"#]+)"/g)) {
      const url = new URL(href.replaceAll('&amp;', '&'), at);
      if (url.origin !== at.origin || seen.has(kind(url))) continue;
      seen.add(kind(url));
      waiting.push(url.pathname + url.search);
    }
  }
  const missing = EXPECTED.filter((name) => !found.has(name));
  if (missing.length) throw new Error(`no page of the kind ${missing.join(', ')} is reached by links: only ${[...found.keys()].join(', ')}`);
  return found;
}
