// An injury or a near miss, in words and with clean hands. It never asks who was hurt, or how badly.

import { t } from '../record/language.js';
import { keepIncident, waiting } from '../store/incidents.js';
import { key, put, stamp } from './dom.js';
import { when } from './when.js';

const KINDS = [['near miss', /*t*/'Near miss'], ['injury', /*t*/'Injury']], MINUTES = [0, 15, 60];

export function incidentScreen(ctx) {
  const { root, at } = stamp('incident');
  const ago = when(at.ago, MINUTES);
  let kind = '', sent = null;

  const kinds = KINDS.map(([id, words]) => key(t(words), () => choose(id)));
  function choose(id) {
    kind = id;
    put(at.wrong, '');
    KINDS.forEach(([each], i) => kinds[i].setAttribute('aria-pressed', String(each === id)));
  }
  async function send() {
    const text = at.text.value.toWellFormed?.().trim() ?? at.text.value.trim();
    if (!kind || !text) { put(at.wrong, kind ? t`Say in a few words what happened.` : t`Press which it was.`); return; }
    go.disabled = true;
    try {
      sent = await keepIncident(ctx.shelf, { kind, text, minutes: ago.minutes() });
      at.text.value = '';
      ctx.exchange.nudge();
      ctx.show();
    } catch {
      go.disabled = false;
      put(at.wrong, t`This phone can’t save it. Write it on paper, or take another phone.`);
    }
  }
  const go = key(t`Send to the shop`, send, 'go');
  at.kinds.append(...kinds);
  choose('');
  at.text.addEventListener('input', () => put(at.wrong, ''));
  at.feet.append(go, key(t`Back`, () => history.back()));

  function update() {
    if (!sent) return;
    at.form.hidden = go.hidden = true;
    const waits = waiting(ctx.shelf).some(({ id }) => id === sent);
    put(at.lead, waits ? t`Kept on this phone until the shop has it. Then it is gone from here.` : t`The shop has it. It is gone from this phone.`);
  }
  return { root, update, where: () => t`Restricted note` };
}
