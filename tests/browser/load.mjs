// @ts-check
/** How the garage app bears load, on loopback: `node load.mjs [SECONDS]`. 50 devices that record at once,
 * each an entry at a time through the queue's address; the work view as fast as it is asked for; memory;
 * the first page on a phone with a slow processor and a poor line. Figures go to docs/numbers-web.md. */
import { execFileSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { Agent, request } from 'node:http';
import { randomBytes } from 'node:crypto';
import { serve } from './app_server.mjs';
import { binary } from './app_server.mjs';
import { device, PHONE } from './browser.mjs';

const SECONDS = Number(process.argv[2] ?? 10);
const DEVICES = 50;

/** @param {string} url @param {Agent} agent @param {string} [body] @returns {Promise<{status: number, text: string}>} */
const ask = (url, agent, body) => new Promise((ok, no) => {
  const headers = body ? { 'content-type': 'application/json', origin: new URL(url).origin } : {};
  const asked = request(url, { agent, method: body ? 'POST' : 'GET', headers }, (answer) => {
    let text = '';
    answer.setEncoding('utf8');
    answer.on('data', (piece) => { text += piece; });
    answer.on('end', () => ok({ status: answer.statusCode ?? 0, text }));
  });
  asked.on('error', no);
  asked.end(body);
});

/** @param {number[]} all @param {number} part */
const quantile = (all, part) => all.sort((a, b) => a - b)[Math.min(all.length - 1, Math.floor(all.length * part))] ?? NaN;
/** @param {number} pid @param {string} key */
const memory = (pid, key) => Number(/** @type {RegExpMatchArray} */ (readFileSync(`/proc/${pid}/status`, 'utf8').match(new RegExp(`${key}:\\s+(\\d+)`)))[1]) / 1024;

/** Several at once, each as fast as it is answered. @param {number} many @param {(agent: Agent, n: number) => Promise<void>} one */
async function together(many, one) {
  /** @type {number[]} */
  const took = [];
  const from = performance.now();
  await Promise.all(Array.from({ length: many }, async (_, n) => {
    const agent = new Agent({ keepAlive: true, maxSockets: 1 });
    while (performance.now() - from < SECONDS * 1000) {
      const began = performance.now();
      await one(agent, n);
      took.push(performance.now() - began);
    }
    agent.destroy();
  }));
  return { took, seconds: (performance.now() - from) / 1000 };
}

/** @param {string} what @param {{took: number[], seconds: number}} run */
function told(what, { took, seconds }) {
  const count = took.length;
  console.log(`| ${what} | ${count} | ${(count / seconds).toFixed(1)} | ${quantile(took, 0.5).toFixed(1)} | ${quantile(took, 0.99).toFixed(1)} |`);
}

const server = await serve();
const log = () => JSON.parse(execFileSync(binary(), ['log', '--json', '--garage', server.garage], { encoding: 'utf8', maxBuffer: 1e9 })).length;
const idle = memory(server.pid, 'VmRSS');
console.log('| what | answers | per second | p50, ms | p99, ms |\n| --- | --- | --- | --- | --- |');
const alone = new Agent({ keepAlive: true, maxSockets: 1 });
for (let n = 0; n < 5; n += 1) await ask(`${server.address}/job/wagtail/now`, alone);
told('the work view, one asks', await together(1, async (agent) => { await ask(`${server.address}/job/wagtail/now`, agent); }));
told('the work view, 8 ask', await together(8, async (agent) => { await ask(`${server.address}/job/wagtail/now`, agent); }));
const before = log();
let number = 0;
let sent = 0;
/** @param {Agent} agent @param {number} n */
const note = async (agent, n) => {
  number += 1;
  const entry = { id: randomBytes(16).toString('hex'), number, job: 'wagtail', made: Date.now(), fields: [['do', 'note'], ['text', `device ${n}, ${number}`]] };
  const answer = await ask(`${server.address}/deliver`, agent, JSON.stringify({ queue: `device-${n}`, sent: Date.now(), entries: [entry] }));
  if (answer.status !== 200 || !JSON.parse(answer.text).answers[0]?.recorded) throw new Error(`not recorded: ${answer.status} ${answer.text}`);
  sent += 1;
};
told('an entry, durable, one device', await together(1, note));
told(`an entry, durable, ${DEVICES} devices at once`, await together(DEVICES, note));
const grown = log() - before;
console.log(`\nAcknowledged ${sent}, in the ledger ${grown}. Memory: ${idle.toFixed(0)} MB idle, ${memory(server.pid, 'VmRSS').toFixed(0)} MB afterwards, ${memory(server.pid, 'VmHWM').toFixed(0)} MB at most.`);
if (grown !== sent) throw new Error('an acknowledged entry is missing');
await server.stop();

const fresh = await serve();
const firsts = [];
let weight = 0;
for (let round = 0; round < 5; round += 1) {
  const browser = await device({ viewport: PHONE });
  const page = await browser.newPage();
  const line = await browser.newCDPSession(page);
  await line.send('Network.enable');
  await line.send('Network.emulateNetworkConditions', { offline: false, latency: 150, downloadThroughput: 1.6e6 / 8, uploadThroughput: 750e3 / 8 });
  await line.send('Emulation.setCPUThrottlingRate', { rate: 4 });
  let bytes = 0;
  line.on('Network.loadingFinished', (one) => { bytes += one.encodedDataLength; });
  await page.goto(`${fresh.address}/job/wagtail/now`, { waitUntil: 'load' });
  firsts.push(await page.evaluate(() => performance.getEntriesByName('first-contentful-paint')[0]?.startTime ?? NaN));
  await page.waitForTimeout(500);
  weight = Math.max(weight, bytes);
  await browser.end();
}
await fresh.stop();
console.log(`First page on a phone (4 × slower processor, 1.6 Mbit/s, 150 ms): first paint ${firsts.map((ms) => ms.toFixed(0)).join(', ')} ms; ${(weight / 1000).toFixed(1)} kB with style and script.`);
