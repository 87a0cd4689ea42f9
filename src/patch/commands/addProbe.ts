import { changeBetween } from '../changeBetween.ts';
import type { Place } from '../document.ts';
import { samePlace } from '../document.ts';
import { blockLabel } from '../label.ts';
import { isRefusal, refuse } from '../refusal.ts';
import type { Command } from './command.ts';
import { findOutput, findPart } from './command.ts';

export interface AddProbe {
  /** An output. */
  readonly at: Place;
}

/** Clips a probe to an output. */
export const addProbe: Command<AddProbe> = (patch, catalogue, { at }) => {
  const output = findOutput(patch, catalogue, at);
  if (isRefusal(output)) return output;
  const part = findPart(patch, catalogue, at[0]);
  if (isRefusal(part)) return part;
  const name = `${blockLabel(part.block, part.spec)} ${output.title}`;
  const probes = patch.probes ?? [];
  if (probes.some((probe) => samePlace(probe.at, at))) return refuse('already-there', `There is already a probe on ${name}.`);
  return changeBetween(patch, { ...patch, probes: [...probes, { at: [at[0], at[1]] }] }, `Probe ${name}`);
};
