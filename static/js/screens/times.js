// Moments and stretches of time in words.

const hours = new Intl.DateTimeFormat('en-GB', { hour: '2-digit', minute: '2-digit' });
const clocks = new Map();

/** `11:26`; each minute of the day is put in words once. */
export function clock(ms) {
  const minute = Math.floor(ms / 60000);
  if (!clocks.has(minute)) clocks.set(minute, hours.format(ms));
  return clocks.get(minute);
}

/** `4 min ago`, `now`. */
export function ago(ms) {
  const minutes = Math.floor(ms / 60000);
  if (minutes < 1) return 'now';
  return minutes < 120 ? `${minutes} min ago` : `${Math.round(minutes / 60)} h ago`;
}

/** `4:09`, of a number of seconds; `over by 0:12` below nought. */
export function minutesSeconds(seconds) {
  const size = Math.abs(seconds);
  return `${seconds < 0 ? 'over by ' : ''}${Math.floor(size / 60)}:${String(size % 60).padStart(2, '0')}`;
}

export const secondsLeft = (deadline, now) => Math.round((deadline - now) / 1000);
