// @vitest-environment node
/** Demo patches are broken in many ways; the reason that is named has to be the one that was put in. */
import { describe, expect, it } from 'vitest';
import { specs } from '../../src/blocks/specs.gen.ts';
import { renderTake } from '../../src/engine/hosts/take.ts';
import { createHearing } from '../../src/insight/heard.ts';
import { SILENT_DB, silence } from '../../src/insight/silent/index.ts';
import { levelOf } from '../../src/insight/silent/scene.ts';
import { demoPatches } from '../../src/notebook/demo/index.ts';
import { createCatalogue } from '../../src/patch/blockSpec.ts';
import { checkPatch } from '../../src/patch/file/read.ts';
import { engineModule } from '../support/engine.ts';
import { uniform } from '../support/signals.ts';
import { type Broken, breakingKinds, breakPatch } from '../support/silencers.ts';

const catalogue = createCatalogue(specs);
const hearing = createHearing((each, options) => renderTake(engineModule(), specs, each, options), catalogue);
/** All demo patches sound within it. */
const SECONDS = 1;
/** Of each way to break them, so that the test stays short; which ones is drawn by lot from a fixed seed. */
const MOST_PER_KIND = 7;

/** Broken patches that are silent, a few of each kind. */
function silentOnes(): Broken[] {
  const lot = uniform(20);
  const all = demoPatches(catalogue).flatMap((patch) => breakPatch(patch, catalogue));
  return breakingKinds.flatMap((kind) => {
    const open = all
      .filter((broken) => broken.kind === kind)
      .map((broken) => [lot(), broken] as const)
      .sort((a, b) => a[0] - b[0]);
    const chosen: Broken[] = [];
    for (const [, broken] of open) {
      if (chosen.length === MOST_PER_KIND) break;
      if (levelOf(hearing, broken.patch, SECONDS) < SILENT_DB) chosen.push(broken);
    }
    return chosen;
  });
}

describe('why a broken patch is silent', () => {
  it('names what was broken, in at least 95 of 100 cases', { timeout: 240_000 }, () => {
    const cases = silentOnes();
    const misses: string[] = [];
    const kinds = new Map<string, number>();
    let triedWrongly = 0;
    for (const { kind, patch, reason, blocks } of cases) {
      expect(checkPatch(patch, catalogue), kind).toEqual([]);
      kinds.set(kind, (kinds.get(kind) ?? 0) + 1);
      const { silent, findings, tried } = silence(hearing, patch, { seconds: SECONDS });
      expect(silent).toBe(true);
      const [first] = findings;
      if ([reason].flat().includes(first?.id ?? '') && blocks.includes(first?.block ?? '')) continue;
      if (tried) triedWrongly++;
      misses.push(
        `${patch.title}, ${kind} (${reason} ${blocks.join('/')}): ${first?.id} ${first?.block}${tried ? ', tried' : ''}: ${first?.say}`,
      );
    }
    const right = cases.length - misses.length;
    const share = right / cases.length;
    console.log(
      `${right} of ${cases.length} named rightly (${(100 * share).toFixed(1)} %), ${kinds.size} ways to break a patch\n${misses.join('\n')}`,
    );
    console.log([...kinds].map(([kind, count]) => `${count} ${kind}`).join(', '), triedWrongly);
    expect(kinds.size).toBeGreaterThanOrEqual(20);
    expect(share).toBeGreaterThanOrEqual(0.95);
  });
});
