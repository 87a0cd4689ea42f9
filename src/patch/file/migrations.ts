/**
 * From older versions of the file to the present one. Each migration is a pure function from the JSON of version
 * `to - 1` to that of version `to`, numbered without gaps, in a file of its own with a stored example of the old form.
 */
import { childPath, type Problem, shown } from '../problem.ts';
import type { Json, JsonObject } from './json.ts';

export interface Migration {
  readonly to: number;
  /** What changed, in one sentence. */
  readonly say: string;
  readonly migrate: (document: JsonObject) => JsonObject;
}

/** Version 1 is the first, so there is nothing older to read. */
export const migrations: readonly Migration[] = [];

/** Brings a document to version `present`; its `version` says where it starts. */
export function migrateDocument(
  document: JsonObject,
  steps: readonly Migration[],
  present: number,
): { readonly document: JsonObject } | { readonly problem: Problem } {
  const version: Json | undefined = document.version;
  const path = childPath('', 'version');
  if (version === undefined) return { problem: { path, rule: 'missing-field', say: 'A patch needs the field "version".' } };
  if (typeof version !== 'number' || !Number.isInteger(version) || version < 1) {
    return { problem: { path, rule: 'wrong-type', say: `The version is a whole number up to ${present}, not ${shown(version)}.` } };
  }
  if (version > present) {
    return {
      problem: {
        path,
        rule: 'newer-version',
        say: `This patch was made by a newer version: its form is number ${version}, and this one reads up to ${present}.`,
      },
    };
  }
  let migrated = document;
  for (let to = version + 1; to <= present; to++) {
    const step = steps.find((candidate) => candidate.to === to);
    if (!step) throw new Error(`There is no migration to version ${to}.`);
    migrated = { ...step.migrate(migrated), version: to };
  }
  return { document: migrated };
}
