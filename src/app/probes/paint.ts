/** Colours and sizes of the tray's drawings, read from the page's theme. */
import type { SignalKind } from '../../patch/blockSpec.ts';

export interface Paint {
  readonly paper: string;
  readonly ink: string;
  readonly soft: string;
  readonly rule: string;
  readonly before: string;
  readonly pick: string;
  readonly font: string;
  readonly line: Readonly<Record<SignalKind, string>>;
}

export function paintOf(element: Element): Paint {
  const style = getComputedStyle(element);
  const read = (name: string): string => style.getPropertyValue(name).trim();
  const resolve = (name: string): string => {
    const value = read(name);
    return value.startsWith('var(') ? read(value.slice(4, -1)) : value;
  };
  return {
    paper: resolve('--paper'),
    ink: resolve('--ink'),
    soft: resolve('--ink-soft'),
    rule: resolve('--rule'),
    before: resolve('--before'),
    pick: resolve('--pick-line'),
    font: `11px ${read('--mono')}`,
    line: { audio: resolve('--ink'), control: resolve('--line-control'), gate: resolve('--line-gate'), pitch: resolve('--line-pitch') },
  };
}

/** Fits a canvas to its box in device pixels; answers its size in CSS pixels. */
export function fitCanvas(canvas: HTMLCanvasElement): { context: CanvasRenderingContext2D; width: number; height: number } | undefined {
  const context = canvas.getContext('2d');
  const { clientWidth: width, clientHeight: height } = canvas;
  if (!context || width === 0 || height === 0) return undefined;
  const ratio = globalThis.devicePixelRatio || 1;
  const [w, h] = [Math.round(width * ratio), Math.round(height * ratio)];
  if (canvas.width !== w || canvas.height !== h) {
    canvas.width = w;
    canvas.height = h;
  }
  context.setTransform(ratio, 0, 0, ratio, 0, 0);
  context.clearRect(0, 0, width, height);
  return { context, width, height };
}
