/**
 * What the pictures say, as text: beside each lane's name, at the pointer, and how it was worked out. Written straight into the page a
 * few times a second, so that no volt passes through React and live sound does not make the text flicker.
 */
import type { Drawing } from './drawing.ts';
import type { View } from './views.ts';

/** Milliseconds from one writing to the next. */
const PAUSE = 200;

export class Readouts {
  readonly lanes = new Map<string, HTMLElement>();
  pointer: HTMLElement | null = null;
  note: HTMLElement | null = null;
  /** Told of each drawing, for what else follows the screen. */
  also: ((drawing: Drawing) => void) | undefined;
  #waiting: { drawing: Drawing; view: View } | undefined;
  #timer: ReturnType<typeof setTimeout> | undefined;

  /** A picture was drawn. */
  drawn(drawing: Drawing, view: View): void {
    write(this.pointer, view.read?.(drawing) ?? '');
    if (view.table) this.also?.(drawing);
    this.#waiting = { drawing, view };
    this.#timer ??= setTimeout(() => this.#write(), PAUSE);
  }

  stop(): void {
    clearTimeout(this.#timer);
    this.#timer = undefined;
  }

  #write(): void {
    this.#timer = undefined;
    if (!this.#waiting) return;
    const { drawing, view } = this.#waiting;
    write(this.note, view.note?.(drawing) ?? '');
    for (const [i, { name }] of drawing.lanes.entries()) write(this.lanes.get(name) ?? null, view.say?.(drawing, i) ?? '');
  }
}

function write(element: HTMLElement | null, text: string): void {
  if (element && element.textContent !== text) element.textContent = text;
  if (element && element.title !== text) element.title = text;
}
