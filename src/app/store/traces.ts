/**
 * Where the little traces on the cables get their volts from. Whoever plays or renders publishes; whoever draws
 * subscribes. No volt passes through React: listeners draw on a canvas when the screen is due.
 */
import { type Place, placeName } from '../../patch/document.ts';

/** The last seconds of one output, as least and greatest volt per column, oldest column first. */
export interface Trace {
  readonly least: Float32Array;
  readonly most: Float32Array;
  /** How many columns are filled, from the end. */
  readonly filled: number;
  /** Seconds that all columns span. */
  readonly seconds: number;
}

export interface TraceSource {
  /** Hears of new columns at this output. The trace may be the same object refilled: draw from it at once or on the next frame. Returns the way to stop. */
  subscribe(place: Place, listener: (trace: Trace) => void): () => void;
}

export interface TraceHub extends TraceSource {
  publish(place: Place, trace: Trace): void;
  /** Names of outputs that somebody draws ("block.port"). */
  wanted(): ReadonlySet<string>;
  /** Told whenever the wanted outputs differ, at most once per turn of the event loop. */
  onWanted(listener: (wanted: ReadonlySet<string>) => void): () => void;
}

export function createTraceHub(): TraceHub {
  const listeners = new Map<string, Set<(trace: Trace) => void>>();
  const latest = new Map<string, Trace>();
  const watchers = new Set<(wanted: ReadonlySet<string>) => void>();
  let told = false;

  const wanted = (): ReadonlySet<string> => new Set(listeners.keys());
  const tell = (): void => {
    if (told) return;
    told = true;
    queueMicrotask(() => {
      told = false;
      const names = wanted();
      for (const watcher of watchers) watcher(names);
    });
  };

  return {
    subscribe(place, listener) {
      const name = placeName(place);
      const heard = listeners.get(name) ?? new Set();
      if (heard.size === 0) tell();
      heard.add(listener);
      listeners.set(name, heard);
      const trace = latest.get(name);
      if (trace) listener(trace);
      return () => {
        heard.delete(listener);
        if (heard.size > 0 || listeners.get(name) !== heard) return;
        listeners.delete(name);
        latest.delete(name);
        tell();
      };
    },
    publish(place, trace) {
      const name = placeName(place);
      const heard = listeners.get(name);
      if (!heard) return;
      latest.set(name, trace);
      for (const listener of heard) listener(trace);
    },
    wanted,
    onWanted(listener) {
      watchers.add(listener);
      return () => watchers.delete(listener);
    },
  };
}
