/** What was measured of a take: peak, loudness, direct voltage. Worked out when it is shown, not on each edit. */
import { useMemo } from 'react';
import type { TakeDone } from '../../engine/hosts/takes.ts';
import { toDb } from '../../measure/levels.ts';
import { integratedLoudness } from '../../measure/loudness.ts';
import { truePeakOf } from '../../measure/truePeak.ts';

const decibels = (value: number | undefined, unit: string): string =>
  value === undefined || !Number.isFinite(value) ? 'silent' : `${value.toFixed(1)} ${unit}`;

export function TakeFigures({ take }: { readonly take: TakeDone | undefined }) {
  const figures = useMemo(
    () =>
      take && {
        loudness: integratedLoudness([take.left, take.right], take.rate),
        peak: toDb(Math.max(truePeakOf(take.left), truePeakOf(take.right))),
      },
    [take],
  );
  if (!take || !figures) return <p className="soft">The take is on its way.</p>;
  return (
    <dl className="take-figures">
      <dt>Loudness</dt>
      <dd className="value">{decibels(figures.loudness, 'LUFS')}</dd>
      <dt>True peak</dt>
      <dd className="value">{decibels(figures.peak, 'dBTP')}</dd>
      <dt>Rendered</dt>
      <dd className="value">
        {take.realtimeRatio >= 10 ? Math.round(take.realtimeRatio) : take.realtimeRatio.toFixed(1)} times faster than it plays
      </dd>
    </dl>
  );
}
