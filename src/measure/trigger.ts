/** Where a scope starts its trace: edges with hysteresis, between frames. */

export interface Trigger {
  /** In the unit of the samples. */
  readonly level: number;
  /** The signal must have been this far on the other side of the level before an edge counts; 0 or more. */
  readonly hysteresis: number;
  readonly edge: 'rising' | 'falling';
}

/**
 * Fractional frame at which the signal first crosses the level after `from`, by a straight line between frames;
 * undefined if it never does before `to`.
 */
export function findEdge(samples: ArrayLike<number>, trigger: Trigger, from = 0, to = samples.length): number | undefined {
  const sign = trigger.edge === 'rising' ? 1 : -1;
  const level = sign * trigger.level;
  const armBelow = level - trigger.hysteresis;
  let armed = false;
  for (let i = from; i < to; i++) {
    const x = sign * (samples[i] as number);
    if (armed && x >= level) {
      const before = sign * (samples[i - 1] as number);
      return i - (x - level) / (x - before);
    }
    // Hysteresis 0 still needs a frame below the level itself.
    if (x <= armBelow && x < level) armed = true;
  }
  return undefined;
}

/** All edges in from..to-1, in order. */
export function findEdges(samples: ArrayLike<number>, trigger: Trigger, from = 0, to = samples.length): number[] {
  const edges: number[] = [];
  let at = from;
  for (;;) {
    const edge = findEdge(samples, trigger, at, to);
    if (edge === undefined) return edges;
    edges.push(edge);
    at = Math.ceil(edge);
  }
}

/**
 * The last edge that leaves `frames` frames behind it before `to`: a scope that shows the newest whole trace.
 * Looks back over `reach` frames before that.
 */
export function findLastEdge(
  samples: ArrayLike<number>,
  trigger: Trigger,
  frames: number,
  reach: number,
  to = samples.length,
): number | undefined {
  const end = to - frames;
  return findEdges(samples, trigger, Math.max(0, end - reach), Math.max(0, end)).at(-1);
}
