// @ts-check
/** Checks the JSDoc types of the pages' script, of the service worker where there is one, and of these
 * tests. */
import { spawnSync } from 'node:child_process';
import { existsSync } from 'node:fs';
import { fileURLToPath } from 'node:url';

const here = fileURLToPath(new URL('.', import.meta.url));
const worker = new URL('../../crates/axlestand-web/assets/sw.js', import.meta.url);
const projects = ['tsconfig.page.json', 'tsconfig.tests.json', ...(existsSync(worker) ? ['tsconfig.worker.json'] : [])];
let failed = false;
for (const project of projects) {
  const ran = spawnSync(process.execPath, ['node_modules/typescript/bin/tsc', '-p', project], { cwd: here, stdio: 'inherit' });
  console.log(`types of ${project}: ${ran.status === 0 ? 'fine' : 'wrong'}`);
  failed ||= ran.status !== 0;
}
process.exitCode = failed ? 1 : 0;
