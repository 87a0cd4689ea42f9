// @vitest-environment node
import { describe, expect, it } from 'vitest';
import { engineModule } from '../../../tests/support/engine.ts';
import { specs } from '../../blocks/specs.gen.ts';
import { renderTake } from '../../engine/hosts/take.ts';
import { createCatalogue } from '../../patch/blockSpec.ts';
import type { Patch } from '../../patch/document.ts';
import { createHearing } from '../heard.ts';
import { whatMoves } from './moves.ts';

const hearing = createHearing((patch, options) => renderTake(engineModule(), specs, patch, options), createCatalogue(specs));
const block = (id: string, type: string, settings = {}) => ({ id, type, settings });
const cable = (from: string, to: string) => ({ from: from.split('.') as [string, string], to: to.split('.') as [string, string] });

const ask = (patch: Patch, at: string, side: 'input' | 'setting' = 'input') =>
  whatMoves(hearing, patch, { at: at.split('.') as [string, string], side });

/** Two slow waves in a mixer move a cutoff; an oscillator goes through the filter. */
const lighthouse: Patch = {
  seconds: 2,
  blocks: [
    block('beam', 'lfo', { rate: 1 }),
    block('swell', 'lfo', { rate: 3 }),
    block('level', 'voltages', { volts1: 1 }),
    block('mix1', 'mixer', { level1: 0.4, level2: 0.2 }),
    block('horn', 'oscillator'),
    block('flt1', 'filter', { cutoff: 400 }),
    block('out1', 'output'),
  ],
  cables: [
    cable('beam.sine', 'mix1.in1'),
    cable('swell.sine', 'mix1.in2'),
    cable('level.out1', 'mix1.in3'),
    cable('mix1.sum', 'flt1.cv'),
    cable('horn.saw', 'flt1.in'),
    cable('flt1.lowpass', 'out1.left'),
  ],
};

describe('what moves an input', () => {
  const answer = ask(lighthouse, 'flt1.cv');

  it('shares follow the amplitudes of sines: 2 V and 1 V are two thirds and a third, exact on a linear way', () => {
    expect(answer.movers.map(({ key, method }) => [key, method])).toEqual([
      ['beam', 'exact'],
      ['swell', 'exact'],
    ]);
    expect(answer.movers[0]?.share).toBeCloseTo(2 / 3, 3);
    expect(answer.movers[1]?.share).toBeCloseTo(1 / 3, 3);
    // RMS of a sine of 2 V over whole cycles: 2 / sqrt 2
    expect(answer.movers[0]?.movement.rms).toBeCloseTo(Math.SQRT2, 3);
    expect(answer.movers[0]?.movement.hertz).toBeCloseTo(1, 0);
  });

  it('what stands still is no mover, and what has no path is not named at all', () => {
    expect(answer.idle.map(({ key, why }) => [key, why])).toEqual([['level', 'still']]);
    expect(JSON.stringify(answer)).not.toContain('horn');
  });

  it('the way of each is the cables that lead from it to the input', () => {
    expect(answer.movers[0]?.cables).toEqual(['mix1.in1', 'flt1.cv']);
    expect(answer.movers[1]?.blocks).toEqual(['swell', 'mix1']);
  });

  it('says so in sentences, with the range in the unit of the setting that it moves', () => {
    // 400 Hz x 2^(1 V +- at most 3 V), read at the sines' own extremes
    expect(answer.say).toEqual([
      '"Cutoff" of flt1 moves between -1.15 and 3.15 V; alone it moves "Cutoff" between 180 Hz and 3.55 kHz, 42 % of its way.',
      '67 % of it comes from beam, 33 % from swell.',
      'The way is linear, so the shares are exact and add up to the movement.',
      'Level reaches it and stands still.',
    ]);
  });

  it('an input without a cable is moved by nothing', () => {
    const empty = ask(lighthouse, 'flt1.pitch');
    expect([...empty.movers, ...empty.drivers, ...empty.idle]).toEqual([]);
    expect(empty.say).toEqual(['Nothing moves "Pitch" of flt1: no cable runs to it, so it stays at 0 V.']);
  });

  it('a sum that runs into the rails is not called exact', () => {
    const loud = {
      ...lighthouse,
      blocks: lighthouse.blocks.map((each) => (each.id === 'mix1' ? block('mix1', 'mixer', { level3: 1 }) : each)),
    };
    const high = { ...loud, blocks: loud.blocks.map((each) => (each.id === 'level' ? block('level', 'voltages', { volts1: 8 }) : each)) };
    const { movers, total } = ask(high, 'flt1.cv');
    expect(total.most).toBe(12);
    expect(movers.map(({ method }) => method)).toEqual(['silenced', 'silenced']);
  });

  it('an input that is normalled to another one is moved by what is patched there', () => {
    const left = ask(lighthouse, 'out1.left');
    const right = ask(lighthouse, 'out1.right');
    expect(right.movers).toEqual(left.movers);
    expect(right.movers[0]).toMatchObject({ key: 'horn', cables: ['flt1.in', 'out1.left'] });
    expect(right.say[0]).toContain('at audio rate');
  });

  it('hears less where many sources reach the place, so that all renderings together stay within bounds', () => {
    const many = Array.from({ length: 30 }, (_, i) => block(`s${i}`, 'lfo', { rate: 1 + i }));
    const sums = Array.from({ length: 5 }, (_, k) => block(`m${k}`, 'mixer', { level: 0.05 }));
    const cables = many.map(({ id }, i) => cable(`${id}.sine`, `m${Math.floor(i / 6)}.in${1 + (i % 6)}`));
    const gathered = sums.map(({ id }, k) => cable(`${id}.sum`, `all.in${k + 1}`));
    const answer = ask(
      {
        seconds: 12,
        blocks: [...many, ...sums, block('all', 'mixer'), block('amp', 'vca')],
        cables: [...cables, ...gathered, cable('all.sum', 'amp.cv')],
      },
      'amp.cv',
    );
    expect(answer.renderings).toBe(32);
    expect(answer.seconds).toBe(3.7);
    expect(answer.movers).toHaveLength(30);
    expect(answer.say.at(-1)).toBe('Heard for the first 3.7 of 12 s.');
  });

  it('hears 12 s at most and says so', () => {
    const { seconds, say } = ask({ ...lighthouse, seconds: 60 }, 'flt1.cv');
    expect(seconds).toBe(12);
    expect(say.at(-1)).toBe('Heard for the first 12 of 60 s.');
  });
});

