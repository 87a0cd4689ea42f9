/** The layout library in its worker; reached only by a dynamic import, as it is large. */
import ELK, { type ElkNode } from 'elkjs/lib/elk-api.js';
import workerUrl from 'elkjs/lib/elk-worker.min.js?url';

let elk: InstanceType<typeof ELK> | undefined;

export function layOut(graph: ElkNode): Promise<ElkNode> {
  elk ??= new ELK({ workerFactory: () => new Worker(workerUrl) });
  return elk.layout(graph);
}
