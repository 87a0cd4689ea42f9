import { specs } from '../../blocks/specs.gen.ts';
import { engineModuleFrom } from '../../engine/hosts/node.ts';
import { renderTake } from '../../engine/hosts/take.ts';
import { PlanRefused } from '../../engine/plan/plan.ts';
import { createHearing } from '../../insight/heard.ts';
import type { Patch, Place } from '../../patch/document.ts';
import { MAXIMUM_SECONDS } from '../../patch/limits.ts';
import { catalogue, nameOf, readDocument } from '../document.ts';
import type { Answer } from '../explain/asked.ts';
import { inputAnswer } from '../explain/input.ts';
import { whySilent } from '../explain/silent.ts';
import { whatItDoes } from '../explain/whatItDoes.ts';
import { readRecordings } from '../recordings.ts';
import { wasmFile } from '../root.ts';
import { DONE, numberOption, type OptionValues, REFUSED, text, type Verb, WrongUsage } from '../verb.ts';

type Question = 'what' | 'silent' | 'input';

/** Who answers which question. Each answer has a file of its own in `explain/`. */
const answers: Readonly<Record<Question, Answer>> = { what: whatItDoes, input: inputAnswer, silent: whySilent };

function readQuestion(options: OptionValues): Question {
  const silent = options.silent === true;
  const input = text(options, 'input') !== undefined;
  if (silent && input) throw new WrongUsage('--silent and --input are two questions; ask one at a time');
  return silent ? 'silent' : input ? 'input' : 'what';
}

/** BLOCK.PORT, of an input that the patch has, or of a setting that no input shares its name with. */
function readInput(written: string, patch: Patch): Place {
  const [, id, port] = /^([^.]+)\.([^.]+)$/.exec(written) ?? [];
  if (id === undefined || port === undefined) throw new WrongUsage(`--input takes BLOCK.PORT, not "${written}"`);
  const block = patch.blocks.find((one) => one.id === id);
  if (!block) throw new WrongUsage(`--input: there is no block "${id}" in this patch`);
  const spec = catalogue.get(block.type);
  const inputs = spec?.inputs.map((input) => input.id) ?? [];
  const isSetting = spec?.settings.some((setting) => setting.id === port && setting.type === 'number');
  if (!inputs.includes(port) && !isSetting)
    throw new WrongUsage(`--input: "${id}" has the inputs ${inputs.join(', ') || '(none)'}, not "${port}"`);
  return [id, port];
}

export const explain: Verb = {
  usage: 'FILE [--silent] [--input BLOCK.PORT] [--seconds N] [--json]',
  say: 'says in plain sentences what a patch does; --silent says why nothing is heard, --input what moves an input, as shares',
  options: { silent: { type: 'boolean' }, input: { type: 'string' }, seconds: { type: 'string' }, json: { type: 'boolean' } },
  takes: [1, 1],
  run: ([file = ''], options, terminal) => {
    const question = readQuestion(options);
    const answer = answers[question];
    const seconds = numberOption(options, 'seconds', 0, MAXIMUM_SECONDS);
    const patch = readDocument(file, terminal);
    if (!patch) return REFUSED;
    const written = text(options, 'input');
    const input = written === undefined ? undefined : readInput(written, patch);
    const recordings = readRecordings(file, patch, terminal);
    if (!recordings) return REFUSED;
    const module = engineModuleFrom(wasmFile);
    const hearing = createHearing((each, how) => renderTake(module, specs, each, { ...how, recordings }), catalogue);
    try {
      const { lines, record } = answer({ patch, hearing, seconds, input });
      terminal.out(options.json === true ? JSON.stringify(record, null, 2) : lines.join('\n'));
    } catch (fault) {
      if (!(fault instanceof PlanRefused)) throw fault;
      terminal.err(`${nameOf(file)}: ${fault.message}`);
      return REFUSED;
    }
    return DONE;
  },
};
