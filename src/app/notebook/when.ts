/** When something was, as one says it. */

const MINUTE = 60_000;
const HOUR = 60 * MINUTE;

const relative = new Intl.RelativeTimeFormat('en', { numeric: 'auto' });
const thisYear = new Intl.DateTimeFormat('en-GB', { day: 'numeric', month: 'long' });
const longAgo = new Intl.DateTimeFormat('en-GB', { day: 'numeric', month: 'long', year: 'numeric' });

/** "just now", "5 minutes ago", "yesterday", "3 March", "3 March 2026". Times in ms since 1970, days of the local calendar. */
export function whenText(time: number, now: number): string {
  const past = now - time;
  if (past < MINUTE) return 'just now';
  if (past < HOUR) return relative.format(-Math.floor(past / MINUTE), 'minute');
  const days = calendarDay(now) - calendarDay(time);
  if (days === 0) return relative.format(-Math.floor(past / HOUR), 'hour');
  if (days < 7) return relative.format(-days, 'day');
  const date = new Date(time);
  return (date.getFullYear() === new Date(now).getFullYear() ? thisYear : longAgo).format(date);
}

function calendarDay(time: number): number {
  const date = new Date(time);
  return Math.round(Date.UTC(date.getFullYear(), date.getMonth(), date.getDate()) / (24 * HOUR));
}
