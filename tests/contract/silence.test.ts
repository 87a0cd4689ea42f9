// @vitest-environment node
/** What specs say about what keeps sound and gates away is what the engine does, for every block. */
import { describe, expect, it } from 'vitest';
import { specs } from '../../src/blocks/specs.gen.ts';
import type { Figures } from '../../src/insight/tally.ts';
import { Ear } from '../../src/measure/ear.ts';
import { FULL_SCALE_VOLTS } from '../../src/measure/levels.ts';
import type { BlockSpec, SettingValue } from '../../src/patch/blockSpec.ts';
import type { Block, Cable, Patch } from '../../src/patch/document.ts';
import { findSetting, listValue } from '../../src/patch/settings.ts';
import { hearing } from '../support/hearing.ts';

const all: readonly BlockSpec[] = specs;

interface Tried {
  readonly figures: Figures;
  readonly level: number;
}

/** One output of a block between a horn of 220 Hz at `loud` times 5 V, a beat of 20 Hz and a slope of 20 Hz from -5 to 5 V. */
function run(
  spec: BlockSpec,
  settings: Readonly<Record<string, SettingValue>>,
  inputs: readonly string[],
  output: string,
  loud = 1,
): Tried {
  const blocks: Block[] = [
    { id: 'horn', type: 'oscillator', settings: { tune: 220 } },
    { id: 'less', type: 'attenuverter', settings: { gain: loud } },
    { id: 'beat', type: 'lfo', settings: { rate: 20 } },
    { id: 'block', type: spec.type, settings },
  ];
  const cables = inputs.map((id): Cable => {
    const kind = spec.inputs.find((input) => input.id === id)?.kind;
    return { from: kind === 'audio' ? ['less', 'out'] : ['beat', kind === 'gate' ? 'square' : 'triangle'], to: ['block', id] };
  });
  const ear = new Ear(48000, FULL_SCALE_VOLTS);
  const patch: Patch = { blocks, cables: [{ from: ['horn', 'saw'], to: ['less', 'in'] }, ...cables], seed: 3 };
  const heard = hearing.hear(patch, { seconds: 1, ears: ([id, port]) => (id === 'block' && port === output ? ear : undefined) });
  return { figures: heard.outputs.get(`block.${output}`) as Figures, level: ear.level };
}

const gatesOf = (spec: BlockSpec, without: readonly string[] = []): string[] =>
  spec.inputs.filter(({ id, kind, acts }) => kind === 'gate' && acts !== 'reset' && !without.includes(id)).map(({ id }) => id);
const isStill = ({ figures }: Tried): boolean => figures.rises === 0 && Math.max(-figures.least, figures.most) < 1e-6;

const mutes = all.flatMap((spec) => (spec.mutes ?? []).map((mute) => ({ spec, mute, title: `${spec.title} ${mute.say}` })));
const flows = all.flatMap((spec) => (spec.flows ?? []).map((flow) => ({ spec, flow, title: `${spec.title}, ${flow.to.join('/')}` })));

describe('settings that mute', () => {
  it('are said of some blocks', () => expect(mutes.length).toBeGreaterThan(4));

  it.each(mutes)('$title', ({ spec, mute }) => {
    const gates = gatesOf(spec, mute.unlessPatched);
    const sets: Record<string, SettingValue>[] = mute.noneOf
      ? mute.noneOf.fields.map((field) => {
          const list = findSetting(spec, mute.noneOf?.list ?? '');
          if (list?.type !== 'list') throw new Error('no list');
          const off = list.fields.find(({ id }) => id === field)?.type === 'switch' ? false : 0;
          return {
            [list.id]: listValue(
              list,
              Array.from({ length: list.maximumLength }, () => ({ [field]: off })),
            ),
          };
        })
      : [Object.fromEntries((mute.when ?? []).map(({ setting, is }) => [setting, is]))];
    for (const output of mute.outputs) {
      expect(isStill(run(spec, {}, gates, output)), `${output} as it stands`).toBe(false);
      for (const settings of sets) expect(isStill(run(spec, settings, gates, output)), `${output} muted`).toBe(true);
    }
  });
});

describe('settings that choose', () => {
  it.each(flows.filter(({ flow }) => flow.picks))('$title', ({ spec, flow: { to, picks } }) => {
    const setting = findSetting(spec, picks?.setting ?? '');
    if (!picks || setting?.type !== 'number') throw new Error('no number to choose by');
    for (const [input, at] of Object.entries(picks.at)) {
      expect(run(spec, { [setting.id]: at }, [input], to[0] ?? '').level).toBeGreaterThan(-30);
      const away = [at - picks.reach, at + picks.reach].filter((value) => value >= setting.minimum && value <= setting.maximum);
      expect(away.length).toBeGreaterThan(0);
      for (const value of away) expect(run(spec, { [setting.id]: value }, [input], to[0] ?? '').level).toBeLessThan(-80);
      // just within reach something passes
      if (!setting.whole) {
        const near = at + (away[0] === at + picks.reach ? 0.9 : -0.9) * picks.reach;
        expect(run(spec, { [setting.id]: near }, [input], to[0] ?? '').level).toBeGreaterThan(-60);
      }
    }
  });
});

describe('thresholds', () => {
  it.each(flows.filter(({ flow }) => flow.threshold))('$title', ({ spec, flow: { from, to, threshold } }) => {
    const setting = findSetting(spec, threshold?.setting ?? '');
    if (!threshold || setting?.type !== 'number') throw new Error('no number of volts');
    expect([...spec.inputs, ...spec.outputs].some(({ id }) => id === threshold.of)).toBe(true);
    const [input = ''] = from;
    expect(run(spec, {}, [input], to[0] ?? '', 0.4).figures.rises).toBeGreaterThan(0);
    expect(run(spec, { [setting.id]: setting.maximum }, [input], to[0] ?? '', 0.4).figures.rises).toBe(0);
  });
});

describe('corner frequencies', () => {
  it.each(flows.filter(({ flow }) => flow.corner))('$title', ({ spec, flow: { from, corner } }) => {
    const setting = findSetting(spec, corner?.setting ?? '');
    if (!corner || setting?.type !== 'number') throw new Error('no frequency');
    for (const [output, keeps] of Object.entries(corner.keeps)) {
      const level = (hz: number): number => run(spec, { [setting.id]: hz }, [from[0] ?? ''], output).level;
      expect(level(1000), output).toBeGreaterThan(-40);
      if (keeps !== 'above') expect(level(setting.minimum), output).toBeLessThan(level(1000) - 20);
      if (keeps !== 'below') expect(level(setting.maximum), output).toBeLessThan(level(1000) - 6);
    }
  });
});

describe('what a block waits for', () => {
  const waits = all.flatMap((spec) =>
    (spec.needs ?? []).map((need) => ({ spec, need, title: `${spec.title} ${need.still}: ${need.input}` })),
  );

  it.each(waits)('$title', ({ spec, need }) => {
    expect(need.say.startsWith(need.still)).toBe(true);
    const [output = ''] = need.outputs;
    const blocks: Block[] = [
      { id: 'rest', type: 'voltages' },
      { id: 'block', type: spec.type },
    ];
    const cables: Cable[] = [{ from: ['rest', 'out1'], to: ['block', need.input] }];
    const figures = hearing.hear({ blocks, cables }, { seconds: 0.5 }).outputs.get(`block.${output}`);
    const rests = need.rests?.[output] ?? 0;
    expect([figures?.least, figures?.most]).toEqual([rests, rests]);
  });
});
