/** A hand's movement of a setting, as the engine plays it. */

/**
 * The value on each frame: the document's before the first point, straight between points, the last one's after them (DEVELOPERS.md,
 * settings; `takeEvents` of the engine). Frames are asked for in rising order.
 */
export function handCurve(before: number, points: readonly (readonly [number, number])[], rate: number): (frame: number) => number {
  const frames = points.map(([seconds]) => Math.round(seconds * rate));
  let next = 0;
  return (frame) => {
    if (next > 0 && frame < (frames[next - 1] as number)) next = 0;
    while (next < frames.length && (frames[next] as number) <= frame) next++;
    if (next === 0) return before;
    const [at, value] = [frames[next - 1] as number, points[next - 1]?.[1] as number];
    const to = points[next]?.[1];
    if (to === undefined) return value;
    return value + ((to - value) * (frame - at)) / ((frames[next] as number) - at);
  };
}
