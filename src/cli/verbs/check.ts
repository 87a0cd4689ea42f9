import { engineModuleFrom } from '../../engine/hosts/node.ts';
import type { Finding } from '../../insight/finding.ts';
import { findings } from '../../insight/findings.ts';
import type { Patch } from '../../patch/document.ts';
import { MAXIMUM_SECONDS } from '../../patch/limits.ts';
import { catalogue, nameOf, readDocuments } from '../document.ts';
import { readRecordings } from '../recordings.ts';
import { allFindings, findingRecord } from '../report.ts';
import { wasmFile } from '../root.ts';
import { DONE, numberOption, REFUSED, type Terminal, type Verb } from '../verb.ts';

/** Undefined where the take needs sound files that are not to be had. */
function findingsOf(file: string, patch: Patch, seconds: number | undefined, terminal: Terminal): readonly Finding[] | undefined {
  if (seconds === undefined) return findings(patch, catalogue);
  const recordings = readRecordings(file, patch, terminal);
  if (!recordings) return undefined;
  return allFindings(engineModuleFrom(wasmFile), patch, { seconds, recordings });
}

export const check: Verb = {
  usage: 'FILE... [--seconds N] [--json]',
  say: 'says what is wrong with a patch and what to change; with --seconds it also renders that much and listens',
  options: { seconds: { type: 'string' }, json: { type: 'boolean' } },
  takes: [1, Number.POSITIVE_INFINITY],
  run: (files, options, terminal) => {
    const seconds = numberOption(options, 'seconds', 0, MAXIMUM_SECONDS);
    const documents = readDocuments(files, terminal);
    const checked = documents.map(({ file, patch }) => ({ file, findings: patch && findingsOf(file, patch, seconds, terminal) }));
    const found = checked.flatMap(({ file, findings: list }) => (list ?? []).map((finding) => ({ file, finding })));
    if (options.json) {
      const records = found.map(({ file, finding }) => ({ file: nameOf(file), ...findingRecord(finding) }));
      if (checked.some(({ findings: list }) => list)) terminal.out(JSON.stringify({ findings: records }, null, 2));
    } else {
      for (const { file, finding } of found) {
        terminal.out(`${nameOf(file)}: ${finding.severity}: ${finding.block === undefined ? '' : `${finding.block}: `}${finding.say}`);
      }
    }
    const refused = checked.some(({ findings: list }) => !list);
    return refused || found.some(({ finding }) => finding.severity === 'error') ? REFUSED : DONE;
  },
};
