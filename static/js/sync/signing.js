// Signing in by name and PIN: the shop is asked where it can be reached, else this phone looks itself.

import { t } from '../record/language.js';
import { afterWrong, isPin, secondsToWait } from '../store/pins.js';
import { Refused, ask } from './wire.js';

const PATIENCE_MS = 2500;

/** `shop`, `phone`, `wrong` or `unknown` (no network, and the shop never told this phone). Throws Refused. */
async function check(shelf, person, pin) {
  try {
    const text = await ask('pin', { token: shelf.token, message: { person, pin }, patience: PATIENCE_MS });
    return JSON.parse(text).signed;
  } catch (error) {
    if (error instanceof Refused && error.code === 'wrong-pin') return 'wrong';
    if (error instanceof Refused) throw error;
  }
  const { pin: verifier = '' } = shelf.crew().find(({ id }) => id === person) ?? {};
  if (!verifier) return 'unknown';
  return await isPin(pin, verifier) ? 'phone' : 'wrong';
}

/** `{ how }` where it was right; else `{ say }`. Wrong ones are remembered before anything is answered. */
export async function signIn(shelf, person, pin) {
  const wait = secondsToWait(shelf.record.tries, person, shelf.now());
  if (wait) return { say: t`Too many wrong PINs. Wait ${wait} s.` };
  const how = await check(shelf, person, pin).catch((error) => ({ say: error.message }));
  if (how.say) return how;
  if (how === 'unknown') return { say: t`The shop can’t be reached, and this phone does not know that PIN yet.` };
  if (how === 'wrong') {
    await shelf.keepChoice({ tries: afterWrong(shelf.record.tries, person, shelf.now()) });
    return { say: t`That is not the PIN.` };
  }
  const { [person]: gone, ...tries } = shelf.record.tries;
  await shelf.keepChoice({ tries, signed: { ...shelf.record.signed, [person]: { how, at: shelf.now() } } });
  return { how };
}
