// @vitest-environment node
/** Flows that a spec calls linear obey superposition (the definition of linearity): f(a + b) = f(a) + f(b) - f(0). */
import { expect, it } from 'vitest';
import { specs } from '../../src/blocks/specs.gen.ts';
import type { BlockSpec, FlowSpec } from '../../src/patch/blockSpec.ts';
import { runKernel } from '../support/runKernel.ts';
import { uniform } from '../support/signals.ts';

const FRAMES = 9600;
/** Volts by which 32-bit rounding may differ. */
const ROUNDING = 2e-5;

const flows = specs.flatMap((spec) =>
  (spec.flows ?? []).filter(({ linear }) => linear).map((flow) => ({ name: `${spec.type}: ${flow.from} to ${flow.to}`, spec, flow })),
);

/** Noise of up to 1.5 V for each input of the flow: sums of two stay far from the rails. */
function signals(ids: readonly string[], seed: number): Record<string, Float32Array> {
  const next = uniform(seed);
  return Object.fromEntries(ids.map((id) => [id, Float32Array.from({ length: FRAMES }, () => 3 * next() - 1.5)]));
}

/** How far the answer to a sum is from the sum of the answers, in volts. */
async function bend(spec: BlockSpec, flow: FlowSpec, volts: number): Promise<number> {
  const rest = Object.fromEntries(spec.inputs.filter(({ id }) => !flow.from.includes(id)).map(({ id }) => [id, volts]));
  const run = async (inputs: Record<string, Float32Array | number>) =>
    await runKernel(spec, { frames: FRAMES, inputs: { ...rest, ...inputs }, outputs: flow.to });
  const [a, b] = [signals(flow.from, 1), signals(flow.from, 2)];
  const both = (id: string) => (a[id] as Float32Array).map((v, i) => v + ((b[id] as Float32Array)[i] as number));
  const ofSum = await run(Object.fromEntries(flow.from.map((id) => [id, both(id)])));
  const ofNone = await run(Object.fromEntries(flow.from.map((id) => [id, 0])));
  const [ofA, ofB] = [await run(a), await run(b)];
  const worst = flow.to.map((id) =>
    (ofSum[id] as Float32Array).reduce((most, v, i) => {
      const [x, y, z] = [ofA, ofB, ofNone].map((each) => each[id]?.[i] as number) as [number, number, number];
      return Math.max(most, Math.abs(v - (x + y - z)));
    }, 0),
  );
  return Math.max(...worst);
}

it('there are linear flows', () => expect(flows.length).toBeGreaterThan(10));

it.each(flows)('$name answers a sum with the sum of the answers', async ({ spec, flow }) => {
  for (const volts of [0, 4]) expect(await bend(spec, flow, volts), `${volts} V at the other inputs`).toBeLessThan(ROUNDING);
});

it('what bends a voltage shows here: squaring by a product of two, cutting one side off', async () => {
  const bent = specs.flatMap((spec) => (spec.flows ?? []).filter((flow) => flow.keepsKind && !flow.linear).map((flow) => ({ spec, flow })));
  expect(bent.length).toBeGreaterThan(0);
  for (const { spec, flow } of bent) expect(await bend(spec, flow, 4), spec.type).toBeGreaterThan(0.1);
});
