/** Which notes are played beside which, and what moves them. */

import type { Catalogue } from '../../patch/blockSpec.ts';
import { placeName } from '../../patch/document.ts';
import { signalKinds } from '../../patch/signalKind.ts';
import type { HeardPatch } from '../checks/heardPatch.ts';
import { connections, inputName, plain } from '../checks/look.ts';
import { movedSettings } from '../checks/moved.ts';
import { isScattered } from '../checks/pitchRules.ts';
import { type Voice, voicesOf } from '../checks/tuning.ts';
import type { Finding } from '../finding.ts';
import { type Evidence, ofRules, type Reasons } from './complaint.ts';

/** Cents that are heard one after the other (our choice, near the just noticeable difference of some 5 cents; value from memory). */
const HEARD_CENTS = 5;
/** A vibrato beyond half a semitone to both sides is more than colour (our choice). */
const WIDE_OCTAVES = 1 / 12;

export function whyOutOfTune({ take, found }: Evidence, catalogue: Catalogue): Reasons {
  const voices = voicesOf(take);
  const findings = [
    ...ofRules(found, ['pitch-scaled', 'off-scale']),
    ...voices
      .filter((voice) => !isScattered(voice) && Math.abs(voice.cents) > HEARD_CENTS)
      .sort((a, b) => Math.abs(b.cents) - Math.abs(a.cents))
      .map(beside),
    ...apart(voices),
    ...wide(take, catalogue),
    ...ofRules(found, ['note-flicker']),
  ];
  const list = voices.map(({ known, cents }) => `${known.label} ${signed(cents)}`).join(', ');
  const measured =
    voices.length > 0
      ? `Measured in cents beside equal temperament (A4 = 440 Hz): ${list}.`
      : 'No oscillator that is heard plays a steady note.';
  return { complaint: 'outOfTune', say: findings.length > 0 ? measured : `${measured} I cannot tell what is out of tune.`, findings };
}

function signed(cents: number): string {
  const tenth = Math.round(10 * cents) / 10;
  return `${tenth > 0 ? '+' : ''}${tenth === 0 ? 0 : tenth}`;
}

function beside({ known, cents }: Voice): Finding {
  const say = `${known.label} plays ${plain(Math.abs(cents))} cents ${cents > 0 ? 'above' : 'below'} the notes of equal temperament.`;
  return { id: 'off-pitch', severity: 'hint', block: known.block.id, say };
}

/** Pairs that beat: each in tune or not, they are a few cents from one another. */
function apart(voices: readonly Voice[]): Finding[] {
  const firm = voices.filter((voice) => !isScattered(voice));
  return firm.flatMap((a, i) =>
    firm.slice(i + 1).flatMap((b) => {
      const away = b.cents - a.cents - 100 * Math.round((b.cents - a.cents) / 100);
      if (Math.abs(away) < HEARD_CENTS) return [];
      const say = `${b.known.label} is ${plain(Math.abs(away))} cents ${away > 0 ? 'above' : 'below'} ${a.known.label}: together they beat.`;
      return [{ id: 'beats', severity: 'hint' as const, block: b.known.block.id, say }];
    }),
  );
}

/** Pitches that something other than a pitch voltage moves far. */
function wide(take: HeardPatch, catalogue: Catalogue): Finding[] {
  const kinds = signalKinds(take.wired.patch, catalogue);
  return connections(take.wired).flatMap(({ known, input, source }) => {
    if (input.moves?.setting !== known.spec.tuned?.hertz || !input.moves || kinds.get(placeName(source)) === 'pitch') return [];
    const push = movedSettings(take.heard, take.wired, known).flatMap(({ pushes }) => pushes.filter((each) => each.input === input.id))[0];
    const reach = push ? push.most - push.least : 0;
    if (reach < WIDE_OCTAVES) return [];
    const say = `${inputName({ known, input })} moves its pitch over ${plain(12 * reach)} semitones.`;
    return [{ id: 'pitch-moved', severity: 'hint' as const, block: known.block.id, place: [known.block.id, input.id] as const, say }];
  });
}
