/**
 * Why is it so loud, so distorted, so out of tune, so off the beat? One rendering, measured, and from the output back to where it begins.
 * What is found is likely, not certain: where nothing fits, the answer says so.
 */
import type { Patch } from '../../patch/document.ts';
import { findings } from '../findings.ts';
import type { Hearing } from '../heard.ts';
import { distinct } from '../silence.ts';
import { hearForChecks, takeFindings } from '../takeFindings.ts';
import { whyOffBeat } from './beat.ts';
import type { Complaint, Evidence, Reasons } from './complaint.ts';
import { whyDistorted } from './distorted.ts';
import { whyLoud } from './loud.ts';
import { whyOutOfTune } from './tune.ts';

export type { Complaint, Reasons } from './complaint.ts';

/** The question in words. */
export const complaints: Readonly<Record<Complaint, string>> = {
  loud: 'Why is it so loud?',
  distorted: 'Why is it so distorted?',
  outOfTune: 'Why is it so out of tune?',
  offBeat: 'Why is it so off the beat?',
};

export interface ReasonsArgs {
  readonly complaint: Complaint;
  /** Left out: the patch's own length. */
  readonly seconds?: number;
}

export function reasons(hearing: Hearing, patch: Patch, { complaint, seconds }: ReasonsArgs): Reasons {
  const take = hearForChecks(hearing, patch, seconds === undefined ? {} : { seconds });
  const evidence: Evidence = { take, found: [...findings(patch, hearing.catalogue), ...takeFindings(take)] };
  const answers: Readonly<Record<Complaint, () => Reasons>> = {
    loud: () => whyLoud(evidence),
    distorted: () => whyDistorted(evidence),
    outOfTune: () => whyOutOfTune(evidence, hearing.catalogue),
    offBeat: () => whyOffBeat(evidence),
  };
  const answer = answers[complaint]();
  return { ...answer, findings: distinct(answer.findings) };
}
