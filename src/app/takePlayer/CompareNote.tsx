/** What the last edit changed, in sentences and as a table, and at which loudness the two are heard. */
import { useEffect } from 'react';
import { useApp, useComparison, useEar, useHeard, useTakePlayer } from '../app.ts';
import { HeardSwitch, PlayTake } from './TakeControls.tsx';

export function CompareNote() {
  const there = useHeard((state) => state.before !== undefined);
  const point = useEar((state) => state.at && state.name);
  return (
    <section className="compare" aria-label="Before and after">
      <div className="compare-play">
        <PlayTake words />
        <HeardSwitch always />
      </div>
      {point && <p className="soft small">At the point that the ear is on: {point}.</p>}
      {there ? (
        <Changes />
      ) : (
        <p className="soft small">
          {point
            ? 'Before the last edit there was nothing at this point.'
            : 'Each edit keeps the take before it. Change something, and hear and read here what it does.'}
        </p>
      )}
    </section>
  );
}

function Changes() {
  const { comparison, takePlayer } = useApp();
  const { match, what } = useComparison((state) => state);
  const equal = useTakePlayer((state) => state.equal);
  useEffect(() => comparison.want(), [comparison]);
  return (
    <>
      <label className="compare-equal">
        <input type="checkbox" checked={equal} onChange={(event) => takePlayer.setEqual(event.target.checked)} />
        Compare at equal loudness
      </label>
      <div className="compare-says" role="status">
        {equal && match && <p className="soft small">{match.say}</p>}
        {what ? what.say.map((sentence) => <p key={sentence}>{sentence}</p>) : <p className="soft">Listening to both…</p>}
      </div>
      {what && (
        <details className="compare-figures">
          <summary>All figures</summary>
          <table>
            <thead>
              <tr>
                <th scope="col">
                  <span className="unseen">Figure</span>
                </th>
                <th scope="col">Before</th>
                <th scope="col">After</th>
                <th scope="col">Change</th>
              </tr>
            </thead>
            <tbody>
              {what.figures.map(({ id, title, before, after, by, notable }) => (
                <tr key={id} data-notable={notable}>
                  <th scope="row">{title}</th>
                  <td className="value">{before}</td>
                  <td className="value">{after}</td>
                  <td className="value">{by}</td>
                </tr>
              ))}
            </tbody>
          </table>
          <p className="soft small">
            Loudness by ITU-R BS.1770. Brightness is the mean frequency of the spectrum. Pitch is the median over all moments that have one.
            Notes are counted where the sound grows at once: a rule of thumb.
          </p>
        </details>
      )}
    </>
  );
}
