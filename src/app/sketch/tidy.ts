/**
 * Automatic layout: blocks in layers from left to right along the sound, with the ports' sides kept, so that cables
 * bend little. Runs in the layout library's own worker, loaded when it is first asked for.
 */
import type { Patch } from '../../patch/document.ts';
import type { BlockGeometry, Point } from '../../sheet/drawing/geometry.ts';
import { layoutGraph, readPlaces } from './tidyGraph.ts';

export async function tidyPlaces(patch: Patch, blocks: ReadonlyMap<string, BlockGeometry>): Promise<Map<string, Point>> {
  const { layOut } = await import('./layOut.ts');
  return readPlaces(await layOut(layoutGraph(patch, blocks)), blocks);
}
