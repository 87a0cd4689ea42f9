/** What somebody may wonder about in what is heard, and what an answer to it is. */
import type { HeardPatch } from '../checks/heardPatch.ts';
import type { Finding } from '../finding.ts';

export type Complaint = 'loud' | 'distorted' | 'outOfTune' | 'offBeat';

export interface Reasons {
  readonly complaint: Complaint;
  /** What was measured, and "I cannot tell" where nothing fits: one or two sentences. */
  readonly say: string;
  /** Likeliest first. */
  readonly findings: readonly Finding[];
}

/** What answers look at: the take, and what the checks found in drawing and take. */
export interface Evidence {
  readonly take: HeardPatch;
  readonly found: readonly Finding[];
}

export function ofRules(found: readonly Finding[], ids: readonly string[]): Finding[] {
  return ids.flatMap((id) => found.filter((finding) => finding.id === id));
}
