// @vitest-environment node
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { specs } from '../blocks/specs.gen.ts';
import { createCatalogue } from '../patch/blockSpec.ts';
import { writePatch } from '../patch/file/write.ts';
import { type PatchFile, readFiles } from './files.ts';

const catalogue = createCatalogue(specs);
const folder = join(import.meta.dirname, '../../tests/files/v1');

function file(name: string, content: string | Uint8Array<ArrayBuffer>): PatchFile {
  const blob = new Blob([content]);
  return { name, size: blob.size, arrayBuffer: () => blob.arrayBuffer() };
}
const stored = (name: string): PatchFile => file(name, new Uint8Array(readFileSync(join(folder, name))));

describe('importing files', () => {
  it('takes each file whole or not at all, and names the refused ones', async () => {
    const bad = readdirSync(join(folder, 'refused'))
      .filter((name) => name.endsWith('.patch.json'))
      .slice(0, 1)
      .map((name) => join('refused', name));
    const { patches, refused } = await readFiles(
      [stored('smallest.patch.json'), file('note.txt', 'tide tables'), ...bad.map(stored)],
      catalogue,
    );
    expect(patches).toHaveLength(1);
    expect(refused.map(({ name }) => name)).toEqual(['note.txt', ...bad]);
    for (const { problems } of refused) for (const { say } of problems) expect(say).toMatch(/^.+\.$/);
  });

  it('gives back what was exported', async () => {
    const { patches } = await readFiles([stored('every-field.patch.json')], catalogue);
    const again = await readFiles([file('again.patch.json', writePatch(patches[0]!))], catalogue);
    expect(again).toEqual({ patches, refused: [] });
  });

  it('does not read a huge file into memory', async () => {
    let asked = false;
    const film: PatchFile = {
      name: 'film.webm',
      size: 3e9,
      arrayBuffer: async () => {
        asked = true;
        return new ArrayBuffer(0);
      },
    };
    const { refused } = await readFiles([film], catalogue);
    expect(refused).toMatchObject([{ name: 'film.webm', problems: [{ rule: 'too-large', say: expect.stringContaining('3000.0 MB') }] }]);
    expect(asked).toBe(false);
  });

  it('says so when a file cannot be read', async () => {
    const gone: PatchFile = { name: 'gone.patch.json', size: 10, arrayBuffer: () => Promise.reject(new Error('moved')) };
    expect((await readFiles([gone], catalogue)).refused).toMatchObject([
      { problems: [{ say: expect.stringContaining('could not be read') }] },
    ]);
  });
});
