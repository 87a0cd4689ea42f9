/** Keys that work anywhere on the page where no text is typed: Shift P plays the take, Shift B switches before and after, Escape takes the ear off. */
import type { Ear } from '../ear/ear.ts';
import type { TakePlayer } from './takePlayer.ts';

export interface TakeKeysParts {
  readonly takePlayer: TakePlayer;
  readonly ear: Ear;
  /** Is the key meant for a text field, a menu or a dialog? */
  readonly isTyping: (target: EventTarget | null) => boolean;
}

/** Listens to the page's keys. Returns the way to stop. */
export function attachTakeKeys({ takePlayer, ear, isTyping }: TakeKeysParts, page: Window): () => void {
  const onKey = (event: KeyboardEvent): void => {
    if (event.defaultPrevented || event.repeat || event.ctrlKey || event.altKey || event.metaKey || isTyping(event.target)) return;
    if (event.key === 'Escape' && ear.getState().at) {
      // Whatever else Escape closes comes first: a menu, a cable in hand, a selection.
      setTimeout(() => {
        if (!event.defaultPrevented) ear.off();
      }, 0);
    } else if (event.shiftKey && event.key.toLowerCase() === 'p') {
      takePlayer.toggle();
      event.preventDefault();
    } else if (event.shiftKey && event.key.toLowerCase() === 'b') {
      takePlayer.hear(takePlayer.getState().heard === 'after' ? 'before' : 'after');
      event.preventDefault();
    }
  };
  page.addEventListener('keydown', onKey);
  return () => page.removeEventListener('keydown', onKey);
}
