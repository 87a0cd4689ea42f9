/** `npm run report [-- --only TOPIC,...] [--out FILE]`: builds the engine if need be and runs report.ts, which Node cannot load as it is. */
import { spawnSync } from 'node:child_process';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { runnerImport } from 'vite';

const root = join(dirname(fileURLToPath(import.meta.url)), '../../..');
const built = spawnSync(process.execPath, ['src/engine/build/build.mjs'], { cwd: root, stdio: ['ignore', 'ignore', 'inherit'] });
if (built.status !== 0) process.exit(1);
const { module } = await runnerImport(join(root, 'tests/published/report/report.ts'), { configFile: false, root, logLevel: 'error' });
process.exitCode = await module.report(process.argv.slice(2));
