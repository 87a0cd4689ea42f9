// @vitest-environment node
import { describe, expect, it } from 'vitest';
import { type HeardTake, takeFindings } from './takeFindings.ts';

const still = (volts: number): Float32Array => new Float32Array(4800).fill(volts / 10);
const tone = Float32Array.from({ length: 4800 }, (_, i) => 0.5 * Math.sin((2 * Math.PI * 10 * i) / 4800));
const take: HeardTake = { left: tone, right: tone, seconds: 0.1, dcVolts: { left: 0, right: 0 }, faults: [], outlet: 'out' };
const ids = (changes: Partial<HeardTake>): string[] => takeFindings({ ...take, ...changes }).map(({ id, severity }) => `${id} ${severity}`);

describe('findings of a take', () => {
  it('a tone gives none', () => expect(ids({})).toEqual([]));

  it('a take without a sample is silent, but not where there is no output to hear', () => {
    const silence = { left: still(0), right: still(0) };
    expect(ids(silence)).toEqual(['silent-take warning']);
    expect(ids({ ...silence, outlet: undefined })).toEqual([]);
  });

  it('direct voltage that leaves the patch is a warning', () => {
    expect(ids({ left: still(3), dcVolts: { left: 3, right: 0 } })).toEqual(['direct-voltage warning']);
  });

  it('direct voltage that the dc block takes away is a hint, also where nothing else is heard', () => {
    expect(ids({ dcVolts: { left: 0, right: -3 } })).toEqual(['direct-voltage hint']);
    expect(ids({ left: still(0), right: still(0), dcVolts: { left: 3, right: 3 } })).toEqual(['direct-voltage hint']);
  });

  it('a small offset is not worth a word', () => expect(ids({ dcVolts: { left: 0.05, right: 0 } })).toEqual([]));

  it('a faulty block is an error and is named', () => {
    expect(takeFindings({ ...take, faults: ['flt1'] })).toMatchObject([{ id: 'fault', severity: 'error', block: 'flt1' }]);
  });
});
