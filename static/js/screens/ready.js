// Is this phone ready? The steps of its own system, tries that really run, and what it can't do.

import { t } from '../record/language.js';
import { BUILD } from '../sync/condition.js';
import { mend } from '../sync/kept.js';
import { CHECKS } from './checks.js';
import { key, put, row, stamp } from './dom.js';
import { panel } from './panel.js';
import { readyWords } from './readiness.js';
import { sign } from './sign.js';
import { seen, stepsOf, systemOf } from './system.js';

const WORDS = { works: /*t*/'Works', fails: /*t*/'Does not', cannot: /*t*/'This phone can’t' };
// A tick in a ring, a cross in a square, a bar: told apart without colour.
const DRAWN = { works: 'M24 4a20 20 0 1 0 0 40a20 20 0 1 0 0-40zM14 24l8 8l13-15', fails: 'M5 5h38v38h-38zM15 15l18 18M33 15l-18 18', cannot: 'M6 24h36' };
/** True of every phone with a browser. */
const NEVER = [[/*t*/'Ring while it is locked or another app is in front', /*t*/'It rings late, and says how late. Keep it open, on its stand.'], [/*t*/'Tell that it gets too hot', /*t*/'It just switches off: a metre from flame, out of the sun, off the slab.']];

class Ready {
  constructor(ctx) {
    Object.assign(this, { ctx, system: systemOf(seen()), found: {}, running: '' });
    Object.assign(this, stamp('list'));
    put(this.at.title, t`Is this phone ready?`);
    this.at.lead.setAttribute('role', 'status');
    this.steps = this.part(t`On this ${this.system.name}, by hand`, 'ol');
    this.tries = this.part(t`Tried on this phone`);
    this.never = this.part(t`What no phone can do`);
    this.at.rows.remove();
    this.at.lead.after(this.at.feet);
    this.never.list.append(...NEVER.map(([what, more]) => row({ what: t(what), more: t(more) })));
    this.paint();
  }

  part(title, kind = 'ul') {
    const head = document.createElement('h2'), list = document.createElement(kind);
    head.textContent = title;
    list.className = 'rows';
    this.root.append(head, list);
    return { head, list };
  }

  /** The ends of now, else of the last time this very app was tried. */
  get ends() {
    const { ready } = this.ctx.shelf.record, before = ready?.build === BUILD ? ready.ends : {};
    return { ...before, ...Object.fromEntries(Object.entries(this.found).map(([id, { end }]) => [id, end])) };
  }

  paint() {
    const steps = stepsOf(this.system, this.ends);
    this.steps.head.hidden = this.steps.list.hidden = !steps.length;
    this.steps.list.replaceChildren(...steps.map(([what, more], n) => row({ what: `${n + 1}  ${t(what)}`, more: t(more) })));
    this.tries.list.replaceChildren(...CHECKS.map((check) => this.line(check)));
    this.lead();
    this.keys();
  }

  line({ id, name }) {
    const found = this.found[id], end = this.running === id ? '' : this.ends[id];
    const words = this.running === id ? t`Trying …` : end ? `${t(WORDS[end])}. ${found?.say ?? ''}`.trim() : t`Not tried yet.`;
    const li = row({ what: t(name), more: words, press: () => this.run([id]), end: sign(DRAWN[end] ?? '') });
    Object.assign(li.dataset, { check: id, end: end ?? '' });
    li.firstElementChild.disabled = Boolean(this.running);
    return li;
  }

  lineOf(id) { return this.tries.list.querySelector(`[data-check=${id}]`); }

  lead() {
    const { shelf } = this.ctx, [what, more] = readyWords(shelf);
    put(this.at.lead, this.running ? t`Trying: hold the phone, keep this page in front.` : shelf.record.ready ? `${what}. ${more}` : more);
  }

  keys() {
    const { found } = this, busy = Boolean(this.running);
    const run = key(t`Try it all`, () => this.run(CHECKS.map(({ id }) => id)), 'go'), mends = key(t`Fetch the app again`, () => this.mend(), 'wide');
    run.disabled = mends.disabled = busy;
    this.at.feet.replaceChildren(run, ...(found.offline?.end === 'fails' ? [mends] : []), key(t`Back`, () => history.back()));
  }

  /** One after the other: a question of one must not cover another's. What comes out is told to the shop. */
  async run(wanted) {
    for (const id of wanted) delete this.found[id];
    for (const { id, run } of CHECKS.filter((check) => wanted.includes(check.id))) {
      if (this.left) return;
      this.running = id;
      this.paint();
      this.lineOf(id).scrollIntoView({ block: 'center' });
      this.found[id] = await run(this.ctx, this.system).catch(({ message }) => ({ end: 'fails', say: message }));
    }
    this.running = '';
    const { shelf, exchange } = this.ctx;
    await shelf.keepChoice({ ready: { at: Math.round(shelf.now()), build: BUILD, system: this.system.id, ends: this.ends } });
    exchange.askOffice();
    this.paint();
    if (wanted.length > 1) this.root.scrollTo(0, 0); else this.lineOf(wanted[0]).querySelector('button').focus();
  }

  async mend() {
    this.running = 'offline';
    this.paint();
    try {
      await mend(this.ctx.updates.keepRest);
    } catch { panel({ title: t`It could not be fetched`, lead: t`The shop can’t be reached, or runs a newer app by now. Start Kettleside anew on the shop’s Wi-Fi.` }); }
    await this.run(['offline']);
  }
}

export function readyScreen(ctx) {
  const screen = new Ready(ctx);
  return { root: screen.root, where: () => t`Ready?`, leave: () => { screen.left = true; } };
}
