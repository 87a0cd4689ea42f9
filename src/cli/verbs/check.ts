import { engineModuleFrom } from '../../engine/hosts/node.ts';
import type { Finding } from '../../insight/finding.ts';
import { findings } from '../../insight/findings.ts';
import { type Complaint, type Reasons, type ReasonsArgs, reasons } from '../../insight/reasons/index.ts';
import type { Patch } from '../../patch/document.ts';
import { MAXIMUM_SECONDS } from '../../patch/limits.ts';
import { catalogue, nameOf, readDocuments } from '../document.ts';
import { readRecordings } from '../recordings.ts';
import { allFindings, findingRecord, hearingOf } from '../report.ts';
import { wasmFile } from '../root.ts';
import { DONE, numberOption, REFUSED, type Terminal, type Verb, wordOption } from '../verb.ts';

/** Undefined where the take needs sound files that are not to be had. */
function findingsOf(file: string, patch: Patch, seconds: number | undefined, terminal: Terminal): readonly Finding[] | undefined {
  if (seconds === undefined) return findings(patch, catalogue);
  const recordings = readRecordings(file, patch, terminal);
  if (!recordings) return undefined;
  return allFindings(engineModuleFrom(wasmFile), patch, { seconds, recordings });
}

/** Words for the questions, as they are written after --why. */
const whys: Readonly<Record<string, Complaint>> = { loud: 'loud', distorted: 'distorted', tune: 'outOfTune', beat: 'offBeat' };

/** Why it is so: the answer and what is likely behind it. Undefined where the take needs sound files that are not to be had. */
function reasonsOf(file: string, patch: Patch, args: ReasonsArgs, terminal: Terminal): Reasons | undefined {
  const recordings = readRecordings(file, patch, terminal);
  return recordings && reasons(hearingOf(engineModuleFrom(wasmFile), { recordings }), patch, args);
}

function answerWhy(files: readonly string[], args: ReasonsArgs, isJson: boolean, terminal: Terminal): number {
  const answers = readDocuments(files, terminal).map(({ file, patch }) => ({
    file: nameOf(file),
    answer: patch && reasonsOf(file, patch, args, terminal),
  }));
  const known = answers.flatMap(({ file, answer }) => (answer ? [{ file, answer }] : []));
  if (isJson && known.length > 0) {
    const records = known.map(({ file, answer }) => ({
      file,
      complaint: answer.complaint,
      say: answer.say,
      findings: answer.findings.map(findingRecord),
    }));
    terminal.out(JSON.stringify({ reasons: records }, null, 2));
  } else if (!isJson) {
    for (const { file, answer } of known) {
      terminal.out(`${file}: ${answer.say}`);
      for (const finding of answer.findings) terminal.out(`${file}: ${lineOf(finding)}`);
    }
  }
  return known.length < answers.length ? REFUSED : DONE;
}

function lineOf({ severity, block, say }: Finding): string {
  return `${severity}: ${block === undefined ? '' : `${block}: `}${say}`;
}

export const check: Verb = {
  usage: 'FILE... [--seconds N] [--why loud|distorted|tune|beat] [--json]',
  say: 'says what is wrong with a patch and what to change; with --seconds it also renders that much and listens; --why asks why it sounds so',
  options: { seconds: { type: 'string' }, why: { type: 'string' }, json: { type: 'boolean' } },
  takes: [1, Number.POSITIVE_INFINITY],
  run: (files, options, terminal) => {
    const seconds = numberOption(options, 'seconds', 0, MAXIMUM_SECONDS);
    const why = wordOption(options, 'why', Object.keys(whys));
    const complaint = why === undefined ? undefined : whys[why];
    if (complaint) return answerWhy(files, { complaint, ...(seconds !== undefined && { seconds }) }, options.json === true, terminal);
    const documents = readDocuments(files, terminal);
    const checked = documents.map(({ file, patch }) => ({ file, findings: patch && findingsOf(file, patch, seconds, terminal) }));
    const found = checked.flatMap(({ file, findings: list }) => (list ?? []).map((finding) => ({ file, finding })));
    if (options.json) {
      const records = found.map(({ file, finding }) => ({ file: nameOf(file), ...findingRecord(finding) }));
      if (checked.some(({ findings: list }) => list)) terminal.out(JSON.stringify({ findings: records }, null, 2));
    } else {
      for (const { file, finding } of found) {
        terminal.out(`${nameOf(file)}: ${lineOf(finding)}`);
      }
    }
    const refused = checked.some(({ findings: list }) => !list);
    return refused || found.some(({ finding }) => finding.severity === 'error') ? REFUSED : DONE;
  },
};
