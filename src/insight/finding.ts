import type { Place, VariationChange } from '../patch/document.ts';

export type Severity = 'error' | 'warning' | 'hint';

/** An edit that mends what was found: plain data, made as one undo step by the command `mend`. */
export interface Fix {
  /** What the button says and the undo step is called: "Turn it up". */
  readonly label: string;
  readonly changes: readonly VariationChange[];
}

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
  /** Only where one edit is sure to be meant; else the sentence is all. */
  readonly fix?: Fix;
}
