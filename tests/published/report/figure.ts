/** Figures made of checks: the measured curve over the published rows, and under it how far they are apart. */
import { allowance, type Check, type Figure, type Point } from '../check.ts';
import { type Panel, plot, type Rule, type Series, SMALL, WIDE } from './plot.ts';
import { deviationScale, scaleOf, written } from './scale.ts';

/** A row of the key: a curve's look and its name. */
export interface Key {
  readonly as: Series['as'];
  readonly style: string;
  readonly name: string;
}

export interface Drawn {
  readonly title: string;
  readonly svg: string;
  readonly keys: readonly Key[];
  readonly say?: string;
  readonly sources: readonly string[];
  readonly small?: boolean;
}

export interface Measured {
  readonly check: Check;
  readonly values: readonly number[];
}

const lookOf = ({ check }: Measured, place: number): string => String(check.curve?.look ?? place + 1);

/** Two-sided tolerances, as one number: the widest. */
function widest(checks: readonly Check[]): number | undefined {
  const widths = checks.flatMap(({ rows }) => rows.map((row) => Math.max(...allowance(row)))).filter(Number.isFinite);
  return widths.length > 0 ? Math.max(...widths) : undefined;
}

const pointsOf = ({ check, values }: Measured, y: (published: number, measured: number) => number): Point[] =>
  check.rows.flatMap((row, i) => (row.x === undefined ? [] : [{ x: row.x, y: y(row.published, values[i] ?? Number.NaN) }]));

/** Largest |deviation| of the rows with a tolerance on both sides; undefined without such rows. */
export function largestDeviation({ check, values }: Measured): number | undefined {
  const sizes = check.rows.flatMap((row, i) =>
    allowance(row).every(Number.isFinite) ? [Math.abs((values[i] ?? Number.NaN) - row.published)] : [],
  );
  return sizes.length > 0 ? Math.max(...sizes) : undefined;
}

function deviationPanel(all: readonly Measured[], alone: boolean): Panel | undefined {
  const series = all.map((one, i): Series => {
    const points = one.check.rows.flatMap((row, k) =>
      row.x !== undefined && allowance(row).every(Number.isFinite) ? [{ x: row.x, y: (one.values[k] ?? Number.NaN) - row.published }] : [],
    );
    return { as: 'dots', style: lookOf(one, i), points };
  });
  const sizes = series.flatMap(({ points }) => points.map(({ y }) => Math.abs(y)));
  const allowed = widest(all.map(({ check }) => check));
  if (sizes.length === 0 || allowed === undefined) return undefined;
  const unit = all[0]?.check.unit ?? '';
  const most = Math.max(...sizes, allowed * 1e-6);
  // The limits are shown where they are near; else the scale is the deviations' own.
  const near = allowed < 4 * most;
  const reach = 1.25 * (near ? Math.max(allowed, most) : most);
  const rules: Rule[] = [{ y: 0, style: 'zero' }];
  if (near) rules.push({ y: allowed, style: 'limit' }, { y: -allowed, style: 'limit' });
  const { scale, power } = deviationScale(reach);
  const inUnit = unit ? ` ${unit}` : '';
  return {
    y: scale,
    title: [power, unit].filter(Boolean).join(' ') || 'deviation',
    height: alone ? 150 : 58,
    series,
    rules,
    head: ['measured \u2212 published', `at most ${written(Math.max(...sizes), 2)}; allowed \u00b1${written(allowed, 2)}${inUnit}`],
  };
}

/** Draws the checks that share a figure. */
export async function figureOf(figure: Figure, all: readonly Measured[]): Promise<Drawn> {
  const rows = all.flatMap((one) => pointsOf(one, (published) => published));
  const x = scaleOf(figure.x, rows, 'x', figure.small ? 5 : 7);
  const panels: Panel[] = [];
  const keys: Key[] = [];
  if (figure.y) {
    const others = (figure.others ?? []).map(
      ({ points, series }, i): Series => ({ as: 'line', style: 'pale', points, label: { say: series, at: Math.max(0.1, 0.5 - 0.2 * i) } }),
    );
    const measured: Series[] = [];
    for (const [i, one] of all.entries()) {
      const style = lookOf(one, i);
      const points = (await one.check.curve?.trace?.()) ?? pointsOf(one, (_, value) => value);
      measured.push({ as: figure.stems ? 'stems' : 'line', style, points });
      if (!figure.stems && !one.check.curve?.trace) measured.push({ as: 'dots', style, points });
      keys.push({ as: figure.stems ? 'stems' : 'line', style, name: figure.stems ? 'measured' : (one.check.curve?.series ?? '') });
    }
    const isBound = all.every(({ check }) => check.rows.some((row) => !allowance(row).every(Number.isFinite)));
    const published: Series = { as: 'circles', style: 'published', points: rows };
    panels.push({
      y: scaleOf(figure.y, rows, 'y'),
      title: figure.y.title,
      height: figure.small ? 150 : 190,
      series: [...others, ...measured, ...(rows.length > 0 ? [published] : [])],
    });
    if (rows.length > 0) keys.push({ as: 'circles', style: 'published', name: isBound && !figure.stems ? 'bound' : 'published' });
  } else if (all.length > 1) {
    keys.push(...all.map((one, i): Key => ({ as: 'dots', style: lookOf(one, i), name: one.check.curve?.series ?? '' })));
  }
  const deviation = deviationPanel(all, !figure.y);
  if (deviation) panels.push(deviation);
  return {
    title: figure.title,
    svg: plot(x, figure.x.title, panels, figure.title, figure.small ? SMALL : WIDE),
    keys: keys.filter((key, i) => keys.findIndex(({ name }) => name === key.name) === i),
    ...(figure.small ? { small: true } : {}),
    ...(figure.say ? { say: figure.say } : {}),
    sources: [...new Set(all.map(({ check }) => check.source))],
  };
}

/** All figures of measured checks, in the order of their first check. */
export async function figuresOf(all: readonly Measured[]): Promise<readonly Drawn[]> {
  const groups = new Map<Figure, Measured[]>();
  for (const one of all) {
    const figure = one.check.curve?.figure;
    if (figure) groups.set(figure, [...(groups.get(figure) ?? []), one]);
  }
  const drawn: Drawn[] = [];
  for (const [figure, group] of groups) drawn.push(await figureOf(figure, group));
  return drawn;
}
