/** What the patch does, in plain sentences, with the constructions that it holds. */
import { type Explanation, explain } from '../../insight/explain/explain.ts';
import { topicTitles } from '../../insight/explain/topics.ts';
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
  for (const [i, { id, name, say, tryOut }] of constructions.entries()) {
    const all = constructions.filter((other) => other.id === id);
    // several of one kind are told once
    if (constructions.findIndex((other) => other.id === id) === i) {
      lines.push(`  ${name} (${all.map(({ where }) => where).join('; ')}). ${say} Try: ${tryOut}`);
    }
  }
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
