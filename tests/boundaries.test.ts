// @vitest-environment node
import { spawnSync } from 'node:child_process';
import { cpSync, mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join, relative } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';

/**
 * The direction of dependency (DEVELOPERS.md) is held by biome.json, and purity by src/tsconfig.pure.json.
 * Here violations are planted in an otherwise empty copy of the house, to prove that both would catch them.
 */
const root = join(dirname(fileURLToPath(import.meta.url)), '..');
const copy = mkdtempSync(join(tmpdir(), 'sketchbook-boundaries-'));

interface Planted {
  readonly file: string;
  readonly code: string;
  /** The rule that must report it; nothing: it must pass. */
  readonly rule?: string;
}

const imports = (what: string, type = ''): string => `import ${type}{ x } from '${what}';\nexport const y${type ? ': x = 0' : ' = x'};\n`;
const restricted = 'lint/style/noRestrictedImports';

const planted: readonly Planted[] = [
  { file: 'src/patch/a.ts', code: imports('../blocks/specs.gen.ts'), rule: restricted },
  { file: 'src/patch/b.ts', code: imports('../app/store/session.ts', 'type '), rule: restricted },
  { file: 'src/patch/c.ts', code: imports('./document.ts') },
  { file: 'src/patch/commands/d.ts', code: imports('../../engine/plan/layout.ts'), rule: restricted },
  { file: 'src/patch/e.ts', code: 'export const now = (): number => Date.now();\n', rule: 'lint/style/noRestrictedGlobals' },
  { file: 'src/dsp/a.ts', code: imports('../patch/document.ts'), rule: restricted },
  { file: 'src/blocks/lag/spec.ts', code: imports('../../patch/blockSpec.ts') },
  { file: 'src/blocks/lag/symbol.ts', code: imports('../../engine/protocol.ts'), rule: restricted },
  { file: 'src/blocks/lag/kernel.ts', code: imports('../../dsp/block') },
  { file: 'src/blocks/hum/kernel.ts', code: imports('../../engine/runtime/index'), rule: restricted },
  { file: 'src/engine/plan/a.ts', code: imports('../../measure/level.ts'), rule: restricted },
  { file: 'src/engine/plan/b.ts', code: imports('../../patch/document.ts') },
  { file: 'src/measure/a.ts', code: imports('../engine/protocol.ts'), rule: restricted },
  { file: 'src/insight/a.ts', code: imports('../sheet/sheet.ts'), rule: restricted },
  { file: 'src/insight/b.ts', code: imports('../patch/document.ts') },
  { file: 'src/sheet/a.ts', code: imports('react'), rule: restricted },
  { file: 'src/sheet/b.ts', code: imports('node:fs/promises'), rule: restricted },
  { file: 'src/sheet/c.ts', code: imports('../insight/parts.ts') },
  { file: 'src/notebook/a.ts', code: imports('../app/store/session.ts'), rule: restricted },
  { file: 'src/engine/hosts/a.ts', code: imports('zustand'), rule: restricted },
  { file: 'src/app/a.ts', code: imports('../cli/main.ts'), rule: restricted },
  { file: 'src/cli/a.ts', code: imports('../app/store/session.ts'), rule: restricted },
  { file: 'src/app/b.ts', code: imports('../../tests/support/setup.ts'), rule: restricted },
  { file: 'src/app/round/a.ts', code: imports('./b.ts'), rule: 'lint/suspicious/noImportCycles' },
  {
    file: 'src/app/round/b.ts',
    code: "import { y } from './a.ts';\nexport const x = (): unknown => y;\n",
    rule: 'lint/suspicious/noImportCycles',
  },
];

interface Diagnostic {
  readonly category: string;
  readonly location: { readonly path: string | { readonly file: string } };
}

/** Rules that report each file of the copy, by path. */
function lint(): Map<string, string[]> {
  const biome = join(root, 'node_modules/@biomejs/biome/bin/biome');
  const run = spawnSync(process.execPath, [biome, 'lint', '--reporter=json', '--max-diagnostics=none', 'src'], {
    cwd: copy,
    encoding: 'utf8',
  });
  const { diagnostics } = JSON.parse(run.stdout) as { diagnostics: Diagnostic[] };
  const found = new Map<string, string[]>();
  for (const { category, location } of diagnostics) {
    const path = (typeof location.path === 'string' ? location.path : location.path.file).replaceAll('\\', '/');
    found.set(path, [...(found.get(path) ?? []), category]);
  }
  return found;
}

let found = new Map<string, string[]>();

beforeAll(() => {
  for (const { file, code } of planted) {
    mkdirSync(dirname(join(copy, file)), { recursive: true });
    writeFileSync(join(copy, file), code);
  }
  const config = JSON.parse(readFileSync(join(root, 'biome.json'), 'utf8'));
  delete config.$schema;
  // The copy is no git repository, and kernels are looked at too, as .ci/kernels.mjs does.
  writeFileSync(join(copy, 'biome.json'), JSON.stringify({ ...config, vcs: { enabled: false }, files: { includes: ['**'] } }));
  found = lint();
});

afterAll(() => rmSync(copy, { recursive: true, force: true }));

describe('direction of dependency', () => {
  it.each(planted.filter(({ rule }) => rule))('refuses $file', ({ file, rule }) => {
    expect(found.get(file) ?? []).toContain(rule);
  });

  it.each(planted.filter(({ rule }) => !rule))('allows $file', ({ file }) => {
    expect((found.get(file) ?? []).filter((rule) => rule.includes('Restricted'))).toEqual([]);
  });
});

describe('purity', () => {
  it('a page name in a pure folder does not compile', () => {
    for (const file of ['tsconfig.base.json', 'src/tsconfig.pure.json']) cpSync(join(root, file), join(copy, file));
    rmSync(join(copy, 'src'), { recursive: true });
    mkdirSync(join(copy, 'src/insight'), { recursive: true });
    cpSync(join(root, 'src/tsconfig.pure.json'), join(copy, 'src/tsconfig.pure.json'));
    const compile = () =>
      spawnSync(process.execPath, [join(root, 'node_modules/typescript/bin/tsc'), '-p', join(copy, 'src/tsconfig.pure.json')], {
        encoding: 'utf8',
      });
    writeFileSync(join(copy, 'src/insight/a.ts'), 'export const a = (): number => 1;\n');
    expect(compile().status).toBe(0);
    writeFileSync(join(copy, 'src/insight/a.ts'), 'export const a = (): string => document.title;\n');
    const run = compile();
    expect(run.status).not.toBe(0);
    expect(run.stdout).toContain('document');
  });

  /** No linter rule knows a member of a global, so the text is searched. */
  const chance = /\bMath\s*\.\s*random\b/;

  it('knows the call it looks for', () => expect(chance.test('const x = Math.random();')).toBe(true));

  it.each(['patch', 'blocks', 'engine', 'measure', 'insight', 'sheet'])('src/%s never asks for chance', (folder) => {
    const files = readdirSync(join(root, 'src', folder), { recursive: true, withFileTypes: true })
      .filter((entry) => entry.isFile() && entry.name.endsWith('.ts'))
      .map((entry) => join(entry.parentPath, entry.name));
    expect(files.filter((file) => chance.test(readFileSync(file, 'utf8'))).map((file) => relative(root, file))).toEqual([]);
  });
});
