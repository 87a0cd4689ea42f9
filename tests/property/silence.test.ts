// @vitest-environment node
/** Demo patches are broken in many ways; the reason that is named has to be the one that was put in. */
import { describe, expect, it } from 'vitest';
import { SILENT_DB, silence } from '../../src/insight/silent/index.ts';
import { levelOf } from '../../src/insight/silent/scene.ts';
import { demoPatches } from '../../src/notebook/demo/index.ts';
import { applyChange } from '../../src/patch/change.ts';
import { mend } from '../../src/patch/commands/index.ts';
import type { Patch } from '../../src/patch/document.ts';
import { checkPatch } from '../../src/patch/file/read.ts';
import { isRefusal } from '../../src/patch/refusal.ts';
import { drawn } from '../support/drawn.ts';
import { fullCatalogue as catalogue, hearing } from '../support/hearing.ts';
import { seededPatch } from '../support/seededPatch.ts';
import { uniform } from '../support/signals.ts';
import { type Broken, breakingKinds, breakPatch } from '../support/silencers.ts';

/** All demo patches sound within it. */
const SECONDS = 1;
/** Of each way to break them, so that the test stays short; which ones is drawn by lot from a fixed seed. */
const MOST_PER_KIND = 6;

const demos = demoPatches(catalogue);

/** What the demo patches lack: drums, rooms, echoes, plucks, ducking, rows of switches and logic. */
const others: readonly Patch[] = [
  drawn(
    ['clk clock', 'row euclidean', 'drum drum', 'pan pan', 'desk stereoMixer', 'room reverb', 'out1 output'],
    [
      'clk.sixteenth row.clock',
      'row.trigger drum.trigger',
      'drum.out pan.in',
      'pan.left desk.in1',
      'desk.left room.left',
      'desk.right room.right',
      'room.left out1.left',
      'room.right out1.right',
    ],
    { drum: { tune: 150 } },
    { title: 'Drums' },
  ),
  drawn(
    [
      'clk clock',
      'div divider',
      'sea noise',
      'hold sampleHold',
      'tune quantizer',
      'osc oscillator',
      'lpg lowpassGate',
      'echo delay',
      'out1 output',
    ],
    [
      'clk.beat hold.trigger',
      'sea.white hold.in',
      'hold.out tune.pitch',
      'tune.pitch osc.pitch',
      'osc.triangle lpg.in',
      'clk.beat div.clock',
      'div.by2 lpg.strike',
      'lpg.out echo.in',
      'echo.out out1.left',
    ],
    {},
    { title: 'Plucks' },
  ),
  drawn(
    [
      'lfo lfo',
      'cmp comparator',
      'env contour',
      'one oscillator',
      'two oscillator',
      'ring ringmod',
      'amp vca',
      'fol follower',
      'duck vca',
      'sea noise',
      'mix mixer',
      'out1 output',
    ],
    [
      'lfo.triangle cmp.in',
      'cmp.gate env.gate',
      'one.sine ring.x',
      'two.sine ring.y',
      'ring.out amp.in',
      'env.contour amp.cv',
      'amp.out fol.in',
      'fol.out duck.cv',
      'sea.pink duck.in',
      'duck.out mix.in2',
      'mix.sum out1.left',
    ],
    { lfo: { rate: 3 } },
    { title: 'Ducking' },
  ),
  drawn(
    [
      'clk clock',
      'seq sequencer',
      'flip latch',
      'log logic',
      'late gateDelay',
      'env contour',
      'osc oscillator',
      'sel select',
      'fade crossfade',
      'sat saturator',
      'fold wavefolder',
      'amp vca',
      'out1 output',
    ],
    [
      'clk.sixteenth seq.clock',
      'seq.gate flip.toggle',
      'flip.on log.a',
      'clk.sixteenth log.b',
      'log.and late.in',
      'late.out env.gate',
      'osc.saw sel.in2',
      'sel.out fade.b',
      'fade.out sat.in',
      'sat.out fold.in',
      'fold.out amp.in',
      'env.contour amp.cv',
      'amp.out out1.left',
    ],
    { sel: { position: 2 }, fade: { position: 1 } },
    { title: 'Logic' },
  ),
];

/** Broken patches that are silent, a few of each kind. */
function silentOnes(patches: readonly Patch[], most: number): Broken[] {
  const lot = uniform(20);
  const all = patches.flatMap((patch) => breakPatch(patch, catalogue));
  return breakingKinds.flatMap((kind) => {
    const open = all
      .filter((broken) => broken.kind === kind)
      .map((broken) => [lot(), broken] as const)
      .sort((a, b) => a[0] - b[0]);
    const chosen: Broken[] = [];
    for (const [, broken] of open) {
      if (chosen.length === most) break;
      if (levelOf(hearing, broken.patch, SECONDS) < SILENT_DB) chosen.push(broken);
    }
    return chosen;
  });
}

function mended(patch: Patch, findings: ReturnType<typeof silence>['findings']): Patch {
  return findings.reduce((each, { fix }) => {
    const outcome = fix && mend(each, catalogue, fix);
    if (!outcome || isRefusal(outcome)) throw new Error('no edit, or one that cannot be made');
    return applyChange(each, outcome);
  }, patch);
}

