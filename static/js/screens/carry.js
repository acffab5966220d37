// Entries from phone to phone by one small file, where there is no network: handed on, or taken along.

import { t } from '../record/language.js';
import { NotTaken, keepCarried, makeFile, readFile } from '../store/carrying.js';
import { panel } from './panel.js';

const TYPE = 'text/plain', TAKES = '.kettleside,.txt,text/plain,application/octet-stream';
const PHOTOS = /*t*/'Photos and sounds are not in it: they stay on the phone that took them until it reaches the shop.';

const size = (text) => `${Math.max(1, Math.round(new Blob([text]).size / 1000))} kB`;

function saveFile({ name, text }) {
  const href = URL.createObjectURL(new Blob([text], { type: TYPE }));
  const link = Object.assign(document.createElement('a'), { href, download: name });
  link.click();
  setTimeout(() => URL.revokeObjectURL(href), 60000);
}

/** Browsers share only files whose endings they know: there it is a text. */
const shared = ({ name, text }) => ({ files: [new File([text], `${name}.txt`, { type: TYPE })] });
const canShare = (made) => Boolean(navigator.canShare?.(shared(made)));

async function share(made) {
  try {
    await navigator.share(shared(made));
  } catch (error) { if (error.name !== 'AbortError') saveFile(made); }
}

/** One file of all that another phone may lack: shared, or saved where the browser can't share. */
export async function handEntries(ctx) {
  const made = await makeFile(ctx.shelf, (seq) => ctx.exchange.headAfter(seq));
  panel({
    title: t`Hand the entries to another phone`,
    lead: t`One file of ${size(made.text)}. Entries: ${made.entries}; not at the shop yet: ${made.unsent}. The other phone presses ‘Carry another phone’s entries’. ${t(PHOTOS)}`,
    choices: [...(canShare(made) ? [[t`Share it`, () => share(made), 'go']] : []), [t`Save it as a file`, () => saveFile(made), canShare(made) ? '' : 'go']],
  });
}

const notTaken = (lead) => panel({ title: t`It was not taken`, lead });

async function take(ctx, file) {
  const { name, entries } = await readFile(ctx.shelf, file);
  const fresh = await keepCarried(ctx.shelf, entries), boils = ctx.boils(), foreign = new Set(entries.map(({ event }) => event.batch).filter((id) => !ctx.sheet(id)));
  ctx.exchange.nudge();
  const lacking = foreign.size ? ` ${t`Some belong to a boil whose sheet this phone lacks: they are shown when the shop has sent it.`}` : '';
  panel({
    title: fresh ? t`New from ${name || t`the other phone`}: ${fresh}` : t`Nothing new: this phone had them all`,
    lead: `${fresh ? 'They are on this phone now, and go to the shop with its own.' : ''}${lacking} ${t(PHOTOS)}`.trim(),
    choices: boils.map(({ id, letter }) => [t`Boil ${letter}`, () => ctx.go(`/b/${id}`), 'go']),
  });
}

/** A file of another phone, chosen by hand. */
export function carryEntries(ctx) {
  const input = Object.assign(document.createElement('input'), { type: 'file', accept: TAKES });
  input.addEventListener('change', () => {
    const [file] = input.files;
    if (!file) return;
    take(ctx, file).catch((error) => notTaken(error instanceof NotTaken ? error.message : t`This phone could not keep it: ${error.message}. Nothing of the file was taken.`));
  });
  input.click();
}
