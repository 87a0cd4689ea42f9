// @vitest-environment node
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Change } from './change.ts';
import type { Patch } from './document.ts';
import { begin, cancel, commit, createHistory, extend, idsInHistory, record, redo, redoLabel, undo, undoLabel } from './history.ts';

const start: Patch = { title: '0', blocks: [{ id: 'osc1', type: 'oscillator' }], cables: [] };

const titled = (from: Patch, title: string): Change => ({ label: `Title ${title}`, details: [{ title: from.title! }, { title }] });

function titles(...list: string[]) {
  return list.reduce((history, title) => record(history, titled(history.patch, title)), createHistory(start));
}

describe('history', () => {
  it('undoes and redoes each step by its label', () => {
    const history = titles('1', '2');
    expect(undoLabel(history)).toBe('Title 2');
    const back = undo(history);
    expect([back.patch.title, undoLabel(back), redoLabel(back)]).toEqual(['1', 'Title 1', 'Title 2']);
    expect(redo(back)).toEqual(history);
    expect(undo(undo(undo(back))).patch).toEqual(start);
    expect(redo(history)).toBe(history);
  });

  it('a new step clears redo, an empty one does not count', () => {
    const back = undo(titles('1', '2'));
    expect(redoLabel(record(back, titled(back.patch, '3')))).toBeUndefined();
    expect(record(back, titled(back.patch, '1'))).toEqual(back);
  });

  it('makes one step of a gesture', () => {
    let history = begin(titles('1'), 'Retitle');
    for (const title of ['2', '3', '4']) history = extend(history, titled(history.patch, title));
    expect(undoLabel(history)).toBe('Retitle');
    const done = commit(history);
    expect([done.patch.title, undoLabel(done), done.past.length]).toEqual(['4', 'Retitle', 2]);
    expect(undo(done).patch.title).toBe('1');
  });

  it('a gesture that comes back to where it began is no step and keeps redo', () => {
    const back = undo(titles('1', '2'));
    let history = begin(back, 'Retitle');
    for (const title of ['5', '1']) history = extend(history, titled(history.patch, title));
    expect(commit(history)).toEqual(back);
  });

  it('a cancelled gesture leaves nothing behind', () => {
    const back = undo(titles('1', '2'));
    const history = extend(begin(back, 'Retitle'), titled(back.patch, '7'));
    expect(history.patch.title).toBe('7');
    expect(cancel(history)).toEqual(back);
  });

  it('undo in the middle of a gesture takes the gesture back', () => {
    const history = extend(begin(titles('1'), 'Retitle'), titled(titles('1').patch, '2'));
    expect(undo(history).patch.title).toBe('1');
    expect(redo(undo(history)).patch.title).toBe('2');
  });

  it('extending without a gesture is a programmer error', () => {
    expect(() => extend(createHistory(start), titled(start, '1'))).toThrow(/begin/);
  });

  it('knows the ids of blocks that only history still has', () => {
    const removed: Change = { label: 'Remove', blocks: { added: [], removed: [[0, start.blocks[0]!]], updated: [] } };
    expect([...idsInHistory(record(createHistory(start), removed))]).toEqual(['osc1']);
  });

  it('any walk of steps, undos and redos ends where its step list says', () => {
    fc.assert(
      fc.property(fc.array(fc.constantFrom('step', 'undo', 'redo'), { maxLength: 60 }), (walk) => {
        let history = createHistory(start);
        let done = ['0'];
        let ahead: string[] = [];
        walk.forEach((move, i) => {
          if (move === 'step') {
            history = record(history, titled(history.patch, `s${i}`));
            done = [...done, `s${i}`];
            ahead = [];
          } else if (move === 'undo') {
            history = undo(history);
            if (done.length > 1) ahead = [done.pop()!, ...ahead];
          } else {
            history = redo(history);
            if (ahead.length) done = [...done, ahead.shift()!];
          }
          expect(history.patch.title).toBe(done.at(-1));
        });
      }),
    );
  });
});
