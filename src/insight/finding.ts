import type { Place } from '../patch/document.ts';

export type Severity = 'error' | 'warning' | 'hint';

/** What a check found in a patch: one sentence that says what is the matter and what to change. */
export interface Finding {
  /** Name of the rule. */
  readonly id: string;
  readonly severity: Severity;
  /** Id of the block it is about. */
  readonly block?: string;
  /** The port or setting of that block. */
  readonly place?: Place;
  readonly say: string;
}
