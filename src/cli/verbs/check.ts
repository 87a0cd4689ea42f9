import { specs } from '../../blocks/specs.gen.ts';
import { engineModuleFrom } from '../../engine/hosts/node.ts';
import { renderTake } from '../../engine/hosts/take.ts';
import type { Finding } from '../../insight/finding.ts';
import { findings } from '../../insight/findings.ts';
import type { Patch } from '../../patch/document.ts';
import { MAXIMUM_SECONDS } from '../../patch/limits.ts';
import { catalogue, nameOf, readDocuments } from '../document.ts';
import { allFindings, findingRecord } from '../report.ts';
import { wasmFile } from '../root.ts';
import { DONE, numberOption, REFUSED, type Verb } from '../verb.ts';

function findingsOf(patch: Patch, seconds: number | undefined): readonly Finding[] {
  if (seconds === undefined) return findings(patch, catalogue);
  const module = engineModuleFrom(wasmFile);
  return allFindings(module, patch, { seconds }, renderTake(module, specs, patch, { seconds }));
}

export const check: Verb = {
  usage: 'FILE... [--seconds N] [--json]',
  say: 'says what is wrong with a patch and what to change; with --seconds it also renders that much and listens',
  options: { seconds: { type: 'string' }, json: { type: 'boolean' } },
  takes: [1, Number.POSITIVE_INFINITY],
  run: (files, options, terminal) => {
    const seconds = numberOption(options, 'seconds', 0, MAXIMUM_SECONDS);
    const documents = readDocuments(files, terminal);
    const found = documents.flatMap(({ file, patch }) => (patch ? findingsOf(patch, seconds).map((finding) => ({ file, finding })) : []));
    if (options.json) {
      const records = found.map(({ file, finding }) => ({ file: nameOf(file), ...findingRecord(finding) }));
      if (documents.some(({ patch }) => patch)) terminal.out(JSON.stringify({ findings: records }, null, 2));
    } else {
      for (const { file, finding } of found) {
        terminal.out(`${nameOf(file)}: ${finding.severity}: ${finding.block === undefined ? '' : `${finding.block}: `}${finding.say}`);
      }
    }
    const refused = documents.some(({ patch }) => !patch);
    return refused || found.some(({ finding }) => finding.severity === 'error') ? REFUSED : DONE;
  },
};
