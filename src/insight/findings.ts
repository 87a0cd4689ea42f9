/** What the checks find in a patch as it is drawn. Every rule reads specs; none knows a type of block. */
import type { Catalogue } from '../patch/blockSpec.ts';
import type { Patch } from '../patch/document.ts';
import { drawingRules } from './checks/index.ts';
import { filledIn } from './checks/rule.ts';
import type { Finding, Severity } from './finding.ts';
import { distinct, whySilent } from './silence.ts';
import { wirePatch } from './wired.ts';

/**
 * All findings, errors first, then warnings and hints; within each in the order of the rules and of the blocks.
 * `missing` names sound files (by sha256) that are not there.
 */
export function findings(patch: Patch, catalogue: Catalogue, missing: ReadonlySet<string> = new Set()): Finding[] {
  const silent = whySilent(patch, catalogue);
  const drawing = { wired: wirePatch(patch, catalogue), catalogue, silent, missing };
  return worstFirst([...silent, ...drawingRules.flatMap((rule) => filledIn(rule, rule.check(drawing)))]);
}

/** Each rule once per place. */
export function worstFirst(found: readonly Finding[]): Finding[] {
  const rank: readonly Severity[] = ['error', 'warning', 'hint'];
  return distinct([...found].sort((a, b) => rank.indexOf(a.severity) - rank.indexOf(b.severity)));
}
