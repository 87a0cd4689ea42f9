// @vitest-environment node
/**
 * What moves an input, over random patches: the named sources against reachability in the graph, and every share against renderings of
 * the whole patch in which the source is silenced.
 */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { specs } from '../../src/blocks/specs.gen.ts';
import { renderTake } from '../../src/engine/hosts/take.ts';
import { createHearing } from '../../src/insight/heard.ts';
import type { MovesAnswer } from '../../src/insight/moves/answer.ts';
import { EXACT_VOLTS, whatMoves } from '../../src/insight/moves/moves.ts';
import { type BlockSpec, createCatalogue } from '../../src/patch/blockSpec.ts';
import type { Block, Cable, Move, Patch, Place } from '../../src/patch/document.ts';
import { engineModule } from '../support/engine.ts';
import { seededPatch, seededSounds } from '../support/seededPatch.ts';

const catalogue = createCatalogue(specs);
const hearing = createHearing(
  (patch, options) => renderTake(engineModule(), specs, patch, { ...options, recordings: seededSounds }),
  catalogue,
);
const specOf = (patch: Patch, id: string): BlockSpec =>
  catalogue.get(patch.blocks.find((block) => block.id === id)?.type ?? '') as BlockSpec;

/** Blocks from which cables lead to the input: the plain definition, by repeated looking until nothing is added. */
function reaching(patch: Patch, { from }: Cable): ReadonlySet<string> {
  const found = new Set([from[0]]);
  for (let before = -1; before !== found.size; ) {
    before = found.size;
    for (const cable of patch.cables) if (found.has(cable.to[0])) found.add(cable.from[0]);
  }
  return found;
}

/** A source by the README's words: nothing flows through it. */
function makesItself(patch: Patch, id: string): boolean {
  const inputs = (specOf(patch, id).flows ?? []).flatMap(({ from }) => from);
  return !patch.cables.some(({ to }) => to[0] === id && inputs.includes(to[1]));
}

/**
 * Volts at the input with some cables silenced: the whole patch is rendered, nothing of the answer's own ways is used. An input
 * normalled to another one reads that one's cable.
 */
function voltsAt(patch: Patch, { from, to }: Cable, silenced: readonly Cable[]): Float32Array {
  const holds = new Map<string, number>();
  for (const cable of silenced) {
    for (const { id, normalFrom } of specOf(patch, cable.to[0]).inputs) {
      const isFree = !patch.cables.some((other) => other.to[0] === cable.to[0] && other.to[1] === id);
      if (id === cable.to[1] || (normalFrom === cable.to[1] && isFree)) holds.set(`${cable.to[0]}.${id}`, restOf(patch, cable.from));
    }
  }
  const held = holds.get(to.join('.'));
  const { taps } = renderTake(engineModule(), specs, patch, { recordings: seededSounds, taps: [{ at: from }], holds });
  return held === undefined ? (taps[0] as Float32Array) : (taps[0] as Float32Array).fill(held);
}

const allOf = (patch: Patch, id: string): Cable[] => patch.cables.filter(({ from }) => from[0] === id);

/** Cables of a source into the asked input, or into blocks from which one comes there without passing through another source. */
function entriesOf(patch: Patch, asked: Cable, ids: readonly string[]): Cable[] {
  const through = new Set<string>();
  const waiting = [asked.from[0]];
  for (let id = waiting.pop(); id !== undefined; id = waiting.pop()) {
    if (through.has(id) || makesItself(patch, id)) continue;
    through.add(id);
    waiting.push(...patch.cables.filter(({ to }) => to[0] === id).map(({ from }) => from[0]));
  }
  return patch.cables.filter((cable) => ids.includes(cable.from[0]) && (cable === asked || through.has(cable.to[0])));
}

/** Volts at the input with some sources silenced on their ways there; a hand ("block.setting") lets go. */
function without(patch: Patch, asked: Cable, keys: readonly string[]): Float32Array {
  const moves = (patch.moves ?? []).filter(({ block, setting }) => !keys.includes(`${block}.${setting}`));
  return voltsAt({ ...patch, moves }, asked, entriesOf(patch, asked, keys));
}

function restOf(patch: Patch, [id, port]: Place): number {
  return specOf(patch, id).needs?.find(({ outputs }) => outputs.includes(port))?.rests?.[port] ?? 0;
}

function figures(volts: ArrayLike<number>): { least: number; most: number; rms: number } {
  const list = Array.from(volts);
  const mean = list.reduce((sum, v) => sum + v, 0) / list.length;
  return {
    least: Math.min(...list),
    most: Math.max(...list),
    rms: Math.sqrt(list.reduce((sum, v) => sum + (v - mean) ** 2, 0) / list.length),
  };
}

