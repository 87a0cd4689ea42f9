/** Moving the keyboard focus about the sketch. */
import type { PortRef } from './cabling.ts';
import { portName } from './cabling.ts';

export function blockElement(id: string): HTMLElement | undefined {
  return document.querySelector<HTMLElement>(`.react-flow__node[data-id="${CSS.escape(id)}"]`) ?? undefined;
}

/** Waits for the block to be drawn. */
export function focusBlock(id: string): void {
  requestAnimationFrame(() => blockElement(id)?.focus({ preventScroll: true }));
}

export function portElement(port: PortRef): HTMLElement | undefined {
  return document.querySelector<HTMLElement>(`[data-port="${CSS.escape(portName(port))}"]`) ?? undefined;
}

export function focusPort(port: PortRef): void {
  portElement(port)?.focus({ preventScroll: true });
}

/** The port that an element of the page stands for. */
export function portOfElement(element: Element | null): PortRef | undefined {
  const data = element instanceof HTMLElement ? element.dataset : undefined;
  if (!data?.port || !data.block || !data.id || (data.side !== 'input' && data.side !== 'output')) return undefined;
  return { place: [data.block, data.id], side: data.side };
}
