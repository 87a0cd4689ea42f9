// @vitest-environment node
import { describe, expect, it } from 'vitest';
import { engineModule } from '../../tests/support/engine.ts';
import { specs } from '../blocks/specs.gen.ts';
import { renderTake } from '../engine/hosts/take.ts';
import { demoPatches } from '../notebook/demo/index.ts';
import { createCatalogue } from '../patch/blockSpec.ts';
import { gateRuns } from './gates.ts';
import { onsetsOf } from './onsets.ts';

/** The gate that starts the notes of a demo patch: each of its rises should be heard as one. */
const gates = [
  ['Ferry lights', ['seq1', 'gate']],
  ['Walk along the quay', ['seq1', 'gate']],
  ["Pilot's tune", ['key1', 'gate']],
  ['Customs house bell', ['seq1', 'trigger']],
] as const;

describe('the notes that are counted in the sound', () => {
  const patches = demoPatches(createCatalogue(specs));
  it.each(gates)('of %s are as many as the rises of its gate', (title, at) => {
    const patch = patches.find((known) => known.title === title);
    expect(patch).toBeDefined();
    if (!patch) return;
    const { left, rate, taps } = renderTake(engineModule(), specs, patch, { seconds: 12, taps: [{ at }] });
    const rises = gateRuns(taps[0] as Float32Array).length;
    expect(rises).toBeGreaterThan(5);
    expect(onsetsOf(left, rate)).toHaveLength(rises);
  });
});
