/** The patch document, version 1: an immutable value. The file format is described in `file/`. */
import type { SettingValue } from './blockSpec.ts';

export const FORMAT = 'signal-sketchbook/patch';
export const VERSION = 1;

/** [block id, port id] or [block id, setting id] */
export type Place = readonly [string, string];

export interface Block {
  readonly id: string;
  readonly type: string;
  readonly label?: string;
  /** Centre of the block on the sketch, in sketch units (1 unit = 1 px at zoom 1). */
  readonly at?: readonly [number, number];
  readonly settings?: Readonly<Record<string, SettingValue>>;
}

/** A cable has no id: its destination names it, as an input takes one cable. */
export interface Cable {
  readonly from: Place;
  readonly to: Place;
}

/** A note of the score. Times in seconds, velocity 0..1. */
export interface ScoreNote {
  readonly at: number;
  readonly note: number;
  readonly length: number;
  readonly velocity?: number;
}

/** A hand movement of one setting: [seconds, value] points, straight between them. */
export interface Move {
  readonly block: string;
  readonly setting: string;
  readonly points: readonly (readonly [number, number])[];
}

export interface Probe {
  readonly at: Place;
}

export type VariationChange =
  | { readonly set: Place; readonly value: SettingValue }
  | { readonly connect: Cable }
  | { readonly disconnect: Place }
  | { readonly add: Block }
  | { readonly remove: string };

export interface Variation {
  readonly id: string;
  readonly title: string;
  readonly changes: readonly VariationChange[];
}

export interface Stage {
  readonly title: string;
  readonly say?: string;
  readonly blocks?: readonly string[];
  readonly cables?: readonly Place[];
  readonly settings?: readonly (readonly [string, string, SettingValue])[];
  readonly listen?: number;
}

export interface Recording {
  readonly id: string;
  readonly name: string;
  readonly sha256: string;
  readonly seconds: number;
}

export interface Patch {
  readonly title?: string;
  readonly summary?: string;
  readonly notes?: string;
  readonly tags?: readonly string[];
  readonly seed?: number;
  readonly seconds?: number;
  readonly blocks: readonly Block[];
  readonly cables: readonly Cable[];
  readonly score?: readonly ScoreNote[];
  readonly moves?: readonly Move[];
  readonly probes?: readonly Probe[];
  readonly variations?: readonly Variation[];
  readonly stages?: readonly Stage[];
  readonly recordings?: readonly Recording[];
  readonly author?: string;
  readonly date?: string;
  readonly licence?: string;
  readonly basedOn?: string;
}

export const DEFAULT_SECONDS = 12;
export const DEFAULT_SEED = 1;

export const emptyPatch: Patch = { title: 'Untitled', blocks: [], cables: [] };

/** "block.port", the name of a place in messages, command lines and maps. */
export function placeName(place: Place): string {
  return `${place[0]}.${place[1]}`;
}

export function samePlace(a: Place, b: Place): boolean {
  return a[0] === b[0] && a[1] === b[1];
}
