/** What the checks find in a take of a patch. */
import type { Patch } from '../patch/document.ts';
import { type HeardPatch, hearPatch } from './checks/heardPatch.ts';
import { takeRules } from './checks/index.ts';
import { filledIn } from './checks/rule.ts';
import type { Finding } from './finding.ts';
import { worstFirst } from './findings.ts';
import type { Hearing, HearOptions } from './heard.ts';

/** One rendering that all rules look at. Throws where the patch does not fit the engine. */
export function hearForChecks(hearing: Hearing, patch: Patch, options: Pick<HearOptions, 'seconds' | 'rate' | 'quality'> = {}): HeardPatch {
  return hearPatch(hearing, patch, options, (wired) => takeRules.flatMap((rule) => rule.wants?.(wired) ?? []));
}

export function takeFindings(take: HeardPatch): Finding[] {
  return worstFirst(takeRules.flatMap((rule) => filledIn(rule, rule.check(take))));
}
