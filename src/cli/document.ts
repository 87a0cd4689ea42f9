/** Patch documents from files and standard input. */
import { readFileSync } from 'node:fs';
import { specs } from '../blocks/specs.gen.ts';
import { createCatalogue } from '../patch/blockSpec.ts';
import type { Patch } from '../patch/document.ts';
import { readPatch } from '../patch/file/read.ts';
import { type Terminal, WrongUsage } from './verb.ts';

export const catalogue = createCatalogue(specs);

/** The bytes of a file; `-` is standard input. */
function bytesOf(file: string): Uint8Array {
  try {
    return readFileSync(file === '-' ? 0 : file);
  } catch (fault) {
    throw new WrongUsage(`${file} cannot be read (${(fault as NodeJS.ErrnoException).code ?? 'unknown reason'})`);
  }
}

/** The name of a file in messages. */
export function nameOf(file: string): string {
  return file === '-' ? 'standard input' : file;
}

/** The patch; undefined where the document is refused, with one line for each reason written. */
export function readDocument(file: string, terminal: Terminal): Patch | undefined {
  const result = readPatch(bytesOf(file), catalogue);
  if ('patch' in result) return result.patch;
  for (const { path, say } of result.problems) terminal.err(`${nameOf(file)}: ${path === '' ? '' : `${path}: `}${say}`);
  return undefined;
}

/** Several patches; refused ones are undefined. Standard input can be read only once. */
export function readDocuments(
  files: readonly string[],
  terminal: Terminal,
): readonly { readonly file: string; readonly patch: Patch | undefined }[] {
  if (files.filter((file) => file === '-').length > 1) throw new WrongUsage('standard input can be read only once');
  return files.map((file) => ({ file, patch: readDocument(file, terminal) }));
}
