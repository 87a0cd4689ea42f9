/** What happens in a take at which engine frame: notes of the score and hand movements. */
import type { Patch } from '../../patch/document.ts';
import { findSetting, settingNumbers } from '../../patch/settings.ts';
import { glides } from './compile.ts';
import type { PlacedBlock, Plan } from './plan.ts';

/** Message codes that `message` of a kernel understands. */
export const MESSAGE = { noteOff: 0, noteOn: 1, bend: 2, wheel: 3, allOff: 4, press: 5 } as const;

/** A setting's straight way to `target`, beginning at an engine frame. */
export interface SettingEvent {
  readonly kind: 'setting';
  readonly frame: number;
  /** Address of the block and offset of the setting in it. */
  readonly block: number;
  readonly setting: number;
  /** Start value; NaN for where the setting stands. */
  readonly from: number;
  readonly target: number;
  /** Length in engine frames; 0 switches. */
  readonly glide: number;
}

export interface MessageEvent {
  readonly kind: 'message';
  readonly frame: number;
  readonly block: number;
  readonly code: number;
  readonly a: number;
  readonly b: number;
}

export type EngineEvent = SettingEvent | MessageEvent;

/** Engine frame of a time: rounded from the exact time, so nothing drifts. */
export function frameAt(seconds: number, plan: Pick<Plan, 'rate' | 'quality'>): number {
  return Math.round(seconds * plan.rate * plan.quality);
}

/** Events that set one setting of a block; lists give one event per number. */
export function settingEvents(
  block: PlacedBlock,
  id: string,
  value: Parameters<typeof settingNumbers>[1],
  frame: number,
  glide: number,
): SettingEvent[] {
  const setting = findSetting(block.spec, id);
  const place = block.layout.settings.find((entry) => entry.id === id);
  if (!setting || !place) return [];
  return settingNumbers(setting, value).map((target, k) => ({
    kind: 'setting',
    frame,
    block: block.address,
    setting: place.offset + k * 8,
    from: Number.NaN,
    target,
    glide: glides(block.spec, id) ? glide : 0,
  }));
}

/** All events of a take, in order of frames. */
export function takeEvents(patch: Patch, plan: Plan): EngineEvent[] {
  const events: EngineEvent[] = [];
  const players = [...plan.blocks.values()].filter(({ spec }) => spec.playsNotes);
  for (const { at, note, length, velocity } of patch.score ?? []) {
    for (const { address: block } of players) {
      events.push({ kind: 'message', frame: frameAt(at, plan), block, code: MESSAGE.noteOn, a: note, b: velocity ?? 0.8 });
      events.push({ kind: 'message', frame: frameAt(at + length, plan), block, code: MESSAGE.noteOff, a: note, b: 0 });
    }
  }
  for (const move of patch.moves ?? []) {
    const block = plan.blocks.get(move.block);
    const place = block?.layout.settings.find(({ id }) => id === move.setting);
    if (!block || !place) continue;
    const smooth = glides(block.spec, move.setting);
    for (const [i, [time, value]] of move.points.entries()) {
      const next = move.points[i + 1];
      const frame = frameAt(time, plan);
      const glide = next && smooth ? frameAt(next[0], plan) - frame : 0;
      const target = next && smooth ? next[1] : value;
      events.push({ kind: 'setting', frame, block: block.address, setting: place.offset, from: value, target, glide });
    }
  }
  return inOrder(events);
}

/** Sorted by frame; on one frame a note's end comes before another note's begin, else order of arrival. */
function inOrder(events: EngineEvent[]): EngineEvent[] {
  const rank = (event: EngineEvent): number => (event.kind === 'message' && event.code === MESSAGE.noteOff ? 0 : 1);
  return events
    .map((event, i) => ({ event, i }))
    .sort((a, b) => a.event.frame - b.event.frame || rank(a.event) - rank(b.event) || a.i - b.i)
    .map(({ event }) => event);
}
