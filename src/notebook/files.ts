/** Patch files into and out of the notebook. Each file comes in whole or not at all. */
import type { Catalogue } from '../patch/blockSpec.ts';
import type { Patch } from '../patch/document.ts';
import { readPatch } from '../patch/file/read.ts';
import { MAXIMUM_BYTES } from '../patch/limits.ts';
import type { Problem } from '../patch/problem.ts';

/** What is needed of a `File`. */
export interface PatchFile {
  readonly name: string;
  readonly size: number;
  arrayBuffer(): Promise<ArrayBuffer>;
}

export interface RefusedFile {
  readonly name: string;
  readonly problems: readonly Problem[];
}

export interface FilesRead {
  readonly patches: readonly Patch[];
  readonly refused: readonly RefusedFile[];
}

export async function readFiles(files: Iterable<PatchFile>, catalogue: Catalogue): Promise<FilesRead> {
  const patches: Patch[] = [];
  const refused: RefusedFile[] = [];
  for (const file of files) {
    const result = await readFile(file, catalogue);
    if ('patch' in result) patches.push(result.patch);
    else refused.push({ name: file.name, problems: result.problems });
  }
  return { patches, refused };
}

async function readFile(file: PatchFile, catalogue: Catalogue): Promise<ReturnType<typeof readPatch>> {
  // A film dropped by mistake is not read into memory first.
  if (file.size > MAXIMUM_BYTES) {
    const say = `A patch file has at most ${MAXIMUM_BYTES / 1e6} MB; this one has ${(file.size / 1e6).toFixed(1)} MB.`;
    return { problems: [{ path: '', rule: 'too-large', say }] };
  }
  try {
    return readPatch(new Uint8Array(await file.arrayBuffer()), catalogue);
  } catch {
    return { problems: [{ path: '', rule: 'not-a-patch', say: 'This file could not be read from the disk.' }] };
  }
}
