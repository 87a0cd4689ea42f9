import type { Finding } from '../finding.ts';

/** What is asked of an output: to be heard, to rise as a gate does, to go above or below 0 V, or to be anything but 0 V. */
export type Wish = 'sound' | 'rise' | 'up' | 'down' | 'any';

export interface Cause {
  readonly finding: Finding;
  /** Something does arrive at the place. */
  readonly arrives: boolean;
  /** Blocks between the place and the output. */
  readonly depth: number;
}
