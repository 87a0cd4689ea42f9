/** A command or a reader that will not: which rule, and a plain sentence that says what is allowed. */

export type RuleId =
  | 'already-there'
  | 'bad-id'
  | 'bad-json'
  | 'cable-loose'
  | 'duplicate-id'
  | 'id-taken'
  | 'input-taken'
  | 'missing-field'
  | 'newer-version'
  | 'no-such-block'
  | 'no-such-cable'
  | 'no-such-port'
  | 'no-such-probe'
  | 'no-such-recording'
  | 'no-such-setting'
  | 'not-a-patch'
  | 'not-a-sound'
  | 'not-a-value'
  | 'not-usable-here'
  | 'nothing-chosen'
  | 'out-of-range'
  | 'too-large'
  | 'too-many'
  | 'unknown-field'
  | 'unknown-type'
  | 'wrong-type';

export interface Refusal {
  readonly refused: RuleId;
  /** A whole sentence for the screen. */
  readonly say: string;
}

export function refuse(refused: RuleId, say: string): Refusal {
  return { refused, say };
}

export function isRefusal(value: unknown): value is Refusal {
  return typeof value === 'object' && value !== null && 'refused' in value && 'say' in value;
}
