// @ts-check
/** Starts the garage app for a test, as a person does, and stops it again. */
import { spawn } from 'node:child_process';
import { existsSync, rmSync } from 'node:fs';
import { fileURLToPath } from 'node:url';

const root = fileURLToPath(new URL('../../', import.meta.url));
const target = process.env.CARGO_TARGET_DIR ?? `${root}target`;

/** The program under test: AXLESTAND_BINARY, else the release build, else the debug build. */
export function binary() {
  const named = process.env.AXLESTAND_BINARY;
  const found = [named, `${target}/release/axlestand`, `${target}/debug/axlestand`].find((path) => path && existsSync(path));
  if (!found) throw new Error('no axlestand binary: cargo build --release, or name one in AXLESTAND_BINARY');
  return found;
}

/** @typedef {{address: string, garage: string, pair: string | null, pid: number, kill: () => Promise<void>, stop: () => Promise<void>}} Server */

/** A server of the half-done demo, or of `folder`. `stop` removes the demo's folder, `kill` (-9) keeps it.
 * @param {{folder?: string, port?: number, arguments?: string[]}} [wanted] @returns {Promise<Server>} */
export function serve(wanted = {}) {
  const what = wanted.folder ? ['--garage', wanted.folder] : ['--demo'];
  const child = spawn(binary(), ['serve', ...what, '--port', String(wanted.port ?? 0), '--json', ...(wanted.arguments ?? [])], { cwd: root });
  const gone = new Promise((ok) => child.once('exit', () => ok(undefined)));
  let said = '';
  let troubles = '';
  child.stderr.on('data', (bytes) => { troubles += bytes; });
  /** @param {NodeJS.Signals} signal */
  const end = async (signal) => { child.kill(signal); await gone; };
  return new Promise((ok, no) => {
    const late = setTimeout(() => { child.kill('SIGKILL'); no(new Error(`the server said no address within 60 s: ${said}${troubles}`)); }, 60_000);
    child.once('exit', (code) => { clearTimeout(late); no(new Error(`the server ended (${code}): ${troubles}`)); });
    child.stdout.on('data', (bytes) => {
      said += bytes;
      let told;
      try { told = JSON.parse(said); } catch { return; }
      clearTimeout(late);
      ok({
        address: told.address, garage: told.garage, pair: told.pair, pid: Number(child.pid),
        kill: () => end('SIGKILL'),
        stop: async () => {
          await end('SIGTERM');
          if (!wanted.folder) rmSync(told.garage, { recursive: true, force: true });
        },
      });
    });
  });
}
