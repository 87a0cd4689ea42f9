// @vitest-environment node
/** The page of the report, made of a few quick topics. */
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest';
import { specs } from '../../../src/blocks/specs.gen.ts';
import { topics } from '../topics.ts';
import { figuresOf, type Measured } from './figure.ts';
import { pageOf } from './page.ts';
import { report } from './report.ts';
import { deviationScale, linearScale, logScale, written } from './scale.ts';

const folder = mkdtempSync(join(tmpdir(), 'sketchbook-report-'));
let page = '';

/** What stands between each opening and closing tag of a name. */
const inside = (html: string, tag: string, attributes = ''): string[] =>
  [...html.matchAll(new RegExp(`<${tag}\\b${attributes}[^>]*>(.*?)</${tag}>`, 'gs'))].map((found) => found[1] ?? '');

beforeAll(async () => {
  vi.spyOn(console, 'log').mockImplementation(() => undefined);
  vi.spyOn(console, 'error').mockImplementation(() => undefined);
  const out = join(folder, 'deep/page.html');
  expect(await report(['--only', 'fourier,laws', '--out', out])).toBe(0);
  page = readFileSync(out, 'utf8');
});

afterAll(() => rmSync(folder, { recursive: true, force: true }));

describe('the page', () => {
  it('has the topics asked for, each with figures and a table of its checks', () => {
    expect([...page.matchAll(/<section id="(\w+)"/g)].map((found) => found[1])).toEqual(['fourier', 'laws', 'blocks']);
    for (const id of ['fourier', 'laws']) {
      const section = inside(page, 'section', ` id="${id}"`)[0] ?? '';
      expect(section.match(/<svg [^>]*role="img"/g)?.length).toBeGreaterThan(1);
      const rows = inside(inside(section, 'table', ' class="checks"')[0] ?? '', 'tr');
      expect(rows).toHaveLength(1 + topics.find((topic) => topic.id === id)!.checks.length);
    }
  });

  it('names for every figure what it shows, its source and the command that made it', () => {
    for (const id of ['fourier', 'laws']) {
      for (const figure of inside(inside(page, 'section', ` id="${id}"`)[0] ?? '', 'figure', '(?! class="rows")')) {
        const [title = ''] = inside(figure, 'h3');
        expect(title).not.toBe('');
        expect(figure).toContain(`aria-label="${title}"`);
        expect(inside(figure, 'p', ' class="source"')[0]).toMatch(/\w{4}/);
        expect(inside(figure, 'code')).toEqual([`npm run report -- --only ${id}`]);
      }
    }
  });

  it('is whole by itself: nothing is loaded, no script runs', () => {
    expect(page).not.toMatch(/<(script|link|img|iframe|object)\b|\bsrc=|url\((?!#)|https?:/);
    expect([...page.matchAll(/href="(.)/g)].every((found) => found[1] === '#')).toBe(true);
  });

  it('draws numbers only', () => {
    expect(page).not.toMatch(/NaN|undefined|Infinity|\[object/);
    for (const [, path] of page.matchAll(/ d="([^"]*)"/g)) expect(path).toMatch(/^([MLHVZa][-\d. ]*)*$/);
  });

  it('says that all is well, and lists every block of the catalogue', () => {
    expect(inside(page, 'p', ' class="verdict"')[0]).toMatch(/^All [\d,]+ published rows lie inside/);
    for (const { type } of specs) expect(page).toContain(`<code>${type}</code>`);
  });

  it('cannot hide a row that is missed', async () => {
    const topic = topics.find(({ id }) => id === 'laws')!;
    const measured: Measured[] = [];
    for (const check of topic.checks) measured.push({ check, values: await check.measure() });
    const [first, ...others] = measured as [Measured, ...Measured[]];
    const wrong = { ...first, values: first.values.map((value, i) => (i === 1 ? value + 1 : value)) };
    const all = [wrong, ...others];
    const made = { bytes: 1, hash: '', node: '', date: '', seconds: 1 };
    const bad = pageOf([{ topic, measured: all, figures: await figuresOf(all) }], made);
    expect(inside(bad, 'p', ' class="verdict missed"')[0]).toMatch(/^Outside their tolerance: 1 of \d+ rows/);
    expect(bad.match(/<tr class="missed"/g)).toHaveLength(1);
  });
});

it('an unknown topic or option is refused', async () => {
  vi.spyOn(console, 'error').mockImplementation(() => undefined);
  expect(await report(['--only', 'tea'])).toBe(2);
  expect(await report(['--tea'])).toBe(2);
});

describe('scales', () => {
  it.each([
    [0, '0'],
    [1244.51, '1245'],
    [-23.0139, '\u221223'],
    [0.0123, '0.0123'],
    [-0.00004, '\u22124\u2009\u00d7\u200910\u207b\u2075'],
    [Number.NaN, 'none'],
  ])('%f is written %s', (value, text) => expect(written(value)).toBe(text));

  it('linear ones name round values, logarithmic ones digits of every decade', () => {
    expect(linearScale(-160, 0, 4).ticks).toEqual([-150, -100, -50, 0]);
    expect(logScale(20, 20000).ticks).toEqual([20, 50, 100, 200, 500, 1000, 2000, 5000, 10000, 20000]);
    expect(logScale(20, 20000).at(Math.sqrt(20 * 20000))).toBeCloseTo(0.5, 12);
    expect(logScale(20, 20000).write(16000)).toBe('16k');
  });

  it.each([
    [0.02, ['\u22120.01', '0', '0.01'], ''],
    [6e-5, ['\u221250', '0', '50'], '10\u207b\u2076'],
    [0.3, ['\u22120.2', '0', '0.2'], ''],
  ])('of deviations up to %f name three values and their power of ten', (reach, names, power) => {
    const found = deviationScale(reach);
    expect(found.scale.ticks.map((tick) => found.scale.write(tick))).toEqual(names);
    expect(found.power).toBe(power);
  });
});
