// @vitest-environment node
import { describe, expect, it } from 'vitest';
import { whenText } from './when.ts';

describe('when something was', () => {
  const now = new Date(2026, 10, 25, 0, 30).getTime();
  it.each([
    [new Date(2026, 10, 25, 0, 29, 30), 'just now'],
    [new Date(2026, 10, 25, 0, 31), 'just now'],
    [new Date(2026, 10, 25, 0, 25), '5 minutes ago'],
    [new Date(2026, 10, 24, 23, 50), '40 minutes ago'],
    [new Date(2026, 10, 24, 23, 10), 'yesterday'],
    [new Date(2026, 10, 24, 1, 0), 'yesterday'],
    [new Date(2026, 10, 22, 12, 0), '3 days ago'],
    [new Date(2026, 2, 3), '3 March'],
    [new Date(2025, 10, 25), '25 November 2025'],
  ])('%s is "%s"', (time, text) => expect(whenText(time.getTime(), now)).toBe(text));

  it('counts hours within a day', () => {
    const evening = new Date(2026, 10, 25, 21, 0).getTime();
    expect(whenText(new Date(2026, 10, 25, 19, 50).getTime(), evening)).toBe('1 hour ago');
  });
});
