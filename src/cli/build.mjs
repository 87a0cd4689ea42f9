/** Builds what the command line runs: packages if there are none, the engine, one bundle. Writes to standard error only. */
import { spawnSync } from 'node:child_process';
import { existsSync, mkdirSync, mkdtempSync, renameSync, rmSync } from 'node:fs';
import { join } from 'node:path';

function run(program, args, root, shell = false) {
  const done = spawnSync(program, args, { cwd: root, stdio: ['ignore', 'pipe', 'pipe'], encoding: 'utf8', shell });
  if (done.status === 0) return;
  process.stderr.write(`${done.stdout ?? ''}${done.stderr ?? ''}${done.error?.message ?? ''}\n`);
  process.exit(1);
}

export async function buildCli(root, folder) {
  if (!existsSync(join(root, 'node_modules/vite'))) {
    run('npm', ['ci', '--include=dev', '--no-fund', '--no-audit'], root, process.platform === 'win32');
  }
  run(process.execPath, ['src/engine/build/build.mjs'], root);
  const { build } = await import('vite');
  mkdirSync(folder, { recursive: true });
  // Built apart and then renamed: another run of the command line never sees half a bundle.
  const fresh = mkdtempSync(join(folder, 'new-'));
  try {
    await build({
      configFile: false,
      root,
      logLevel: 'error',
      ssr: { noExternal: true, external: ['node-web-audio-api', 'playwright-core'] },
      build: {
        ssr: 'src/cli/main.ts',
        outDir: fresh,
        target: 'node20',
        copyPublicDir: false,
        rolldownOptions: { output: { entryFileNames: 'cli.mjs', codeSplitting: false } },
      },
    });
    renameSync(join(fresh, 'cli.mjs'), join(folder, 'cli.mjs'));
  } finally {
    rmSync(fresh, { recursive: true, force: true });
  }
}