describe('a wave through an amplifier that an envelope opens', () => {
  const harbour: Patch = {
    seconds: 2,
    blocks: [
      block('clk', 'clock'),
      block('row', 'sequencer'),
      block('env', 'contour'),
      block('amp1', 'vca'),
      block('wave', 'lfo', { rate: 5 }),
      block('flt1', 'filter', { cvAmount: 0.25 }),
    ],
    cables: [
      cable('clk.beat', 'env.gate'),
      cable('clk.beat', 'row.clock'),
      cable('row.extra', 'env.attackCv'),
      cable('env.contour', 'amp1.cv'),
      cable('wave.sine', 'amp1.in'),
      cable('amp1.out', 'flt1.cv'),
    ],
  };
  const answer = ask(harbour, 'flt1.cutoff', 'setting');

  it('takes both: without either it stands still, and their shares are not exact', () => {
    expect(answer.movers.map(({ key, left, method }) => [key, left, method]).sort()).toEqual([
      ['env', 0, 'silenced'],
      ['wave', 0, 'silenced'],
    ]);
    expect(answer.say).toContain('It takes env and wave together: without any one of them it stands still.');
    // each share is the whole, so both together are one whole too many
    expect(answer.together.rms).toBeCloseTo(answer.total.rms, 6);
  });

  it('names what drives a mover, and what reaches it in vain', () => {
    expect(answer.drivers.map(({ key, drives }) => [key, drives])).toEqual([['clk', ['env']]]);
    expect(answer.idle.map(({ key }) => key)).toEqual(['row']);
    expect(answer.say).toContain('Env is driven by clk.');
  });

  it('counts the rises at an input for gates: beats at 120 bpm are two a second', () => {
    const { rises, say } = ask(harbour, 'env.gate');
    expect(rises).toBe(4);
    expect(say[0]).toBe('"Gate" of env moves between 0 and 8 V and rises 4 times as a gate.');
  });

  it('a quarter octave per volt on 5 V up and down is 1.25 octaves each way of 10.3 (16 Hz to 20 kHz)', () => {
    expect(answer.unit).toBe('octaves');
    expect(answer.total.most).toBeLessThanOrEqual(1.25);
    expect(answer.range?.used).toBeCloseTo((answer.total.most - answer.total.least) / Math.log2(20000 / 16), 6);
  });
});

it('a share is exact where its own way is linear, though others multiply each other on theirs', () => {
  const blocks = [
    block('a', 'lfo'),
    block('b', 'lfo', { rate: 2 }),
    block('c', 'lfo', { rate: 3 }),
    block('ring', 'ringmod'),
    block('mix', 'mixer'),
  ];
  const cables = [cable('a.sine', 'mix.in1'), cable('b.sine', 'ring.x'), cable('c.sine', 'ring.y'), cable('ring.out', 'mix.in2')];
  const { movers, say } = ask(
    { seconds: 1, blocks: [...blocks, block('amp', 'vca')], cables: [...cables, cable('mix.sum', 'amp.cv')] },
    'amp.cv',
  );
  expect(new Map(movers.map(({ key, method }) => [key, method]))).toEqual(
    new Map([
      ['a', 'exact'],
      ['b', 'silenced'],
      ['c', 'silenced'],
    ]),
  );
  expect(say.join(' ')).toContain('That of a is exact.');
});

