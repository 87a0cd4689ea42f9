/** The command line: finds the verb, reads its arguments, runs it, turns faults into one line and an exit status. */
import { parseArgs } from 'node:util';
import { DONE, type Options, REFUSED, type Terminal, type Verb, WRONG_USAGE, WrongUsage } from './verb.ts';
import { bench } from './verbs/bench.ts';
import { catalogue } from './verbs/catalogue.ts';
import { check } from './verbs/check.ts';
import { explain } from './verbs/explain.ts';
import { parts } from './verbs/parts.ts';
import { render } from './verbs/render.ts';
import { sheet } from './verbs/sheet.ts';

const verbs: Readonly<Record<string, Verb>> = { render, check, explain, parts, sheet, catalogue, bench };

function createTerminal(): Terminal {
  // A reader that has seen enough (`| head`) is no fault.
  process.stdout.on('error', (fault: NodeJS.ErrnoException) => process.exit(fault.code === 'EPIPE' ? DONE : REFUSED));
  let shown = 0;
  const clear = (): void => {
    if (shown > 0) process.stderr.write(`\r${' '.repeat(shown)}\r`);
    shown = 0;
  };
  return {
    out: (text) => {
      clear();
      process.stdout.write(text.endsWith('\n') ? text : `${text}\n`);
    },
    err: (line) => {
      clear();
      process.stderr.write(`${line.replaceAll(/\s*\n\s*/g, ' ')}\n`);
    },
    progress: (line) => {
      if (!process.stderr.isTTY) return;
      clear();
      process.stderr.write(line);
      shown = line.length;
    },
  };
}

function usage(): string {
  const lines = Object.entries(verbs).map(([name, verb]) => `  ${name} ${verb.usage}\n      ${verb.say}`);
  return `Usage: npm run -s cli -- VERB ...\n\n${lines.join('\n')}\n\nFILE may be - for standard input. Exit status: 0 done, 1 refused document, 2 wrong usage.`;
}

/** `--help` belongs to every verb. */
function readArguments(verb: Verb, rest: readonly string[]) {
  const options: Options = { ...verb.options, help: { type: 'boolean', short: 'h' } };
  try {
    return parseArgs({ args: [...rest], options, allowPositionals: true, strict: true });
  } catch (fault) {
    throw new WrongUsage((fault as Error).message.split('\n')[0]?.split('. To specify')[0] ?? 'wrong arguments');
  }
}

/** Runs one command line and returns its exit status. */
export async function main(args: readonly string[], terminal: Terminal = createTerminal()): Promise<number> {
  const [name, ...rest] = args;
  if (name === undefined || name === 'help' || name === '--help' || name === '-h') {
    if (name === undefined) {
      terminal.err(`no verb given; the verbs are ${Object.keys(verbs).join(', ')} (see --help)`);
      return WRONG_USAGE;
    }
    terminal.out(usage());
    return DONE;
  }
  const verb = Object.hasOwn(verbs, name) ? verbs[name] : undefined;
  if (!verb) {
    terminal.err(`no verb "${name}"; the verbs are ${Object.keys(verbs).join(', ')}`);
    return WRONG_USAGE;
  }
  try {
    const { values, positionals } = readArguments(verb, rest);
    if (values.help === true) {
      terminal.out(`Usage: npm run -s cli -- ${name} ${verb.usage}\n\n${verb.say}`);
      return DONE;
    }
    const [fewest, most] = verb.takes;
    if (positionals.length < fewest) throw new WrongUsage(`something is missing; usage: ${name} ${verb.usage}`);
    if (positionals.length > most) throw new WrongUsage(`"${positionals[most]}" is too much; usage: ${name} ${verb.usage}`);
    return await verb.run(positionals, values, terminal);
  } catch (fault) {
    if (fault instanceof WrongUsage) {
      terminal.err(`${name}: ${fault.message}`);
      return WRONG_USAGE;
    }
    terminal.err(`${name}: ${fault instanceof Error ? fault.message : String(fault)}`);
    return REFUSED;
  }
}
