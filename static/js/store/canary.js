// What this phone remembers of itself outside its database, to notice that the database was wiped.

const KEY = 'kettleside-canary';

export function readCanary() {
  try { return JSON.parse(localStorage.getItem(KEY)); } catch { return null; }
}

export function writeCanary(device, seq) {
  try { localStorage.setItem(KEY, JSON.stringify({ device, seq })); } catch { /* the database is the truth */ }
}

/** What was lost: null, or `{device, lost_from, lost_to}`. */
export function lostSince(canary, record, lastSeq) {
  if (!canary) return null;
  const kept = record?.device === canary.device ? lastSeq : 0;
  return canary.seq > kept ? { device: canary.device, lost_from: kept + 1, lost_to: canary.seq } : null;
}