it('a mover that also drives another one is counted once: its own cable into the sum, not what the other does for it', () => {
  const blocks = [block('a', 'lfo'), block('b', 'lfo', { rate: 2 }), block('mix', 'mixer'), block('amp', 'vca')];
  const cables = [cable('a.sine', 'mix.in1'), cable('a.sine', 'b.rate'), cable('b.triangle', 'mix.in2'), cable('mix.sum', 'amp.cv')];
  const { movers, drivers, together, say } = ask({ seconds: 1, blocks, cables }, 'amp.cv');
  expect(movers.map(({ key, method }) => [key, method]).sort()).toEqual([
    ['a', 'exact'],
    ['b', 'exact'],
  ]);
  // a whole sine of 5 V, as if it drove nothing
  expect(movers.find(({ key }) => key === 'a')?.movement.rms).toBeCloseTo(5 / Math.SQRT2, 3);
  expect(Math.max(together.most, -together.least)).toBeLessThan(1e-4);
  expect(drivers.map(({ key, drives }) => [key, drives])).toEqual([['a', ['b']]]);
  expect(say).toContain('B is driven by a.');
});

describe('hands', () => {
  const moved: Patch = {
    ...lighthouse,
    moves: [
      {
        block: 'flt1',
        setting: 'cutoff',
        points: [
          [0, 200],
          [2, 800],
        ],
      },
      {
        block: 'beam',
        setting: 'rate',
        points: [
          [0, 1],
          [2, 4],
        ],
      },
    ],
  };

  it('at the setting itself is a mover, at a source its driver', () => {
    const answer = ask(moved, 'flt1.cutoff', 'setting');
    const hand = answer.movers.find(({ key }) => key === 'flt1.cutoff');
    // from 200 Hz to 800 Hz are two octaves: from one below the document's 400 Hz to one above
    expect(hand?.movement.least).toBeCloseTo(-1, 6);
    expect(hand?.movement.most).toBeCloseTo(1, 3);
    expect(hand).toMatchObject({ method: 'exact', cables: [] });
    expect(answer.drivers.map(({ key, drives }) => [key, drives])).toEqual([['beam.rate', ['beam']]]);
  });

  it('are no part of the volts at an input of that block', () => {
    expect(ask(moved, 'flt1.cv').movers.map(({ key }) => key)).toEqual(['beam', 'swell']);
  });
});

describe('blocks that pass something on and make something', () => {
  it('a sample and hold with a cable passes that on; with its own noise it is the source itself', () => {
    const blocks = [block('clk', 'clock'), block('sea', 'noise'), block('hold', 'sampleHold'), block('osc1', 'oscillator')];
    const cables = [cable('clk.beat', 'hold.trigger'), cable('hold.out', 'osc1.pitch')];
    const own = ask({ seconds: 2, blocks, cables }, 'osc1.pitch');
    expect(own.movers.map(({ key }) => key)).toEqual(['hold']);
    expect(own.drivers.map(({ key }) => key)).toEqual(['clk']);
    const patched = ask({ seconds: 2, blocks, cables: [...cables, cable('sea.white', 'hold.in')] }, 'osc1.pitch');
    expect(patched.movers.map(({ key }) => key).sort()).toEqual(['clk', 'sea']);
  });

  it('what only a person moves does nothing in a take, and the answer says so', () => {
    const blocks = [block('quay', 'external'), block('bell', 'button'), block('mix', 'mixer'), block('amp', 'vca')];
    const cables = [cable('quay.left', 'mix.in1'), cable('bell.gate', 'mix.in2'), cable('mix.sum', 'amp.cv')];
    expect(ask({ seconds: 1, blocks, cables }, 'amp.cv').say).toEqual([
      '"CV" of amp stands still at 0 V: what reaches it does not move it.',
      'Quay brings nothing in a take.',
      'Bell is not pressed in a take.',
    ]);
  });

  it('what a block on the way does by itself is the rest: a filter that oscillates', () => {
    const blocks = [block('beam', 'lfo'), block('ring', 'filter', { resonance: 1, cutoff: 300 }), block('flt1', 'filter')];
    const { rest, say } = ask({ seconds: 2, blocks, cables: [cable('beam.sine', 'ring.in'), cable('ring.lowpass', 'flt1.cv')] }, 'flt1.cv');
    // it swings up to 5 V (docs of the filter) at its cutoff; the swinging up takes part of the time
    expect(rest.most).toBeCloseTo(5, 1);
    expect(rest.hertz).toBeGreaterThan(100);
    expect(rest.hertz).toBeLessThan(301);
    expect(say).toContain('With all of them silenced it still moves: a block on the way moves by itself.');
  });
});
