/** What the patch does, in plain sentences, with the constructions that it holds. */
import { type Explanation, explain, topicTitles } from '../../insight/explain/explain.ts';
import type { Answer } from './asked.ts';

export const whatItDoes: Answer = ({ patch, hearing, seconds }) => {
  const explanation = explain(hearing, patch, seconds === undefined ? {} : { seconds });
  return { lines: linesOf(explanation), record: recordOf(explanation) };
};

function linesOf({ sentences, constructions }: Explanation): readonly string[] {
  if (sentences.length === 0) return ['The patch has no blocks that do anything.'];
  const lines: string[] = [];
  let about = '';
  for (const { about: topic, say } of sentences) {
    if (topic !== about) lines.push(...(about === '' ? [] : ['']), topicTitles[topic]);
    about = topic;
    lines.push(`  ${say}`);
  }
  if (constructions.length === 0) return lines;
  lines.push('', 'Constructions');
  for (const { name, where, say, tryOut } of constructions) lines.push(`  ${name} (${where}). ${say} Try: ${tryOut}`);
  return lines;
}

function recordOf({ seconds, sentences, constructions }: Explanation): object {
  return {
    seconds,
    sentences: sentences.map(({ about, say, blocks, cables }) => ({ about, say, blocks, cables })),
    constructions: constructions.map(({ id, name, say, tryOut, blocks, cables, heuristic }) => ({
      id,
      name,
      say,
      try: tryOut,
      blocks,
      cables,
      heuristic,
    })),
  };
}