const minus = (a: Float32Array, b: Float32Array): Float64Array => Float64Array.from(a, (v, i) => v - (b[i] as number));
const named = ({ movers, drivers, idle }: MovesAnswer): string[] => [...new Set([...movers, ...drivers, ...idle].map(({ key }) => key))];
const ask = (patch: Patch, { to }: Cable): MovesAnswer => whatMoves(hearing, patch, { at: to, side: 'input' });

describe('over random patches with loops and extreme settings', () => {
  const patches = fc.integer({ min: 1, max: 1e6 }).chain((seed) => {
    const patch = seededPatch(seed);
    return fc.record({ patch: handled(patch), cable: fc.constantFrom(...patch.cables) });
  });

  /** With hands at up to three settings. */
  function handled(patch: Patch): fc.Arbitrary<Patch> {
    const settings = patch.blocks.flatMap(({ id }) =>
      specOf(patch, id).settings.flatMap((setting) => (setting.type === 'number' && !setting.whole ? [{ block: id, setting }] : [])),
    );
    const move = fc.constantFrom(...settings).map(
      ({ block, setting: { id, minimum, maximum } }): Move => ({
        block,
        setting: id,
        points: [
          [0.005, minimum],
          [0.09, (minimum + maximum) / 2],
        ],
      }),
    );
    const moves = fc.uniqueArray(move, { maxLength: 3, selector: ({ block, setting }) => `${block}.${setting}` });
    return moves.map((list) => ({ ...patch, moves: list }));
  }

  it('the named sources are those that reach the input, no other and none left out', () => {
    fc.assert(
      fc.property(patches, ({ patch, cable }) => {
        const answer = ask({ ...patch, seconds: 0.02 }, cable);
        const reached = reaching(patch, cable);
        const hands = (patch.moves ?? []).filter(({ block }) => reached.has(block)).map(({ block, setting }) => `${block}.${setting}`);
        const sources = [...[...reached].filter((id) => makesItself(patch, id)), ...hands];
        // In a ring of blocks that only pass on there is no source at all.
        expect(named(answer).sort()).toEqual(sources.sort());
        const ways = [...answer.movers, ...answer.drivers, ...answer.idle];
        for (const { key, cables } of ways) {
          const ends = cables.map((name) => patch.cables.find(({ to }) => to.join('.') === name) as Cable);
          expect(ends.some(({ from }) => from[0] === key.split('.')[0])).toBe(true);
          expect(ends.some(({ to }) => to.join('.') === cable.to.join('.'))).toBe(true);
          for (const end of ends) expect(reached.has(end.from[0])).toBe(true);
        }
      }),
      { numRuns: 120 },
    );
  }, 60_000);

  it('every share is what is missing from a rendering in which that source is silenced, and only named ones change anything', () => {
    fc.assert(
      fc.property(patches, ({ patch: whole, cable }) => {
        const patch = { ...whole, seconds: 0.1 };
        const answer = ask(patch, cable);
        const heard = voltsAt(patch, cable, []);
        expect(answer.total).toMatchObject({ least: figures(heard).least, most: figures(heard).most });
        const changing = [...answer.movers, ...answer.drivers].map(({ key }) => key);
        const still = answer.idle.filter(({ why }) => why === 'still').map(({ key }) => key);
        for (const { id } of patch.blocks.filter((block) => makesItself(patch, block.id) && specOf(patch, block.id).outputs.length > 0)) {
          const missing = minus(heard, voltsAt(patch, cable, allOf(patch, id)));
          if (Math.max(...missing.map(Math.abs)) > 1e-3) expect([...changing, ...still], id).toContain(id);
        }
        for (const { block, setting } of patch.moves ?? []) {
          const key = `${block}.${setting}`;
          const moves = (patch.moves ?? []).filter((move) => move.block !== block || move.setting !== setting);
          const missing = minus(heard, voltsAt({ ...patch, moves }, cable, []));
          if (Math.max(...missing.map(Math.abs)) > 1e-3) expect(changing, key).toContain(key);
        }
        for (const { key, movement } of answer.movers) {
          const { least, most, rms } = figures(minus(heard, without(patch, cable, [key])));
          expect(movement.least, key).toBeCloseTo(least, 6);
          expect(movement.most, key).toBeCloseTo(most, 6);
          expect(movement.rms, key).toBeCloseTo(rms, 6);
        }
        // What is called exact is also what the source gives alone (superposition).
        const keys = [...answer.movers, ...answer.idle.filter(({ why }) => why !== 'still')].map(({ key }) => key);
        const rest = without(patch, cable, keys);
        for (const { key, method, movement } of answer.movers) {
          if (method !== 'exact') continue;
          const others = keys.filter((other) => other !== key);
          expect(figures(minus(without(patch, cable, others), rest)).rms, key).toBeCloseTo(movement.rms, 3);
        }
        const sizes = answer.movers.reduce((sum, { share }) => sum + share, 0);
        if (answer.movers.some(({ movement }) => movement.rms > 0)) expect(sizes).toBeCloseTo(1, 9);
      }),
      { numRuns: 40 },
    );
  }, 60_000);
});

