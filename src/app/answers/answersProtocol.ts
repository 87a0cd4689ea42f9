/** Messages between the page and the worker that answers questions about patches. */
import type { RecordedSound } from '../../engine/hosts/recordings.ts';
import type { QuestionName } from '../../insight/questions.ts';
import type { Patch } from '../../patch/document.ts';

export type ToAnswers =
  | { readonly type: 'module'; readonly module: WebAssembly.Module }
  | { readonly type: 'sound'; readonly sha256: string; readonly sound: RecordedSound }
  | { readonly type: 'ask'; readonly number: number; readonly name: QuestionName; readonly patch: Patch; readonly args: unknown };

export type FromAnswers =
  | { readonly type: 'answer'; readonly number: number; readonly answer: unknown }
  | { readonly type: 'trouble'; readonly number: number; readonly say: string };
