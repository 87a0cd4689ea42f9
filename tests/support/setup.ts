/**
 * What jsdom lacks and the page's components need. Runs before every test file; does nothing in Node's environment.
 */
export {};

if (typeof window !== 'undefined') {
  await import('@testing-library/jest-dom/vitest');
  const { afterEach } = await import('vitest');
  const { cleanup } = await import('@testing-library/react');
  afterEach(cleanup);

  const width = 800;
  const height = 600;

  /** Reports a size once, later: an answer inside `observe` would come before the canvas is ready for it. */
  class ResizeObserverStub implements ResizeObserver {
    readonly #callback: ResizeObserverCallback;
    #observing = true;
    constructor(callback: ResizeObserverCallback) {
      this.#callback = callback;
    }
    observe(target: Element): void {
      setTimeout(() => {
        if (!this.#observing) return;
        const box = { inlineSize: width, blockSize: height };
        const contentRect = { x: 0, y: 0, width, height, top: 0, left: 0, right: width, bottom: height, toJSON: () => ({}) };
        this.#callback([{ target, contentRect, borderBoxSize: [box], contentBoxSize: [box], devicePixelContentBoxSize: [box] }], this);
      });
    }
    unobserve(): void {}
    disconnect(): void {
      this.#observing = false;
    }
  }
  globalThis.ResizeObserver = ResizeObserverStub;

  class DomMatrixStub {
    readonly m22: number;
    constructor(transform?: string) {
      this.m22 = Number(transform?.match(/scale\(([\d.]+)\)/)?.[1] ?? 1);
    }
  }
  Object.defineProperty(globalThis, 'DOMMatrixReadOnly', { value: DomMatrixStub, configurable: true });

  Object.defineProperties(HTMLElement.prototype, {
    offsetWidth: { configurable: true, get: () => width },
    offsetHeight: { configurable: true, get: () => height },
  });
  Object.defineProperty(SVGElement.prototype, 'getBBox', { configurable: true, value: () => ({ x: 0, y: 0, width: 10, height: 10 }) });
  Element.prototype.scrollIntoView = () => {};
  HTMLCanvasElement.prototype.getContext = () => null;
  window.matchMedia = (query: string): MediaQueryList => ({
    matches: false,
    media: query,
    onchange: null,
    addEventListener: () => {},
    removeEventListener: () => {},
    addListener: () => {},
    removeListener: () => {},
    dispatchEvent: () => false,
  });
}
