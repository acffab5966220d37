// A PIN on this phone: held against the verifier the shop gave, guesses limited, and who is signed in.

const FREE = 5, MINUTE_MS = 60000, LONGEST_MS = 60 * MINUTE_MS, SHIFT_MS = 14 * 60 * MINUTE_MS;

const bytesOf = (text) => Uint8Array.from(atob(text.replaceAll('-', '+').replaceAll('_', '/')), (letter) => letter.charCodeAt(0));

/** Whether this PIN made the verifier `pbkdf2-sha256$iterations$salt$hash`. */
export async function isPin(pin, verifier) {
  const [scheme, iterations, salt, hash] = verifier.split('$');
  if (scheme !== 'pbkdf2-sha256') return false;
  const wanted = bytesOf(hash), key = await crypto.subtle.importKey('raw', new TextEncoder().encode(pin), 'PBKDF2', false, ['deriveBits']);
  const found = new Uint8Array(await crypto.subtle.deriveBits({ name: 'PBKDF2', hash: 'SHA-256', salt: bytesOf(salt), iterations: Number(iterations) }, key, wanted.length * 8));
  return found.every((byte, i) => byte === wanted[i]);
}

/** Five wrong ones are free; then a minute's wait, two, four, up to an hour. */
const waitAfter = (wrong) => (wrong < FREE ? 0 : Math.min(MINUTE_MS * 2 ** (wrong - FREE), LONGEST_MS));

/** Seconds until this person may try again here. */
export const secondsToWait = (tries, person, now) => Math.max(0, Math.ceil(((tries[person]?.until ?? 0) - now) / 1000));

/** The wrong tries of this phone after one more. */
export function afterWrong(tries, person, now) {
  const wrong = (tries[person]?.wrong ?? 0) + 1;
  return { ...tries, [person]: { wrong, until: now + waitAfter(wrong) } };
}

/** Who stays signed in when the office has spoken: not whose PIN is another now, and not who works here no more. */
export function stillSigned(signed, before, crew) {
  const pins = (people) => new Map(people.map(({ id, pin }) => [id, pin])), [old, now] = [before, crew].map(pins);
  return Object.fromEntries(Object.entries(signed).filter(([id]) => now.has(id) && (old.get(id) ?? now.get(id)) === now.get(id)));
}

/** How this person is signed in here: `shop`, `phone`, or '' where the name was only chosen. */
export function signedAs(signed, person, now) {
  const found = signed[person];
  return found && now - found.at < SHIFT_MS ? found.how : '';
}
