// @ts-check
/** The real binary as a server, and a browser on it, for tests of poor signal: started, killed (-9) and
 * started again on the same folder and port. */
import { spawn, execFileSync } from 'node:child_process';
import { mkdtempSync, rmSync, cpSync } from 'node:fs';
import { request } from 'node:http';
import { createServer } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { chromium } from 'playwright-core';
import { binary } from './app_server.mjs';

const ROOT = fileURLToPath(new URL('../..', import.meta.url));
export const BINARY = binary();
export const CHROMIUM = process.env.CHROMIUM ?? '/usr/bin/chromium';
/** An address of documentation (RFC 5737) that the browser finds on this machine: plain http from it is no
 * secure context, as in a home network. */
export const LAN = '192.0.2.77';

/** @returns {Promise<number>} */
export const freePort = () => new Promise((ok, no) => {
  const probe = createServer().once('error', no).listen(0, '127.0.0.1', () => {
    const at = probe.address();
    probe.close(() => ok(typeof at === 'object' && at ? at.port : 0));
  });
});

export class Server {
  /** @param {string} folder @param {number} port @param {string[]} more */
  constructor(folder, port, more = ['--lan', LAN, '--everywhere']) {
    this.folder = folder;
    this.port = port;
    this.more = more;
    /** @type {import('node:child_process').ChildProcess | undefined} */
    this.child = undefined;
  }

  /** A garage with the job of the demo, half done. */
  /** @param {string[]} [more] */
  static async ofDemo(more) {
    const demo = mkdtempSync(join(tmpdir(), 'axlestand-browser-'));
    const folder = join(demo, 'garage');
    const server = new Server(folder, await freePort(), more);
    const first = spawn(BINARY, ['serve', '--demo', '--port', `${server.port}`, '--json'], { stdio: ['ignore', 'pipe', 'inherit'] });
    const told = await answer(first);
    first.kill();
    await new Promise((ok) => first.once('exit', ok));
    cpSync(told.garage, folder, { recursive: true });
    rmSync(told.garage, { recursive: true });
    await server.start();
    return server;
  }

  /** A garage with a small job that has just been started. */
  static async ofSmallJob() {
    const folder = join(mkdtempSync(join(tmpdir(), 'axlestand-browser-')), 'garage');
    const server = new Server(folder, await freePort());
    server.run('job', 'start', join(ROOT, 'tests/jobs/cars/corner.toml'), '--replace', 'link', 'tie-rod-end', '--name', 'wagtail');
    await server.start();
    return server;
  }

  async start() {
    const child = spawn(BINARY, ['--garage', this.folder, 'serve', '--port', `${this.port}`, '--json', ...this.more], { stdio: ['ignore', 'pipe', 'inherit'] });
    this.child = child;
    this.told = await answer(child);
  }

  /** @param {NodeJS.Signals} signal */
  async stop(signal = 'SIGKILL') {
    const { child } = this;
    if (!child || !this.runs) return;
    const ended = new Promise((ok) => child.once('exit', ok));
    child.kill(signal);
    await ended;
  }

  /** The command line on the same garage. @param {string[]} args */
  run(...args) {
    return JSON.parse(execFileSync(BINARY, ['--garage', this.folder, ...args, '--json'], { encoding: 'utf8', stdio: ['ignore', 'pipe', 'pipe'] }));
  }

  get runs() { return Boolean(this.child) && this.child?.exitCode === null && this.child.signalCode === null; }

  get lan() { return `http://${LAN}:${this.port}`; }

  async end() {
    await this.stop();
    rmSync(join(this.folder, '..'), { recursive: true, force: true });
  }
}

/** The first JSON document that a server prints. @param {import('node:child_process').ChildProcess} child @returns {Promise<any>} */
function answer(child) {
  return new Promise((ok, no) => {
    let text = '';
    child.once('exit', (code) => no(new Error(`the server ended with ${code}: ${text}`)));
    child.stdout?.on('data', (/** @type {Buffer} */ piece) => {
      text += piece;
      try { ok(JSON.parse(text)); } catch { /* not whole yet */ }
    });
  });
}

/** A browser profile of its own, phone-sized. @param {string} profile @param {string[]} [more] */
export const browser = (profile, more = []) => chromium.launchPersistentContext(profile, {
  executablePath: CHROMIUM,
  headless: true,
  viewport: { width: 390, height: 844 },
  hasTouch: true,
  args: ['--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run', '--disable-background-networking', '--disable-component-update', '--disable-sync',
    `--host-resolver-rules=MAP ${LAN} 127.0.0.1`, ...more],
});

/** Lets the server record what a phone sends, and loses its answer on the way back; the answer's status, where
 * the server was there. @param {import('playwright-core').Route} route @param {Server} server @returns {Promise<number | undefined>} */
export async function loseAnswer(route, server) {
  const asked = route.request();
  const headers = { ...asked.headers(), host: `${LAN}:${server.port}` };
  const status = await new Promise((/** @type {(status: number | undefined) => void} */ ok) => {
    const sent = request({ host: '127.0.0.1', port: server.port, path: '/deliver', method: 'POST', headers }, (answer) => {
      answer.resume().on('end', () => ok(answer.statusCode));
    });
    sent.once('error', () => ok(undefined)).end(asked.postData() ?? '');
  });
  await route.abort().catch(() => {});
  return status;
}
