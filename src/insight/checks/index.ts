/** All that is looked for in a patch, in the order in which it is told. */
import { gateRules } from './gateRules.ts';
import { levelRules } from './levelRules.ts';
import { partRules } from './partRules.ts';
import { pitchRules } from './pitchRules.ts';
import type { DrawingRule, Rule, TakeRule } from './rule.ts';
import { silentRules } from './silentRules.ts';
import { timeRules } from './timeRules.ts';
import { voltageRules } from './voltageRules.ts';

export const drawingRules: readonly DrawingRule[] = [...silentRules, ...partRules, ...timeRules];
export const takeRules: readonly TakeRule[] = [...levelRules, ...gateRules, ...voltageRules, ...pitchRules];
export const rules: readonly Rule[] = [...drawingRules, ...takeRules];

export function ruleOf(id: string): Rule | undefined {
  return rules.find((rule) => rule.id === id);
}
