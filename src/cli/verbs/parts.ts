import { partsOf, partsText } from '../../insight/parts.ts';
import { catalogue, nameOf, readDocuments } from '../document.ts';
import { DONE, REFUSED, type Verb } from '../verb.ts';

export const parts: Verb = {
  usage: 'FILE... [--json]',
  say: 'counts the functions that a patch takes',
  options: { json: { type: 'boolean' } },
  takes: [1, Number.POSITIVE_INFINITY],
  run: (files, options, terminal) => {
    const documents = readDocuments(files, terminal);
    const counted = documents.flatMap(({ file, patch }) => (patch ? [{ file, parts: partsOf(patch, catalogue) }] : []));
    if (options.json) {
      const records = counted.flatMap(({ file, parts: list }) => list.map((part) => ({ file: nameOf(file), ...part })));
      if (counted.length > 0) terminal.out(JSON.stringify({ parts: records }, null, 2));
    } else {
      for (const { file, parts: list } of counted) terminal.out(`${files.length > 1 ? `${nameOf(file)}: ` : ''}${partsText(list)}`);
    }
    return counted.length < documents.length ? REFUSED : DONE;
  },
};
