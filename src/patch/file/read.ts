/**
 * Reading a patch file, in one line of steps: bytes -> text -> JSON -> version -> migrations -> strict check.
 * Nothing is guessed, repaired or half read: the result is a patch, or everything that is wrong with the file.
 */
import type { Catalogue } from '../blockSpec.ts';
import { FORMAT, type Patch, VERSION } from '../document.ts';
import { MAXIMUM_BYTES } from '../limits.ts';
import { type Problem, shown } from '../problem.ts';
import { type Json, type JsonObject, parseJson } from './json.ts';
import { type Migration, migrateDocument, migrations } from './migrations.ts';
import { checkReferences } from './references.ts';
import { patchShape } from './schema.ts';

/** Every host that reads files has it, though the language alone does not name it. */
declare const TextDecoder: new (encoding: string, options: { readonly fatal: boolean }) => { decode(bytes: Uint8Array): string };

export type ReadResult = { readonly patch: Patch } | { readonly problems: readonly Problem[] };

/** Problems listed at most; a last entry counts the rest. */
const MAXIMUM_PROBLEMS = 100;

/** A patch from a file's text or bytes (UTF-8), or every reason why not, each with path, rule and sentence. */
export function readPatch(source: string | Uint8Array, catalogue: Catalogue): ReadResult {
  return readVersion(source, catalogue, migrations, VERSION);
}

/** The same with other migrations, so that a test can prove that they run. */
export function readVersion(source: string | Uint8Array, catalogue: Catalogue, steps: readonly Migration[], version: number): ReadResult {
  const size = typeof source === 'string' ? utf8Length(source) : source.length;
  if (size > MAXIMUM_BYTES)
    return refused({ path: '', rule: 'too-large', say: `A patch file has at most 20 MB; this one has ${(size / 1e6).toFixed(1)} MB.` });
  const text = typeof source === 'string' ? source : decode(source);
  if (text === undefined) return refused({ path: '', rule: 'bad-json', say: 'This is not JSON: the bytes are not UTF-8 text.' });
  const json = parseJson(text.replace(/^\ufeff/, ''));
  if (!('value' in json)) return json;
  const document = json.value;
  if (!isObject(document) || document.format !== FORMAT) return refused(notAPatch(document));
  const migrated = migrateDocument(document, steps, version);
  if ('problem' in migrated) return refused(migrated.problem);
  // From here on the document has the present form, whatever number that is called in a test.
  return checkDocument({ ...migrated.document, version: VERSION }, catalogue, json.problems);
}

/** The strict check of a document's JSON in the present version, for readers that bring JSON of their own (links, the notebook). */
export function checkDocument(document: JsonObject, catalogue: Catalogue, before: readonly Problem[] = []): ReadResult {
  const problems = [...before, ...problemsOf(document, catalogue)];
  if (problems.length > 0) return { problems: capped(problems) };
  const { format: _format, version: _version, ...patch } = document;
  return { patch: patch as unknown as Patch };
}

/** What a file of this patch would be refused for; empty for every patch that came from a file or from commands. */
export function checkPatch(patch: Patch, catalogue: Catalogue): readonly Problem[] {
  return problemsOf({ format: FORMAT, version: VERSION, ...patch }, catalogue);
}

function problemsOf(document: Readonly<Record<string, unknown>>, catalogue: Catalogue): readonly Problem[] {
  const problems: Problem[] = [];
  patchShape(document, '', problems);
  return [...problems, ...checkReferences(document, catalogue, problems)];
}

const refused = (problem: Problem): ReadResult => ({ problems: [problem] });

function isObject(value: Json): value is JsonObject {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}

function notAPatch(document: Json): Problem {
  if (!isObject(document)) return { path: '', rule: 'not-a-patch', say: `A patch file holds an object, not ${shown(document)}.` };
  return {
    path: 'format',
    rule: 'not-a-patch',
    say: `This is no patch file: its "format" must be "${FORMAT}", not ${shown(document.format)}.`,
  };
}

function capped(problems: readonly Problem[]): readonly Problem[] {
  if (problems.length <= MAXIMUM_PROBLEMS) return problems;
  const rest = problems.length - MAXIMUM_PROBLEMS;
  return [
    ...problems.slice(0, MAXIMUM_PROBLEMS),
    { path: '', rule: 'too-many', say: `There are ${rest} more problems; mend these first.` },
  ];
}

function decode(bytes: Uint8Array): string | undefined {
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch {
    return undefined;
  }
}

/** Bytes of a text in UTF-8. */
function utf8Length(text: string): number {
  let bytes = text.length;
  // Two bytes from U+0080, three from U+0800; a surrogate pair (two units) makes four.
  for (let i = 0; i < text.length; i++) {
    const unit = text.charCodeAt(i);
    if (unit >= 0x80) bytes += unit >= 0x800 && (unit < 0xd800 || unit > 0xdfff) ? 2 : 1;
  }
  return bytes;
}
