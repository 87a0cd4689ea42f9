/** What a check is: one thing that is looked for in a patch, as data and a pure function. */
import type { Catalogue } from '../../patch/blockSpec.ts';
import type { Place } from '../../patch/document.ts';
import type { Finding, Severity } from '../finding.ts';
import type { Wired } from '../wired.ts';
import type { HeardPatch } from './heardPatch.ts';

/** A patch as it is drawn. */
export interface Drawing {
  readonly wired: Wired;
  readonly catalogue: Catalogue;
  /** Why nothing can be heard, where that is so (see silence.ts). */
  readonly silent: readonly Finding[];
  /** Sound files, by sha256, that are not there. */
  readonly missing: ReadonlySet<string>;
}

/** A finding before the rule's id and, where none is given, its severity are filled in. */
export type Found = Omit<Finding, 'id' | 'severity'> & { readonly id?: string; readonly severity?: Severity };

interface RuleBase {
  /** Never changes: findings are silenced by it. */
  readonly id: string;
  readonly severity: Severity;
  /** One line: what is looked for, on which figure, and whether that is a rule of thumb. */
  readonly about: string;
  readonly howToFix: string;
}

/** Looked for as one draws. */
export interface DrawingRule extends RuleBase {
  readonly kind: 'drawing';
  readonly check: (drawing: Drawing) => readonly Found[];
}

/** Looked for in a take. */
export interface TakeRule extends RuleBase {
  readonly kind: 'take';
  readonly check: (take: HeardPatch) => readonly Found[];
  /** Outputs of which every frame is looked at; where memory is short some are missing, and then nothing is said of them. */
  readonly wants?: (wired: Wired) => readonly Place[];
}

export type Rule = DrawingRule | TakeRule;

export function filledIn(rule: Rule, found: readonly Found[]): Finding[] {
  return found.map((each) => ({ ...each, id: rule.id, severity: each.severity ?? rule.severity }));
}
