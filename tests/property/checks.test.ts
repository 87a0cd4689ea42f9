// @vitest-environment node
/** The checks and the questions over random patches: they never stumble, speak in whole sentences, and offer edits that mend. */
import { describe, expect, it } from 'vitest';
import { ruleOf } from '../../src/insight/checks/index.ts';
import type { Finding } from '../../src/insight/finding.ts';
import { findings } from '../../src/insight/findings.ts';
import { type Complaint, complaints, reasons } from '../../src/insight/reasons/index.ts';
import { hearForChecks, takeFindings } from '../../src/insight/takeFindings.ts';
import { applyChange } from '../../src/patch/change.ts';
import { mend } from '../../src/patch/commands/index.ts';
import type { Patch } from '../../src/patch/document.ts';
import { isRefusal } from '../../src/patch/refusal.ts';
import { fullCatalogue, hearing } from '../support/hearing.ts';
import { seededPatch } from '../support/seededPatch.ts';

const SECONDS = 0.5;
const seeds = Array.from({ length: 14 }, (_, i) => i + 1);

const heard = (patch: Patch): Finding[] => takeFindings(hearForChecks(hearing, patch, { seconds: SECONDS }));

function expectWhole(patch: Patch, found: readonly Finding[]): void {
  for (const { block, place, say } of found) {
    expect(say).toMatch(/^\S.* .*[.?]$/);
    expect(say).not.toMatch(/NaN|Infinity|undefined|\[object/);
    const spec = fullCatalogue.get(patch.blocks.find(({ id }) => id === block)?.type ?? '');
    if (block !== undefined) expect(spec).toBeDefined();
    if (place) {
      expect(place[0]).toBe(block);
      expect([...(spec?.inputs ?? []), ...(spec?.outputs ?? []), ...(spec?.settings ?? [])].map(({ id }) => id)).toContain(place[1]);
    }
  }
}

describe.each(seeds)('random patch %i', (seed) => {
  const patch = seededPatch(seed);

  it('is checked without a stumble, the same each time, by rules that are known', () => {
    const found = [...findings(patch, fullCatalogue), ...heard(patch)];
    expectWhole(patch, found);
    for (const { id } of found) expect(ruleOf(id)?.id).toBe(id);
    expect([...findings(patch, fullCatalogue), ...heard(patch)]).toEqual(found);
  });

  it('gets an answer to each question', () => {
    for (const complaint of Object.keys(complaints) as Complaint[]) {
      const answer = reasons(hearing, patch, { complaint, seconds: SECONDS });
      expectWhole(patch, answer.findings);
      expect(answer.say).toMatch(/^[A-Z0-9].*[.?]$/);
      expect(answer.say).not.toMatch(/NaN|Infinity|undefined/);
      if (answer.findings.length === 0) expect(answer.say).toMatch(/I cannot tell|not loud/);
    }
  });

  it('is mended by what is offered: the edit is accepted and the finding is gone', () => {
    for (const finding of findings(patch, fullCatalogue)) {
      if (!finding.fix) continue;
      const change = mend(patch, fullCatalogue, finding.fix);
      if (isRefusal(change)) throw new Error(`${finding.id}: ${change.say}`);
      const after = findings(applyChange(patch, change), fullCatalogue);
      const same = ({ id, block, place }: Finding): boolean =>
        id === finding.id && block === finding.block && place?.[1] === finding.place?.[1];
      expect(after.filter(same)).toEqual([]);
    }
  });
});
