// @vitest-environment node
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { parseJson } from './json.ts';

/** The language's own reader is the reference. */
function reference(text: string): unknown {
  try {
    return { value: JSON.parse(text) };
  } catch {
    return 'refused';
  }
}

function ours(text: string): unknown {
  const result = parseJson(text);
  return 'value' in result ? { value: result.value } : 'refused';
}

describe('parseJson', () => {
  it('reads any JSON as the language does, however it is spaced', () => {
    fc.assert(
      fc.property(fc.json({ maxDepth: 6 }), fc.nat(4), (text, indent) => {
        const spaced = JSON.stringify(JSON.parse(text), null, indent);
        expect(ours(spaced)).toEqual(reference(spaced));
      }),
    );
  });

  it('refuses any damaged JSON that the language refuses, and no other', () => {
    const piece = fc.constantFrom(
      '',
      '{',
      '}',
      '[',
      ']',
      '"',
      ',',
      ':',
      '0',
      '-',
      '.',
      'e1',
      '\\',
      '\\u00',
      'tru',
      'true',
      '\n',
      '\u0001',
      ' ',
      'x',
    );
    fc.assert(
      fc.property(fc.json({ maxDepth: 3 }), fc.nat(), fc.nat(3), piece, (text, place, length, put) => {
        const start = place % (text.length + 1);
        const damaged = text.slice(0, start) + put + text.slice(start + length);
        expect(ours(damaged)).toEqual(reference(damaged));
      }),
      { numRuns: 2000 },
    );
  });

  it('says where a text breaks off', () => {
    expect(parseJson('{\n  "title": "Ferry",\n  "seed": 1,,\n}')).toEqual({
      problems: [{ path: '', rule: 'bad-json', say: 'This is not JSON: the name of a field is missing at line 3, column 13.' }],
    });
    expect(parseJson('').problems[0]?.say).toBe('This is not JSON: it ends too early at line 1, column 1.');
    expect(parseJson('[1 2]').problems[0]?.say).toBe('This is not JSON: a comma or ] is missing at line 1, column 4.');
    expect(parseJson('"a\tb"').problems[0]?.say).toMatch(/must be escaped at line 1, column 3/);
  });

  it('refuses a field that is written twice, by its path', () => {
    expect(parseJson('{"blocks":[{"id":"a","id":"b"}]}').problems).toEqual([
      { path: 'blocks[0].id', rule: 'already-there', say: 'The field "id" is written twice; keep one.' },
    ]);
  });

  it('lets NaN and infinities through for the check by path, and knows numbers too large', () => {
    expect(ours('[NaN,Infinity,-Infinity,1e999]')).toEqual({ value: [Number.NaN, Infinity, -Infinity, Infinity] });
    expect(ours('[nan]')).toBe('refused');
  });

  it('keeps odd field names apart from the language, and stops at hostile depth', () => {
    const result = parseJson('{"__proto__": {"title": "x"}}');
    expect('value' in result && Object.entries(result.value ?? {})).toEqual([['__proto__', { title: 'x' }]]);
    expect(parseJson('['.repeat(100_000)).problems[0]?.say).toMatch(/nested deeper than 32 levels/);
  });
});
