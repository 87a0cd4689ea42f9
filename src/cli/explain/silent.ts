import { silence } from '../../insight/silent/index.ts';
import { findingRecord } from '../report.ts';
import type { Answer } from './asked.ts';

/** `explain --silent`: the reasons, what to mend first first, and the edit that was tried. */
export const whySilent: Answer = ({ patch, hearing, seconds }) => {
  const answer = silence(hearing, patch, { seconds });
  const { findings, silent, tried } = answer;
  const length = `the ${Number(answer.seconds.toPrecision(4))} s of the take`;
  const lines = findings.flatMap(({ block, say, fix }) => [
    `${block === undefined ? '' : `${block}: `}${say}`,
    ...(fix ? [`  To mend it: ${fix.label}.`] : []),
  ]);
  const heading = !silent
    ? `It is not silent: something is heard in ${length}.`
    : findings.length === 0
      ? 'The patch has no blocks.'
      : undefined;
  const close = tried ? (findings.length > 1 ? 'Tried: with these edits it sounds.' : 'Tried: with this edit it sounds.') : undefined;
  return {
    lines: [...(heading ? [heading] : []), ...lines, ...(close ? [close] : [])],
    record: {
      silent,
      seconds: answer.seconds,
      levelDb: answer.level === undefined ? null : Math.round(answer.level * 10) / 10,
      tried,
      findings: findings.map((finding) => ({ ...findingRecord(finding), place: finding.place ?? null, fix: finding.fix ?? null })),
    },
  };
};
