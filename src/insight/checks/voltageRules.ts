/** Voltages in a take: envelopes, notes, held values, and whether what they reach can use them. */

import { type Place, placeName } from '../../patch/document.ts';
import { findSetting } from '../../patch/settings.ts';
import { formatValue } from '../../patch/values/index.ts';
import { moves, STILL_VOLTS } from '../tally.ts';
import { type KnownBlock, sourceOf, type Wired } from '../wired.ts';
import { risesOf, startsOf } from './gateRules.ts';
import type { HeardPatch } from './heardPatch.ts';
import { blocksOf, connections, inputName, isAnyUsed, isUsed, numberOf, outputName, outputSpec, plain } from './look.ts';
import { type Moved, movedSettings } from './moved.ts';
import type { Found, TakeRule } from './rule.ts';

/** An envelope is at rest below this share of its peak (our choice). */
const REST_SHARE = 0.25;
/** It has peaked above this share (our choice). */
const PEAK_SHARE = 0.9;
/** So many strokes make a rule. */
const STROKES = 3;
/** A note that gives way again to the one before within this time flickers (our choice; a trill has about 15 notes a second). */
const FLICKER_SECONDS = 0.04;
const FLICKERS = 4;
/** What exceeds a range by less than a tenth of it, or half an octave, is not worth a word (our choice). */
const BEYOND_SHARE = 0.1;
const BEYOND_OCTAVES = 0.5;

export const voltageRules: readonly TakeRule[] = [
  {
    id: 'envelope-no-rest',
    severity: 'hint',
    kind: 'take',
    about: 'An envelope that is above a quarter of its peak (our choice) at every new stroke, three or more: it never comes back to rest.',
    howToFix: 'Shorten its decay or release, or slow the clock.',
    wants: envelopePlaces,
    check: envelopeNoRest,
  },
  {
    id: 'envelope-no-peak',
    severity: 'hint',
    kind: 'take',
    about: 'An envelope that never reaches 90 % of its peak: the attack is longer than the gate.',
    howToFix: 'Shorten the attack, or lengthen the gate.',
    check: (take) =>
      blocksOf(take.wired).flatMap((known) => {
        const { envelope } = known.spec;
        if (!envelope || !isAnyUsed(take.wired, known)) return [];
        const strokes = startsOf(take, known.block.id, envelope.starts).reduce((sum, place) => sum + (take.figures(place)?.rises ?? 0), 0);
        const most = take.figures([known.block.id, envelope.output])?.most ?? 0;
        if (strokes < 2 || most >= PEAK_SHARE * envelope.peakVolts) return [];
        const attack = numberOf(known, envelope.attack);
        const say = `${known.label} reaches ${plain(most)} of its ${envelope.peakVolts} V: its attack of ${plain(attack)} s takes longer than the gate lasts.`;
        return [{ block: known.block.id, place: [known.block.id, envelope.attack] as const, say }];
      }),
  },
  {
    id: 'note-flicker',
    severity: 'warning',
    kind: 'take',
    about:
      'A quantizer goes to another note and back within 40 ms, four times or more: its input stands between two notes. Our choice of figures.',
    howToFix: 'Raise its hysteresis, give it a trigger, or shift the voltage by half a semitone.',
    wants: (wired) => usedOutputs(wired, (place) => outputSpec(wired, place)?.notes !== undefined),
    check: noteFlicker,
  },
  {
    id: 'same-value-held',
    severity: 'hint',
    kind: 'take',
    about: 'A sample and hold that takes the same value at every trigger, four or more.',
    howToFix: 'Sample something that moves, at another speed than the triggers.',
    wants: (wired) =>
      blocksOf(wired).flatMap((known) => {
        const { holds } = known.spec;
        const trigger = holds && sourceOf(wired, known.block.id, holds.trigger);
        return holds && trigger ? [[known.block.id, holds.output] as const, trigger] : [];
      }),
    check: sameValueHeld,
  },
  {
    id: 'still-control',
    severity: 'hint',
    kind: 'take',
    about: 'A cable into a control input that carries 0 V for the whole take.',
    howToFix: 'See what keeps its source still, or take the cable off.',
    check: (take) =>
      connections(take.wired).flatMap(({ known, input, source }) => {
        const from = take.wired.blocks.get(source[0]);
        const figures = take.figures(source);
        if (input.kind !== 'control' || !from || !figures || moves(figures) || Math.abs(figures.mean) > STILL_VOLTS) return [];
        if (from.spec.liveInput || from.spec.playsNotes || from.spec.pressed) return [];
        return {
          block: known.block.id,
          place: [known.block.id, input.id] as const,
          say: `${outputName(take.wired, source)} stays at 0 V for the whole take, so the cable to ${inputName({ known, input })} does nothing.`,
        };
      }),
  },
  {
    id: 'probe-still',
    severity: 'hint',
    kind: 'take',
    about: 'A probe on an output that does not move in the take.',
    howToFix: 'Clip it to something that moves.',
    check: (take) => {
      const probed = new Map((take.wired.patch.probes ?? []).map(({ at }) => [placeName(at), at]));
      return [...probed.values()].flatMap((at) => {
        const figures = take.figures(at);
        if (!figures || moves(figures)) return [];
        return { block: at[0], say: `The probe at ${outputName(take.wired, at)} sees nothing but ${plain(figures.mean)} V.` };
      });
    },
  },
  {
    id: 'beyond-range',
    severity: 'hint',
    kind: 'take',
    about:
      'What arrives at a control input drives a setting beyond its range, by a tenth of the range or half an octave (our choice), and is lost there.',
    howToFix: 'Turn the amount of the input down, or the setting towards the middle.',
    check: (take) => movesOf(take).flatMap(({ known, moved }) => (pinnedEnd(moved) === undefined ? beyond(take, known, moved) : [])),
  },
  {
    id: 'pinned',
    severity: 'hint',
    kind: 'take',
    about: 'A setting that inputs hold at an end of its range for the whole take, though what arrives moves.',
    howToFix: 'Turn the amount down, or the setting away from that end.',
    check: (take) =>
      movesOf(take).flatMap(({ known, moved }) => {
        const end = pinnedEnd(moved);
        if (end === undefined) return [];
        const title = findSetting(known.spec, moved.setting)?.title ?? moved.setting;
        return [
          {
            block: known.block.id,
            place: [known.block.id, moved.setting] as const,
            say: `"${title}" of ${known.label} stands at ${written(known, moved, end)} for the whole take: what is patched to it drives it to that end.`,
          },
        ];
      }),
  },
];

