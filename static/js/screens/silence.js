// While a boil is hot: whose phone is silent. Asked on every other phone of that boil until somebody
// answers; the answer is an entry, so it answers for all.

import { t } from '../record/language.js';
import { flameAt, silent, unknown } from '../record/silence.js';
import { silent as spoken } from '../record/utterance.js';
import { Company } from '../sync/company.js';
import { ringOf } from './aloud.js';
import { isHot } from './context.js';

const LONG_S = 120, STEP_S = 10;

/** By tens of seconds: what is read aloud must not begin anew every second. */
const stretch = (seconds) => (seconds < LONG_S ? `${Math.floor(seconds / STEP_S) * STEP_S} s` : `${Math.floor(seconds / 60)} min`);

export class Silence {
  constructor(ctx) { Object.assign(this, { ctx, company: new Company(ctx.exchange), open: new Map(), rung: new Set() }); }

  /** Every second: asks the shop when it is time and something is hot, and rings once for what is new.
   * A press waits for none of this. */
  update(hot) {
    if (hot) this.company.ask();
    this.open = new Map(this.ctx.boils().map(({ id }) => [id, this.asked(id)]));
    for (const [id, all] of this.open) for (const { station, since } of all) this.ring(`${id} ${station} ${since}`);
  }

  ring(what) {
    if (this.rung.has(what)) return;
    this.rung.add(what);
    ringOf(this.ctx).once(spoken());
  }

  /** What is asked about a boil: at most one station, `[{station, since, news}]`. Never over the hot scene. */
  asked(batch) {
    const { ctx, company } = this, sheet = ctx.sheet(batch), state = ctx.state(batch), { phone } = ctx.shelf;
    const limit = sheet.numbers.find(({ id }) => id === 'phone_silent')?.value;
    if (!limit || !isHot(sheet, state) || document.body.classList.contains('is-hot')) return [];
    const phones = company.phones.filter(({ device }) => device !== phone.device), now = ctx.shelf.now(), here = phone.batch === batch;
    const known = { phones, own: here ? phone.station : '', now, limit };
    if (company.settled) return here || this.deserted(phones, batch, now - limit) ? silent(sheet, state, known).slice(0, 1).map((asked) => ({ ...asked, news: true })) : [];
    return here && company.cutOff !== null ? unknown(sheet, state, { ...known, since: company.cutOff }) : [];
  }

  /** No phone of that boil is heard: then those of the others ask. */
  deserted(phones, batch, since) { return !phones.some((phone) => phone.batch === batch && phone.heard > since); }

  words(sheet, state, { station, since, news }) {
    const { name } = sheet.stations.find(({ id }) => id === station), last = state.at_stations[station]?.by ?? this.company.phones.find((phone) => phone.station === station && phone.batch === sheet.batch)?.by;
    const long = stretch(Math.round((this.ctx.shelf.now() - since) / 1000));
    return [
      flameAt(sheet, state) === station ? t`${name}’s flame?` : t`${name}: who is there?`,
      news ? t`Its phone is silent, ${long}.` : t`No news here for ${long}.`,
      last ? t`${this.ctx.name(sheet, last)} pressed there last.` : '',
    ].join(' ').trim();
  }

  bars(batch) {
    const { ctx } = this, sheet = ctx.sheet(batch), open = document.body.classList.contains('is-hot') ? [] : this.open.get(batch) ?? [];
    return open.map((asked) => {
      const { station } = asked, watch = () => { this.open.delete(batch); ctx.write({ batch, kind: 'stood_in', station, body: {} }); };
      return {
        id: `silent${station}`, batch, className: 'ask-bar', words: this.words(sheet, ctx.state(batch), asked),
        keys: [[t`I watch it`, () => { watch(); ctx.go(`/b/${batch}/${station}`); }], [t`It is watched`, watch]],
      };
    });
  }
}
