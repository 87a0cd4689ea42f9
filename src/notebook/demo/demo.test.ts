// @vitest-environment node
import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { engineModule } from '../../../tests/support/engine.ts';
import { specs } from '../../blocks/specs.gen.ts';
import { symbols } from '../../blocks/symbols.gen.ts';
import { renderTake } from '../../engine/hosts/take.ts';
import { findings } from '../../insight/findings.ts';
import { integratedLoudness } from '../../measure/loudness.ts';
import { truePeakOf } from '../../measure/truePeak.ts';
import { createCatalogue } from '../../patch/blockSpec.ts';
import { DEFAULT_SECONDS, type Patch } from '../../patch/document.ts';
import { readPatch } from '../../patch/file/read.ts';
import { writePatch } from '../../patch/file/write.ts';
import { faceOf } from '../../sheet/drawing/face.ts';
import { GRID, patchGeometry, type Rect } from '../../sheet/drawing/geometry.ts';
import { demoPatches } from './index.ts';

const catalogue = createCatalogue(specs);
const demos = demoPatches(catalogue);
const named = demos.map((patch) => [patch.title ?? '', patch] as const);

const overlap = (a: Rect, b: Rect): boolean => a.x < b.x + b.width && b.x < a.x + a.width && a.y < b.y + b.height && b.y < a.y + a.height;

function geometryOf(patch: Patch) {
  return patchGeometry(patch.blocks, (block) => {
    const spec = catalogue.get(block.type);
    const symbol = symbols[block.type];
    return spec && symbol ? { spec, symbol, face: faceOf(block, spec) } : undefined;
  });
}

describe('the demo notebook', () => {
  it('holds six patches, the ferry first, and no file beside them', () => {
    expect(demos.map(({ title }) => title)).toEqual([
      'Ferry lights',
      'Walk along the quay',
      "Pilot's tune",
      'Customs house bell',
      'Buoys',
      'Surf under the window',
    ]);
    expect(readdirSync(import.meta.dirname).filter((name) => name.endsWith('.patch.json')).length).toBe(6);
  });

  it('shows every function that sounds, shapes, filters, moves or keeps time', () => {
    const used = new Set(demos.flatMap((patch) => patch.blocks.map(({ type }) => type)));
    const first = [
      'oscillator',
      'noise',
      'vca',
      'mixer',
      'attenuverter',
      'filter',
      'ladder',
      'lfo',
      'contour',
      'clock',
      'divider',
      'sequencer',
    ];
    expect([...first, 'sampleHold', 'keys', 'output'].filter((type) => !used.has(type))).toEqual([]);
  });

  it('is kept as the program itself would write it', () => {
    for (const name of readdirSync(import.meta.dirname).filter((each) => each.endsWith('.patch.json'))) {
      const source = readFileSync(new URL(name, import.meta.url), 'utf8');
      const result = readPatch(source, catalogue);
      if (!('patch' in result)) throw new Error(`${name}: ${JSON.stringify(result.problems)}`);
      expect(writePatch(result.patch)).toBe(source);
    }
  });
});

describe.each(named)('%s', (_title, patch) => {
  it('is written up: title, summary, notes with what to listen for and what to try, labels, probes, tags', () => {
    expect(patch.summary?.length).toBeGreaterThan(40);
    expect(patch.notes).toMatch(/## Listen for\n/);
    expect(patch.notes).toMatch(/## Try\n/);
    expect(patch.blocks.every(({ label }) => label && label.length > 1)).toBe(true);
    expect(patch.probes?.length).toBeGreaterThan(1);
    expect(patch.tags?.length).toBeGreaterThan(1);
  });

  it('has nothing to be found fault with', () => {
    expect(findings(patch, catalogue)).toEqual([]);
  });

  it('is laid out on the grid without overlaps', () => {
    const blocks = [...geometryOf(patch).values()];
    expect(blocks.length).toBe(patch.blocks.length);
    for (const { at } of patch.blocks) expect(at?.every((value) => value % GRID === 0)).toBe(true);
    const rects = blocks.map(({ box, label }) => [box, label]);
    const clashes = rects.flatMap((a, i) =>
      rects.slice(i + 1).flatMap((b) => a.flatMap((one) => b.filter((other) => overlap(one, other)))),
    );
    expect(clashes).toEqual([]);
  });

  it('runs from left to right: cables of sound never lead back', () => {
    const at = new Map(patch.blocks.map((block) => [block.id, block.at?.[0] ?? 0]));
    const back = patch.cables.filter(({ from, to }) => {
      const target = catalogue.get(patch.blocks.find(({ id }) => id === to[0])?.type ?? '');
      const enters = target?.inputs.find(({ id }) => id === to[1]);
      return enters?.kind === 'audio' && enters.edge !== 'bottom' && (at.get(from[0]) ?? 0) >= (at.get(to[0]) ?? 0);
    });
    expect(back).toEqual([]);
  });

  it('sounds at a good level and leaves the ceiling alone', () => {
    const { left, right } = renderTake(engineModule(), specs, patch, { seconds: patch.seconds ?? DEFAULT_SECONDS });
    const loudness = integratedLoudness([left, right], 48000);
    expect(loudness).toBeGreaterThan(-20);
    expect(loudness).toBeLessThan(-14);
    // The ceiling stands at -1 dBTP; what stays this far below never touched it.
    expect(20 * Math.log10(Math.max(truePeakOf(left), truePeakOf(right)))).toBeLessThan(-1.5);
  });
});
