// @vitest-environment node
import { describe, expect, it } from 'vitest';
import type { Change } from '../../patch/change.ts';
import type { Patch } from '../../patch/document.ts';
import { refuse } from '../../patch/refusal.ts';
import { createSession } from './session.ts';

const patch: Patch = {
  title: 'Pier',
  blocks: [
    { id: 'osc1', type: 'voice', at: [0, 0] },
    { id: 'out1', type: 'speaker', at: [160, 0] },
  ],
  cables: [{ from: ['osc1', 'sine'], to: ['out1', 'left'] }],
};

const rename = (before: string, after: string): Change => ({ label: 'Change title', details: [{ title: before }, { title: after }] });
const removeFirst: Change = {
  label: 'Delete Voice',
  blocks: { added: [], removed: [[0, { id: 'osc1', type: 'voice', at: [0, 0] }]], updated: [] },
  cables: { added: [], removed: [[0, { from: ['osc1', 'sine'], to: ['out1', 'left'] }]] },
};

describe('the session', () => {
  it('applies a change as one undo step and says what was undone', () => {
    const session = createSession(patch);
    expect(session.run(rename('Pier', 'Mole'))).toBe(true);
    expect(session.getState().patch.title).toBe('Mole');
    session.undo();
    expect(session.getState().patch).toEqual(patch);
    expect(session.getState().said?.text).toBe('Undo: Change title');
    session.redo();
    expect(session.getState().patch.title).toBe('Mole');
  });

  it('says a refusal and leaves the document alone', () => {
    const session = createSession(patch);
    expect(session.run(refuse('no-such-port', 'There is no such input.'))).toBe(false);
    expect(session.getState().patch).toBe(patch);
    expect(session.getState().said).toMatchObject({ text: 'There is no such input.', kind: 'refusal' });
  });

  it('makes one step of a gesture, however many changes it takes', () => {
    const session = createSession(patch);
    session.run(rename('Pier', 'a'), { gesture: 'title' });
    session.run(rename('a', 'ab'), { gesture: 'title' });
    session.run(rename('ab', 'abc'), { gesture: 'title' });
    session.commitGesture();
    expect(session.getState().history.past).toHaveLength(1);
    session.undo();
    expect(session.getState().patch).toEqual(patch);
  });

  it('commits a gesture when another begins', () => {
    const session = createSession(patch);
    session.run(rename('Pier', 'a'), { gesture: 'one' });
    session.run(rename('a', 'b'), { gesture: 'two' });
    session.commitGesture();
    expect(session.getState().history.past).toHaveLength(2);
  });

  it('takes all runs into a gesture that was begun', () => {
    const session = createSession(patch);
    session.beginGesture('both', 'Rename twice');
    session.run(rename('Pier', 'a'));
    session.run(rename('a', 'b'), { gesture: 'other' });
    session.commitGesture();
    session.run(rename('b', 'c'));
    expect(session.getState().history.past.map((step) => step.label)).toEqual(['Rename twice', 'Change title']);
  });

  it('commits a gesture when an edit without one follows', () => {
    const session = createSession(patch);
    session.run(rename('Pier', 'a'), { gesture: 'one' });
    session.run(rename('a', 'b'));
    expect(session.getState().history.past).toHaveLength(2);
    expect(session.getState().gesture).toBeUndefined();
  });

  it('puts everything back when a gesture is cancelled, and keeps redo', () => {
    const session = createSession(patch);
    session.run(rename('Pier', 'Mole'));
    session.undo();
    session.run(rename('Pier', 'x'), { gesture: 'title' });
    session.cancelGesture();
    expect(session.getState().patch).toEqual(patch);
    session.redo();
    expect(session.getState().patch.title).toBe('Mole');
  });

  it('does not clear redo by selecting something', () => {
    const session = createSession(patch);
    session.run(rename('Pier', 'Mole'));
    session.undo();
    session.select(['osc1']);
    session.selectCable('out1.left');
    session.redo();
    expect(session.getState().patch.title).toBe('Mole');
  });

  it('drops from the selection what an edit removes, and nothing else', () => {
    const session = createSession(patch);
    session.select(['osc1', 'out1']);
    session.run(removeFirst);
    expect([...session.getState().selection.blocks]).toEqual(['out1']);
    session.undo();
    session.selectCable('out1.left');
    session.redo();
    expect(session.getState().selection.cable).toBeUndefined();
  });

  it('forgets history and selection when another document is opened', () => {
    const session = createSession(patch);
    session.run(rename('Pier', 'Mole'));
    session.select(['osc1']);
    session.open({ blocks: [], cables: [] }, 'p7');
    const { history, selection, opened } = session.getState();
    expect(history.past).toEqual([]);
    expect(selection.blocks.size).toBe(0);
    expect(opened).toEqual({ count: 1, id: 'p7' });
  });
});
