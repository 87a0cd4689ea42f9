// @vitest-environment node
import { expect, it } from 'vitest';
import { falls, rises } from '../../../tests/support/edges.ts';
import { runKernel } from '../../../tests/support/runKernel.ts';
import { spec } from './spec.ts';

const press = (frame: number) => ({ frame, code: 5, a: 1, b: 0 });
const release = (frame: number) => ({ frame, code: 5, a: 0, b: 0 });

it('rests low', async () => {
  for (const mode of ['momentary', 'latching']) {
    const out = await runKernel(spec, { frames: 300, settings: { mode } });
    for (const signal of Object.values(out)) expect(signal.every((volts) => volts === 0)).toBe(true);
  }
});

it('momentary: the gate is high while the button is down, on the exact frames', async () => {
  const { gate, trigger, toggle } = await runKernel(spec, { frames: 2000, notes: [press(100), release(700), press(900), release(1500)] });
  expect(rises(gate!)).toEqual([100, 900]);
  expect(falls(gate!)).toEqual([700, 1500]);
  expect(rises(trigger!)).toEqual([100, 900]);
  expect(falls(trigger!)).toEqual([148, 948]); // 1 ms at 48 kHz
  expect(rises(toggle!)).toEqual([100]);
  expect(falls(toggle!)).toEqual([900]);
});

it('latching: one push turns the gate on, the next one off', async () => {
  const notes = [press(100), release(110), press(900), release(1500), press(1600)];
  const { gate, trigger, toggle } = await runKernel(spec, { frames: 2000, settings: { mode: 'latching' }, notes });
  expect(rises(gate!)).toEqual([100, 1600]);
  expect(falls(gate!)).toEqual([900]);
  expect(toggle).toEqual(gate);
  expect(rises(trigger!)).toEqual([100, 900, 1600]);
});

it('a push that is over before the next frame still gives a gate of 1 ms', async () => {
  const { gate } = await runKernel(spec, { frames: 500, notes: [press(77), release(77)] });
  expect([rises(gate!), falls(gate!)]).toEqual([[77], [77 + 48]]);
});

it('let go and pressed again between two frames, the gate shows it by one low frame', async () => {
  const { gate, trigger, toggle } = await runKernel(spec, { frames: 600, notes: [press(50), release(300), press(300)] });
  expect([rises(gate!), falls(gate!)]).toEqual([[50, 301], [300]]);
  expect([rises(trigger!), falls(trigger!)]).toEqual([
    [50, 301],
    [98, 349],
  ]);
  expect(falls(toggle!)).toEqual([300]);
});

it('a second press without a release, and other messages, change nothing', async () => {
  const once = await runKernel(spec, { frames: 600, notes: [press(50)] });
  const notes = [press(50), press(200), { frame: 250, code: 1, a: 60, b: 1 }, { frame: 300, code: 4, a: 0, b: 0 }];
  expect(await runKernel(spec, { frames: 600, notes })).toEqual(once);
});

it('the mode may change while it is down', async () => {
  const events = [{ frame: 300, setting: 'mode', value: 'latching' }];
  const { gate } = await runKernel(spec, { frames: 600, notes: [press(50), release(100), press(200), release(500)], events });
  expect([rises(gate!), falls(gate!)]).toEqual([
    [50, 200],
    [100, 300],
  ]);
});
