/** Renders what an ear on a point of a patch hears, and the point itself in volts. */
import { specs } from '../../src/blocks/specs.gen.ts';
import { renderTake } from '../../src/engine/hosts/take.ts';
import { createCatalogue } from '../../src/patch/blockSpec.ts';
import type { Patch, Place } from '../../src/patch/document.ts';
import { earPatch } from '../../src/patch/ear.ts';
import { engineModule } from './engine.ts';

export function renderWith(patch: Patch, ear: Place, seconds: number, recorded: Place = ear) {
  const heard = earPatch(patch, createCatalogue(specs), ear);
  const { left, right, taps } = renderTake(engineModule(), specs, heard, { seconds, taps: [{ at: recorded }] });
  return { left, right, tap: taps[0] as Float32Array };
}
