import type { Details } from '../change.ts';
import { changeBetween } from '../changeBetween.ts';
import type { Patch } from '../document.ts';
import { checkPatch } from '../file/read.ts';
import { refuse } from '../refusal.ts';
import type { Command } from './command.ts';

export interface SetDetails {
  /** Fields to write; undefined, '' and [] take a field out of the document. */
  readonly details: { readonly [Field in keyof Details]?: Details[Field] | undefined };
  /** Name of the undo step: "Edit notes". */
  readonly label?: string;
}

/** Writes fields of the patch besides blocks and cables: title, notes, score, seed... What the file would refuse is refused here. */
export const setDetails: Command<SetDetails> = (patch, catalogue, { details, label }) => {
  const fields: Record<string, unknown> = { ...patch };
  for (const [field, value] of Object.entries(details)) {
    if (value === undefined || value === '' || (Array.isArray(value) && value.length === 0)) delete fields[field];
    else fields[field] = value;
  }
  const after: Patch = { ...fields, blocks: patch.blocks, cables: patch.cables };
  const [problem] = checkPatch(after, catalogue);
  if (problem) return refuse(problem.rule, problem.say);
  return changeBetween(patch, after, label ?? `Edit ${Object.keys(details).join(', ')}`);
};