describe('why a patch is silent', () => {
  it.each([
    ['a demo patch', demos, MOST_PER_KIND],
    ['another patch', others, 2],
  ])('%s that is broken: what was broken is named, in at least 95 of 100 cases', { timeout: 300_000 }, (what, patches, most) => {
    const cases = silentOnes(patches, most);
    const misses: string[] = [];
    const kinds = new Map<string, number>();
    let mendedOnes = 0;
    for (const { kind, patch, reason, blocks } of cases) {
      expect(checkPatch(patch, catalogue), kind).toEqual([]);
      kinds.set(kind, (kinds.get(kind) ?? 0) + 1);
      const { silent, findings, tried } = silence(hearing, patch, { seconds: SECONDS });
      expect(silent).toBe(true);
      if (tried) mendedOnes++;
      const [first] = findings;
      if ([reason].flat().includes(first?.id ?? '') && blocks.includes(first?.block ?? '')) continue;
      misses.push(`${patch.title}, ${kind} (${reason} ${blocks.join('/')}): ${first?.id} ${first?.block}: ${first?.say}`);
    }
    const right = cases.length - misses.length;
    const share = right / cases.length;
    const counts = [...kinds].map(([kind, count]) => `${count} ${kind}`).join(', ');
    console.log(
      `${what}: ${right} of ${cases.length} named rightly (${(100 * share).toFixed(1)} %), ${kinds.size} ways to break a patch, ${mendedOnes} mended on trial`,
    );
    console.log([counts, ...misses].join('\n'));
    expect(cases.length).toBeGreaterThan(30 * most);
    expect(kinds.size).toBeGreaterThanOrEqual(20);
    expect(share).toBeGreaterThanOrEqual(0.95);
  });

  it('a patch as it is: it is not called silent', { timeout: 60_000 }, () => {
    for (const patch of [...demos, ...others])
      expect(silence(hearing, patch, { seconds: SECONDS }), patch.title).toMatchObject({ silent: false, findings: [] });
  });

  it('a demo patch that is broken twice: the edits that were tried do bring sound', { timeout: 200_000 }, () => {
    const lot = uniform(7);
    const pick = <T>(list: readonly T[]): T => list[Math.floor(lot() * list.length)] as T;
    const counts = { silent: 0, tried: 0, two: 0, named: 0 };
    for (let i = 0; i < 40; i++) {
      const one = pick(breakPatch(pick(demos), catalogue));
      // other names for what was put in, as the second break brings its own
      const renamed: Patch = JSON.parse(JSON.stringify(one.patch).replaceAll('"new', '"first'));
      const two = pick(breakPatch(renamed, catalogue));
      const { silent, findings, tried } = silence(hearing, two.patch, { seconds: SECONDS });
      if (!silent) continue;
      counts.silent++;
      const broken = [...one.blocks.map((id) => id.replace(/^new/, 'first')), ...two.blocks];
      if (broken.includes(findings[0]?.block ?? '')) counts.named++;
      if (!tried) continue;
      counts.tried++;
      if (findings.length > 1) counts.two++;
      expect(levelOf(hearing, mended(two.patch, findings), SECONDS), `${one.kind}, ${two.kind}`).toBeGreaterThanOrEqual(SILENT_DB);
    }
    console.log(`broken twice: ${JSON.stringify(counts)}`);
    expect(counts.two).toBeGreaterThan(0);
    expect(counts.named).toBeGreaterThanOrEqual(0.95 * counts.silent);
  });

  it('any patch at all: it names blocks and places that are there, and where it knows nothing, it says so', {
    timeout: 120_000,
  }, () => {
    let silentOnes = 0;
    let unknown = 0;
    for (let seed = 1; seed <= 60; seed++) {
      const patch = seededPatch(seed, 6);
      const answer = silence(hearing, patch, { seconds: 0.25 });
      expect(structuredClone(answer)).toEqual(answer);
      expect(answer.silent).toBe(levelOf(hearing, patch, 0.25) < SILENT_DB);
      if (!answer.silent) continue;
      silentOnes++;
      expect(answer.findings.length, `seed ${seed}`).toBeGreaterThan(0);
      for (const { id, block, place, say } of answer.findings) {
        const spec = catalogue.get(patch.blocks.find((each) => each.id === block)?.type ?? '');
        expect(spec, say).toBeDefined();
        const ports = [...(spec?.inputs ?? []), ...(spec?.outputs ?? []), ...(spec?.settings ?? [])].map((port) => port.id);
        if (place) expect(ports).toContain(place[1]);
        expect(say).toMatch(/^[\p{L}"].*\.$/u);
        expect(say).not.toMatch(/undefined|NaN|Infinity|fed by ,/);
        if (id === 'unknown') unknown++;
        if (id === 'unknown') expect(say).toContain('cannot tell');
      }
      if (answer.tried) expect(levelOf(hearing, mended(patch, answer.findings), 0.25), `seed ${seed}`).toBeGreaterThanOrEqual(SILENT_DB);
    }
    console.log(`of 60 random patches ${silentOnes} are silent, ${unknown} of them not explained`);
    expect(silentOnes).toBeGreaterThan(10);
  });
});
