/** Answers questions about patches beside the page, one after the other. */
import { specs } from '../../blocks/specs.gen.ts';
import type { RecordedSound } from '../../engine/hosts/recordings.ts';
import { renderTake } from '../../engine/hosts/take.ts';
import { createHearing, type Hearing } from '../../insight/heard.ts';
import { questions } from '../../insight/questions.ts';
import { createCatalogue } from '../../patch/blockSpec.ts';
import type { Patch } from '../../patch/document.ts';
import type { FromAnswers, ToAnswers } from './answersProtocol.ts';

let module: WebAssembly.Module | undefined;
const catalogue = createCatalogue(specs);
const sounds = new Map<string, RecordedSound>();

function hearingOf(loaded: WebAssembly.Module, patch: Patch): Hearing {
  const known = (patch.recordings ?? []).flatMap(({ id, sha256 }) => {
    const sound = sounds.get(sha256);
    return sound ? [[id, sound] as const] : [];
  });
  const recordings = new Map(known);
  return createHearing((each, options) => renderTake(loaded, specs, each, { ...options, recordings }), catalogue);
}

function answer({ number, name, patch, args }: Extract<ToAnswers, { type: 'ask' }>): FromAnswers {
  try {
    if (!module) throw new Error('the engine is not there.');
    // The page's types pair each name with its arguments; here they are one union.
    const question = questions[name] as (hearing: Hearing, patch: Patch, args: unknown) => unknown;
    return { type: 'answer', number, answer: question(hearingOf(module, patch), patch, args) };
  } catch (error) {
    return { type: 'trouble', number, say: error instanceof Error ? error.message : String(error) };
  }
}

self.onmessage = (event: MessageEvent<ToAnswers>) => {
  const message = event.data;
  if (message.type === 'module') module = message.module;
  else if (message.type === 'sound') sounds.set(message.sha256, message.sound);
  else self.postMessage(answer(message));
};
