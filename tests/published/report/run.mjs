/**
 * `npm run report [-- --only TOPIC,...] [--out FILE]`: brings packages and engine, then runs report.ts, which Node cannot load as it is.
 * The last line is the page's path.
 */
import { spawnSync } from 'node:child_process';
import { join } from 'node:path';
import { checkNode, installPackages, root } from '../../../.ci/setup.mjs';

checkNode();
installPackages();
const built = spawnSync(process.execPath, ['src/engine/build/build.mjs'], { cwd: root, stdio: ['ignore', 'ignore', 'inherit'] });
if (built.status !== 0) process.exit(1);
const { runnerImport } = await import('vite');
const { module } = await runnerImport(join(root, 'tests/published/report/report.ts'), { configFile: false, root, logLevel: 'error' });
process.exitCode = await module.report(process.argv.slice(2));
