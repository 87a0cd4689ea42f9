// @vitest-environment node
import { describe, expect, it, vi } from 'vitest';
import type { Patch } from '../../patch/document.ts';
import { createAnswers, Superseded } from './answers.ts';
import type { FromAnswers, ToAnswers } from './answersProtocol.ts';

vi.mock('../../engine/hosts/load.ts', () => ({ engineModule: async () => ({}) }));

const patch: Patch = { blocks: [], cables: [] };

/** A worker that is told by the test what to answer. */
function fakeWorker() {
  const heard: ToAnswers[] = [];
  const worker = {
    onmessage: undefined as ((event: { data: FromAnswers }) => void) | undefined,
    onerror: undefined as (() => void) | undefined,
    terminate: vi.fn(),
    postMessage: (message: ToAnswers) => void heard.push(message),
  };
  const asked = () => heard.filter((message) => message.type === 'ask');
  return { worker, heard, asked, answer: (data: FromAnswers) => worker.onmessage?.({ data }) };
}
const settled = () => new Promise((resolve) => setTimeout(resolve, 5));

describe('questions from the page', () => {
  it('are put one at a time, and the newest of a name replaces one that waits', async () => {
    const { worker, asked, answer } = fakeWorker();
    const { ask } = createAnswers(() => worker as unknown as Worker);
    const first = ask('peak', patch, {});
    const second = ask('peak', patch, { seconds: 1 });
    const third = ask('peak', patch, { seconds: 2 });
    await expect(second).rejects.toBeInstanceOf(Superseded);
    await settled();
    expect(asked()).toHaveLength(1);
    answer({ type: 'answer', number: 1, answer: 0.5 });
    expect(await first).toBe(0.5);
    await settled();
    expect(asked()).toHaveLength(2);
    answer({ type: 'trouble', number: 3, say: 'The patch is too big.' });
    await expect(third).rejects.toThrow('The patch is too big.');
  });

  it('are answered again after the worker stopped', async () => {
    const workers = [fakeWorker(), fakeWorker()];
    let opened = 0;
    const { ask } = createAnswers(() => workers[opened++]?.worker as unknown as Worker);
    const lost = ask('peak', patch, {});
    await settled();
    workers[0]?.worker.onerror?.();
    await expect(lost).rejects.toThrow('Ask again');
    const found = ask('peak', patch, {});
    await settled();
    workers[1]?.answer({ type: 'answer', number: 2, answer: 1 });
    expect(await found).toBe(1);
  });
});
