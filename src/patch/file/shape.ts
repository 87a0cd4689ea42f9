/**
 * Small checks that build up the shape of the document. Each looks at one value and reports what is wrong with it
 * as a sentence that says what is allowed. Fields that nobody asked for are problems too.
 */
import { childPath, type Problem, plainNumber, quoted, shown } from '../problem.ts';
import type { RuleId } from '../refusal.ts';

export type Check = (value: unknown, path: string, problems: Problem[]) => void;

function report(problems: Problem[], path: string, rule: RuleId, say: string): void {
  problems.push({ path, rule, say });
}

/** Any text; `what` begins the sentence: "The title". */
export function text(what: string): Check {
  return (value, path, problems) => {
    if (typeof value !== 'string') report(problems, path, 'wrong-type', `${what} is a text, not ${shown(value)}.`);
  };
}

/** A text of a certain form, which `form` puts in words. */
export function textLike(what: string, pattern: RegExp, form: string, rule: RuleId): Check {
  return (value, path, problems) => {
    if (typeof value !== 'string') report(problems, path, 'wrong-type', `${what} is a text: ${form}; not ${shown(value)}.`);
    else if (!pattern.test(value)) report(problems, path, rule, `${what} is ${form}; ${shown(value)} is not.`);
  };
}

export const id = (what: string): Check =>
  textLike(what, /^[A-Za-z][A-Za-z0-9_-]{0,31}$/, 'a letter, then up to 31 letters, digits, _ or -', 'bad-id');

export interface NumberLimits {
  readonly minimum?: number;
  /** The value must lie above this. */
  readonly above?: number;
  readonly maximum?: number;
  readonly whole?: boolean;
  readonly unit?: string;
}

export function number(what: string, limits: NumberLimits): Check {
  const { minimum = Number.NEGATIVE_INFINITY, above = Number.NEGATIVE_INFINITY, maximum = Number.POSITIVE_INFINITY, whole, unit } = limits;
  const low = Number.isFinite(minimum) ? ` from ${plainNumber(minimum)}` : Number.isFinite(above) ? ` above ${plainNumber(above)}` : '';
  const high = Number.isFinite(maximum) ? ` ${Number.isFinite(above) ? 'up to' : 'to'} ${plainNumber(maximum)}` : '';
  const allowed = `a ${whole ? 'whole ' : ''}number${low}${high}${unit ? ` ${unit}` : ''}`;
  return (value, path, problems) => {
    if (typeof value !== 'number') return report(problems, path, 'wrong-type', `${what} is ${allowed}, not ${shown(value)}.`);
    if (!Number.isFinite(value)) return report(problems, path, 'not-a-value', `${what} is ${allowed}; it cannot be ${value}.`);
    const fits = value >= minimum && value > above && value <= maximum && (!whole || Number.isInteger(value));
    if (!fits) report(problems, path, 'out-of-range', `${what} is ${allowed}; ${plainNumber(value)} is not.`);
  };
}

/** A list of any length up to `maximum`. */
export function list(what: string, entry: Check, maximum = Number.POSITIVE_INFINITY): Check {
  return (value, path, problems) => {
    if (!Array.isArray(value)) return report(problems, path, 'wrong-type', `${what} is a list, not ${shown(value)}.`);
    // The entries of a list that is too long are not looked at: the file is refused either way.
    if (value.length > maximum) return report(problems, path, 'too-many', `${what} has at most ${maximum} entries, not ${value.length}.`);
    for (const [i, item] of value.entries()) entry(item, childPath(path, i), problems);
  };
}

/** A list of exactly these entries. `form` puts it in words. */
export function tuple(what: string, form: string, entries: readonly Check[]): Check {
  return (value, path, problems) => {
    if (!Array.isArray(value) || value.length !== entries.length) {
      return report(
        problems,
        path,
        'wrong-type',
        `${what} is ${form}, not ${Array.isArray(value) ? `a list of ${value.length}` : shown(value)}.`,
      );
    }
    for (const [i, entry] of entries.entries()) entry(value[i], childPath(path, i), problems);
  };
}

export type Fields = Readonly<Record<string, Check>>;

/** A record with fields that must and fields that may be there, and no others. */
export function record(what: string, required: Fields, optional: Fields = {}): Check {
  const known = { ...required, ...optional };
  return (value, path, problems) => {
    if (!isRecord(value)) return report(problems, path, 'wrong-type', `${what} is an object, not ${shown(value)}.`);
    for (const field of Object.keys(required)) {
      if (!Object.hasOwn(value, field)) report(problems, childPath(path, field), 'missing-field', `${what} needs the field "${field}".`);
    }
    for (const [field, entry] of Object.entries(value)) {
      const check = Object.hasOwn(known, field) ? known[field] : undefined;
      if (check) check(entry, childPath(path, field), problems);
      else
        report(
          problems,
          childPath(path, field),
          'unknown-field',
          `${what} has no field "${field}"; it takes ${quoted(Object.keys(known))}.`,
        );
    }
  };
}

/** A record whose fields are checked later, against the catalogue. */
export function anyRecord(what: string): Check {
  return (value, path, problems) => {
    if (!isRecord(value)) report(problems, path, 'wrong-type', `${what} are an object, not ${shown(value)}.`);
  };
}

/** One of several records, told apart by the one field that only it has. */
export function oneOf(what: string, kinds: Readonly<Record<string, Check>>): Check {
  const names = Object.keys(kinds);
  return (value, path, problems) => {
    if (!isRecord(value)) return report(problems, path, 'wrong-type', `${what} is an object, not ${shown(value)}.`);
    const [kind, ...more] = names.filter((name) => Object.hasOwn(value, name));
    const check = kind && kinds[kind];
    if (check && more.length === 0) return check(value, path, problems);
    report(problems, path, kind ? 'unknown-field' : 'missing-field', `${what} has exactly one of the fields ${quoted(names)}.`);
  };
}

/** Whatever it is, it is checked later, against the catalogue. */
export const later: Check = () => {};

export function isRecord(value: unknown): value is Readonly<Record<string, unknown>> {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}
