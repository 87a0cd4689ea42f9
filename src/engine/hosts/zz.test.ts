// @vitest-environment node
import { readFileSync } from 'node:fs';
import { it } from 'vitest';
import { engineModule } from '../../../tests/support/engine.ts';
import { specs } from '../../blocks/specs.gen.ts';
import { manyVoices } from '../../cli/bench/patches.ts';
import type { Patch, Place } from '../../patch/document.ts';
import { placeName } from '../../patch/document.ts';
import { renderTake, TakeRenderer } from './take.ts';

const voice = JSON.parse(readFileSync('tests/bench/voice.patch.json', 'utf8')) as Patch;
for (const [name, extra] of [
  ['voices', 0],
  ['with 20 delays, 4 reverbs', 24],
] as const)
  it(name, () => {
    const base = manyVoices(voice, 300 - extra);
    const osc = base.blocks.find((b) => b.type === 'oscillator')!.id;
    const more = Array.from({ length: extra }, (_, i) => ({ id: `x${i}`, type: i < 20 ? 'delay' : 'reverb' }));
    const ins = (t: string) => specs.find((s) => s.type === t)!.inputs.find((i) => i.kind === 'audio')!.id;
    const outs = (t: string) => specs.find((s) => s.type === t)!.outputs[0]!.id;
    const patch: Patch = {
      ...base,
      blocks: [...base.blocks, ...more, { id: 'mm', type: 'output' }],
      cables: [
        ...base.cables,
        ...more.map((m) => ({ from: [osc, 'saw'] as Place, to: [m.id, ins(m.type)] as Place })),
        ...(extra ? [{ from: ['x0', outs('delay')] as Place, to: ['mm', 'left'] as Place }] : []),
      ],
    };
    const probes: Place[] = patch.cables.slice(0, 4).map((c) => c.from);
    const names = new Set(patch.cables.map((c) => placeName(c.from)));
    const taps = [...probes.map((at) => ({ at })), ...[...names].map((n) => ({ at: n.split('.') as unknown as Place, peaksOnly: true }))];
    const t0 = performance.now();
    renderTake(engineModule(), specs, patch, { seconds: 5, taps });
    const t1 = performance.now();
    console.log(name, 'blocks', patch.blocks.length, 'taps', taps.length, 'plain realtime', 5000 / (t1 - t0));
    const r = new TakeRenderer(engineModule(), specs, patch, { seconds: 60, taps, snapshotBytes: 48e6, window: { from: 0, frames: 0 } });
    const t2 = performance.now();
    r.advance(Infinity);
    const t3 = performance.now();
    const kept = r.kept!;
    console.log(
      '60 s in',
      (t3 - t2) / 1000,
      's; realtime',
      60000 / (t3 - t2),
      'snapshots',
      kept.snapshots,
      'engine MB',
      kept.engineBytes / 1e6,
      'all',
      kept.bytes / 1e6,
    );
    for (const from of [40.3, 40.35, 12.9, 12.7, 55.001, 55.3, 31.49]) {
      for (const n of [20, 48000]) {
        const a = performance.now();
        const w = kept.window(Math.round(from * 48000), n, probes.slice(0, 4));
        w.advance(Infinity);
        console.log('window', from, n, (performance.now() - a).toFixed(1), 'ms');
      }
    }
  }, 200000);