describe('over random graphs of linear blocks', () => {
  /** Sources, then blocks that scale, sum, blend and turn, each fed by any of those before it; some cables go back and close loops. */
  const types = ['attenuverter', 'mixer', 'crossfade', 'vca', 'stereoMixer'];
  const linear = fc
    .record({
      seed: fc.nat(1e6),
      sources: fc.array(fc.constantFrom('lfo', 'noise', 'oscillator', 'voltages', 'lfo'), { minLength: 1, maxLength: 4 }),
      stages: fc.array(
        fc.tuple(
          fc.constantFrom(...types),
          fc.array(fc.nat(1000), { minLength: 6, maxLength: 6 }),
          fc.double({ min: 0.1, max: 0.45, noNaN: true }),
        ),
        {
          minLength: 1,
          maxLength: 7,
        },
      ),
      back: fc.boolean(),
    })
    .map(({ seed, sources, stages, back }): Patch => {
      const blocks = sources.map(
        (type, i): Block => ({
          id: `s${i}`,
          type,
          settings: type === 'voltages' ? { volts1: 3, volts2: -2 } : {},
        }),
      );
      const cables: Cable[] = [];
      for (const [i, [type, picks, gain]] of stages.entries()) {
        const id = `p${i}`;
        const spec = catalogue.get(type) as BlockSpec;
        const before = blocks.flatMap((block) =>
          specOf({ blocks, cables }, block.id).outputs.map(({ id: port }): Place => [block.id, port]),
        );
        // Gains below a half of what a few inputs bring keep everything clear of the rails.
        const settings: Record<string, number> = {};
        for (const setting of spec.settings) if (setting.type === 'number' && setting.unit === '') settings[setting.id] = gain;
        blocks.push({ id, type, settings });
        const inputs = (spec.flows ?? []).flatMap(({ from }) => from);
        for (const [k, input] of [...new Set(inputs)].slice(0, 2).entries())
          cables.push({ from: before[(picks[k] as number) % before.length] as Place, to: [id, input] });
        const free = [...new Set(inputs)][2];
        if (back && free)
          cables.push({ from: [`p${(picks[5] as number) % stages.length}`, outputOf(stages, picks[5] as number)], to: [id, free] });
      }
      // In the end all sources and the last stages come together.
      const ends: Place[] = blocks.slice(-2).flatMap(({ id }) =>
        specOf({ blocks, cables }, id)
          .outputs.slice(0, 1)
          .map(({ id: port }): Place => [id, port]),
      );
      const firsts = sources.map((type, i): Place => [`s${i}`, catalogue.get(type)?.outputs[0]?.id ?? '']);
      const gather = Object.fromEntries(['level1', 'level2', 'level3', 'level4', 'level5', 'level6'].map((id) => [id, 0.15]));
      blocks.push({ id: 'sum', type: 'mixer', settings: gather }, { id: 'end', type: 'attenuverter' });
      for (const [k, from] of [...firsts, ...ends].entries()) cables.push({ from, to: ['sum', `in${k + 1}`] });
      cables.push({ from: ['sum', 'sum'], to: ['end', 'in'] });
      return { seed, seconds: 0.1, blocks, cables };
    });

  function outputOf(stages: readonly (readonly [string, ...unknown[]])[], pick: number): string {
    const spec = catalogue.get(stages[pick % stages.length]?.[0] ?? '');
    return spec?.outputs[0]?.id ?? '';
  }

  it('shares are exact: each is what its source alone gives, and with the rest they add up to the voltage within 1e-4 V', () => {
    let several = 0;
    fc.assert(
      fc.property(linear, (patch) => {
        const last = patch.cables.at(-1) as Cable;
        const answer = ask(patch, last);
        const keys = answer.movers.map(({ key }) => key);
        for (const { key, method } of answer.movers) expect([key, method]).toEqual([key, 'exact']);
        expect(Math.max(answer.together.most, -answer.together.least)).toBeLessThan(EXACT_VOLTS);
        if (keys.length > 1) several++;
        const whole = voltsAt(patch, last, []);
        const rest = without(patch, last, keys);
        const sum = Float64Array.from(rest);
        for (const { key, movement } of answer.movers) {
          const others = keys.filter((other) => other !== key);
          const alone = minus(without(patch, last, others), rest);
          for (const [i, volts] of alone.entries()) sum[i] = (sum[i] as number) + volts;
          expect(movement.rms).toBeCloseTo(figures(alone).rms, 4);
          expect(movement.most).toBeCloseTo(figures(alone).most, 4);
        }
        const worst = sum.reduce((most, volts, i) => Math.max(most, Math.abs(volts - (whole[i] as number))), 0);
        expect(worst).toBeLessThan(EXACT_VOLTS);
      }),
      { numRuns: 50 },
    );
    expect(several).toBeGreaterThan(10);
  }, 60_000);
});