function usedOutputs(wired: Wired, wanted: (place: Place) => boolean): Place[] {
  return blocksOf(wired).flatMap((known) =>
    known.spec.outputs.flatMap((output): Place[] => {
      const place: Place = [known.block.id, output.id];
      return isUsed(wired, known, [output.id]) && wanted(place) ? [place] : [];
    }),
  );
}

function envelopePlaces(wired: Wired): Place[] {
  return blocksOf(wired).flatMap((known) => {
    const { envelope } = known.spec;
    if (!envelope || !isAnyUsed(wired, known)) return [];
    return [[known.block.id, envelope.output], ...startsOf({ wired }, known.block.id, envelope.starts)];
  });
}

function envelopeNoRest(take: HeardPatch): readonly Found[] {
  return blocksOf(take.wired).flatMap((known): Found[] => {
    const { envelope } = known.spec;
    const contour = envelope && take.samples([known.block.id, envelope.output]);
    if (!envelope || !contour || !isAnyUsed(take.wired, known)) return [];
    const strokes = startsOf(take, known.block.id, envelope.starts)
      .flatMap((place) => risesOf(take.samples(place) ?? new Float32Array()))
      .sort((a, b) => a - b);
    const later = strokes.slice(1).map((frame) => contour[frame - 1] ?? 0);
    const least = Math.min(...later);
    if (later.length < STROKES || least <= REST_SHARE * envelope.peakVolts) return [];
    const say = `${known.label} never comes back to rest: each of its ${strokes.length} strokes begins while it still stands at ${plain(least)} V or more.`;
    return [{ block: known.block.id, say }];
  });
}

