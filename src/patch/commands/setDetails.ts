import type { Details } from '../change.ts';
import { changeBetween } from '../changeBetween.ts';
import type { Patch } from '../document.ts';
import type { Command } from './command.ts';

export interface SetDetails {
  /** Fields to write; undefined, '' and [] take a field out of the document. */
  readonly details: { readonly [Field in keyof Details]?: Details[Field] | undefined };
  /** Name of the undo step: "Edit notes". */
  readonly label?: string;
}

/** Writes fields of the patch besides blocks and cables: title, notes, score, seed... */
export const setDetails: Command<SetDetails> = (patch, _catalogue, { details, label }) => {
  const after: Record<string, unknown> = { ...patch };
  for (const [field, value] of Object.entries(details)) {
    if (value === undefined || value === '' || (Array.isArray(value) && value.length === 0)) delete after[field];
    else after[field] = value;
  }
  return changeBetween(patch, after as unknown as Patch, label ?? `Edit ${Object.keys(details).join(', ')}`);
};
