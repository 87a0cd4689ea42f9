/**
 * `npm test`: brings everything, then runs the tests in Node (Vitest) and, against the built page, in a real Chromium (Playwright).
 * `npm test -- src/measure` runs those Vitest tests alone, `npm test -- tests/e2e/page.e2e.ts` those Playwright ones.
 */
import { spawnSync } from 'node:child_process';
import { existsSync, mkdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { buildEngine, buildPage, checkNode, freePort, installPackages, needChromium, root } from './setup.mjs';

const reports = join(root, '.cache/test');
const passedOn = process.argv.slice(2);
const inBrowser = passedOn.length === 0 || passedOn.some((arg) => arg.includes('e2e'));
const inNode = passedOn.length === 0 || !inBrowser;

/** Runs a test program and reads the counts from the report it wrote. */
function test(title, args, report, counts, env = {}) {
  console.log(`\n${title}`);
  const { status } = spawnSync(process.execPath, args, {
    cwd: root,
    stdio: ['ignore', 'inherit', 'inherit'],
    env: { ...process.env, ...env },
  });
  const { passed, failed } = existsSync(report) ? counts(JSON.parse(readFileSync(report, 'utf8'))) : { passed: 0, failed: 0 };
  // A program that fails without a failed test (a file that does not load, a server that does not start) is one failure.
  return { passed, failed: status === 0 ? failed : Math.max(failed, 1) };
}

function unitTests() {
  const report = join(reports, 'vitest.json');
  const args = [
    'node_modules/vitest/vitest.mjs',
    'run',
    '--reporter=default',
    '--reporter=json',
    `--outputFile.json=${report}`,
    ...passedOn,
  ];
  return test('Tests in Node', args, report, (result) => {
    const unloaded = result.testResults.filter((file) => file.status === 'failed' && file.assertionResults.length === 0).length;
    return { passed: result.numPassedTests, failed: result.numFailedTests + unloaded };
  });
}

async function browserTests(chromium) {
  const report = join(reports, 'playwright.json');
  const port = await freePort(4300);
  const args = [
    'node_modules/@playwright/test/cli.js',
    'test',
    '--config',
    'tests/e2e/playwright.config.ts',
    '--reporter=list,json',
    ...passedOn,
  ];
  return test(
    `Tests in the browser (${chromium})`,
    args,
    report,
    ({ stats, errors }) => ({ passed: stats.expected, failed: stats.unexpected + stats.flaky + errors.length }),
    { CHROMIUM: chromium, E2E_PORT: String(port), PLAYWRIGHT_JSON_OUTPUT_FILE: report },
  );
}

checkNode();
installPackages();
rmSync(reports, { recursive: true, force: true });
mkdirSync(reports, { recursive: true });
const chromium = inBrowser ? needChromium() : '';
buildEngine();
if (inBrowser) buildPage();
const results = [];
if (inNode) results.push(unitTests());
if (inBrowser) results.push(await browserTests(chromium));
const sum = (key) => results.reduce((total, result) => total + result[key], 0);
const total = { passed: sum('passed'), failed: sum('failed') };
writeFileSync(join(reports, 'total.json'), JSON.stringify(total));
console.log(`\nIn all ${total.passed} tests passed and ${total.failed} failed.`);
process.exitCode = total.failed === 0 && total.passed > 0 ? 0 : 1;