function noteFlicker(take: HeardPatch): readonly Found[] {
  const short = FLICKER_SECONDS * take.heard.rate;
  return usedOutputs(take.wired, (place) => outputSpec(take.wired, place)?.notes !== undefined).flatMap((place): Found[] => {
    const samples = take.samples(place);
    const known = take.wired.blocks.get(place[0]);
    const guard = outputSpec(take.wired, place)?.notes?.guard;
    if (!samples || !known || guard === undefined) return [];
    let [before, now, since, flickers] = [Number.NaN, samples[0] ?? 0, 0, 0];
    for (let i = 1; i < samples.length; i++) {
      const volts = samples[i] as number;
      if (volts === now) continue;
      if (volts === before && i - since < short) flickers++;
      [before, now, since] = [now, volts, i];
    }
    if (flickers < FLICKERS) return [];
    const title = findSetting(known.spec, guard)?.title ?? guard;
    const say = `${known.label} flickers between two notes, ${flickers} times in the take: raise its "${title}" or give it a trigger.`;
    return [{ block: known.block.id, place: [known.block.id, guard], say }];
  });
}

function sameValueHeld(take: HeardPatch): readonly Found[] {
  return blocksOf(take.wired).flatMap((known): Found[] => {
    const { holds } = known.spec;
    const trigger = holds && sourceOf(take.wired, known.block.id, holds.trigger);
    const held = holds && take.samples([known.block.id, holds.output]);
    const triggers = trigger && take.samples(trigger);
    if (!held || !triggers || !holds) return [];
    const rises = risesOf(triggers);
    const values = rises.map((frame) => held[Math.min(frame + 1, held.length - 1)] as number);
    if (rises.length < STROKES + 1 || Math.max(...values) - Math.min(...values) > STILL_VOLTS) return [];
    const source = sourceOf(take.wired, known.block.id, holds.input);
    const what = source ? outputName(take.wired, source) : 'its input';
    return [
      {
        block: known.block.id,
        say: `${known.label} takes ${plain(values[0] ?? 0)} V at each of ${rises.length} triggers: ${what} is always at the same place then.`,
      },
    ];
  });
}

function movesOf(take: HeardPatch): { readonly known: KnownBlock; readonly moved: Moved }[] {
  return blocksOf(take.wired).flatMap((known) =>
    isAnyUsed(take.wired, known)
      ? movedSettings(take.heard, take.wired, known)
          .filter(({ pushes }) => pushes.some(({ patched, least, most }) => patched && most - least > 0.01))
          .map((moved) => ({ known, moved }))
      : [],
  );
}

const total = (pushes: Moved['pushes'], end: 'least' | 'most'): number => pushes.reduce((sum, push) => sum + push[end], 0);

/** The end of its range at which a setting stands for certain all the time. */
function pinnedEnd(moved: Moved): number | undefined {
  const hair = 1e-6 * (moved.top - moved.bottom);
  if (moved.baseLeast + total(moved.pushes, 'least') >= moved.top - hair) return moved.top;
  if (moved.baseMost + total(moved.pushes, 'most') <= moved.bottom + hair) return moved.bottom;
  return undefined;
}

/** Inputs that for certain drive their setting beyond its range at times, whatever the others do. */
function beyond({ wired }: HeardPatch, known: KnownBlock, moved: Moved): readonly Found[] {
  const slack = moved.law === 'octaves' ? BEYOND_OCTAVES : BEYOND_SHARE * (moved.top - moved.bottom);
  return moved.pushes.flatMap((push): Found[] => {
    const others = moved.pushes.filter((other) => other !== push);
    const over = moved.baseLeast + push.most + total(others, 'least') - moved.top;
    const under = moved.bottom - (moved.baseMost + push.least + total(others, 'most'));
    const input = known.spec.inputs.find(({ id }) => id === push.input);
    const source = sourceOf(wired, known.block.id, push.input);
    if (!push.patched || !input || !source || Math.max(over, under) <= slack || push.most - push.least < 0.01) return [];
    const end = over > under ? moved.top : moved.bottom;
    const title = findSetting(known.spec, moved.setting)?.title ?? moved.setting;
    const by =
      moved.law === 'octaves'
        ? `${plain(Math.max(over, under))} octaves`
        : `${Math.round((100 * Math.max(over, under)) / (moved.top - moved.bottom))} % of its range`;
    const say = `${outputName(wired, source)} drives "${title}" of ${known.label} beyond ${written(known, moved, end)}, by ${by}, and what lies beyond is lost.`;
    return [{ block: known.block.id, place: [known.block.id, push.input], say }];
  });
}

/** An end of the range in the unit of the setting. */
function written(known: KnownBlock, moved: Moved, end: number): string {
  const setting = findSetting(known.spec, moved.setting);
  const value = moved.law === 'octaves' ? 2 ** end : end;
  return setting ? formatValue(value, setting) : plain(value);
}
