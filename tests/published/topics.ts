/** Everything that is held against the published record, in the order of the report. */
import type { Topic } from './check.ts';
import { alias } from './topics/alias.ts';
import { capacitors } from './topics/capacitors.ts';
import { chance } from './topics/chance.ts';
import { filters } from './topics/filters.ts';
import { fourier } from './topics/fourier.ts';
import { laws } from './topics/laws.ts';
import { loudness } from './topics/loudness.ts';
import { modulation } from './topics/modulation.ts';
import { noise } from './topics/noise.ts';
import { output } from './topics/output.ts';
import { rhythm } from './topics/rhythm.ts';
import { scales } from './topics/scales.ts';
import { space } from './topics/space.ts';
import { temperament } from './topics/temperament.ts';

export const topics: readonly Topic[] = [
  temperament,
  fourier,
  alias,
  modulation,
  filters,
  capacitors,
  laws,
  noise,
  chance,
  rhythm,
  scales,
  space,
  loudness,
  output,
];
