// @vitest-environment node
/** Every published row against what the shipped engine does; figures of the same rows: `npm run report`. */
import { existsSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { specs } from '../../src/blocks/specs.gen.ts';
import { atLeast, atMost, isInside, outside, type Row } from './check.ts';
import { heldBy, ownTests } from './sources.ts';
import { topics } from './topics.ts';

const checks = topics.flatMap(({ checks }) => checks);

describe.each(topics.filter(({ checks }) => checks.length > 0).map((topic) => [topic.title, topic.checks] as const))(
  '%s',
  (_title, checks) => {
    it.each(checks.map((check) => [`${check.block}: ${check.title} (${check.source})`, check] as const))('%s', async (_name, check) => {
      expect(check.source).not.toBe('');
      expect(check.rows.length).toBeGreaterThan(0);
      const measured = await check.measure();
      expect(measured).toHaveLength(check.rows.length);
      expect(outside(check, measured)).toEqual([]);
    });
  },
);

describe('a row', () => {
  const row = (within: Row['within']): Row => ({ name: 'row', published: 10, within });

  it.each([
    ['a tolerance', 0.5, [9.5, 10, 10.5], [9.4, 10.6]],
    ['below and above', [0.4, 0.2], [9.6, 10.2], [9.5, 10.3]],
    ['an upper bound', atMost, [-1e9, 10], [10.001]],
    ['a lower bound', atLeast, [10, 1e9], [9.999]],
  ] as const)('with %s is met inside it and not outside, never by NaN', (_name, within, inside, not) => {
    for (const value of inside) expect(isInside(row(within), value), String(value)).toBe(true);
    for (const value of [...not, Number.NaN]) expect(isInside(row(within), value), String(value)).toBe(false);
  });

  it('that is not measured is not met', () => {
    expect(outside({ rows: [row(1), row(1)], unit: 'V' }, [10])).toEqual(['row: NaN V measured, 10 published']);
  });
});

describe('every block is held against something', () => {
  it.each(specs.map(({ type }) => type))('%s', (type) => {
    expect(heldBy(type, checks), `no published row for "${type}": add one to a topic, or its own test to sources.ts`).not.toEqual([]);
  });

  const own = Object.entries(ownTests)
    .filter(([type]) => specs.some((spec) => spec.type === type))
    .flatMap(([type, entries]) => entries.map((entry) => ({ type, ...entry })));

  it.each(own)("$type: its own test still says '$title'", ({ type, title }) => {
    const file = fileURLToPath(new URL(`../../src/blocks/${type}/${type}.test.ts`, import.meta.url));
    expect(existsSync(file)).toBe(true);
    expect(readFileSync(file, 'utf8')).toContain(title);
  });
});
