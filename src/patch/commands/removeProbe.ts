import { changeBetween } from '../changeBetween.ts';
import type { Patch, Place } from '../document.ts';
import { placeName, samePlace } from '../document.ts';
import { refuse } from '../refusal.ts';
import type { Command } from './command.ts';

export interface RemoveProbe {
  readonly at: Place;
}

/** Takes the probe off an output. */
export const removeProbe: Command<RemoveProbe> = (patch, _catalogue, { at }) => {
  const { probes = [], ...rest } = patch;
  const kept = probes.filter((probe) => !samePlace(probe.at, at));
  if (kept.length === probes.length) return refuse('no-such-probe', `There is no probe on "${placeName(at)}".`);
  const after: Patch = kept.length ? { ...rest, probes: kept } : rest;
  return changeBetween(patch, after, 'Remove probe');
};
