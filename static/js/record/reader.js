// A sheet in the words and degrees of whoever reads it. Only what is shown: the fold and the record keep the sheet itself.

import { t } from './language.js';
import { decimal } from './words.js';

const BOTH = ' · ';

/** A lookup that also knows texts about a portion: `Cut and weigh the {name} portion`. */
function lookup({ portions }) {
  const named = portions.flatMap(({ name }) => [[name, '{Name}'], [name.toLowerCase(), '{name}']]);
  return (text) => {
    if (!text || t(text) !== text) return t(text);
    for (const [name, place] of named) {
      const pattern = text.replace(name, place), found = pattern === text ? text : t(pattern);
      if (found !== text && found !== pattern) return found.replace(/\{name\}/i, t(name));
    }
    return text;
  };
}

const fahrenheit = (degrees) => decimal(degrees * 9 + 160, 5, 0);

/** `150 °C · 302 °F` wherever a text names degrees: both stand where it is about being burnt. */
const bothDegrees = (text) => text.replace(/(\d+) ?°C/g, (whole, n) => `${n} °C · ${fahrenheit(Number(n))} °F`);

/** `150 °C · 302 °F LIQUID`. */
const bothBand = (band) => band.replace(/^(\d+) /, (whole, n) => `${n} °C · ${fahrenheit(Number(n))} °F `);

const band = (text) => text.replace(/^(\d+ )(.*)$/, (whole, degrees, words) => degrees + t(words));

function reworded(step, look, told, us) {
  const { say, call, cue, caution, lines } = step, both = us ? bothDegrees : (text) => text;
  return {
    ...step, say: both(told(say)), call: told(call), cue: both(told(cue)), caution: both(told(caution)), band: us ? bothBand(band(step.band)) : band(step.band),
    lines: lines.map((line) => ({ ...line, label: look(line.label) })),
  };
}

const each = (things, change) => Object.fromEntries(Object.entries(things).map(([id, thing]) => [id, change(thing)]));

/** The sheet as it is read; `us` for degrees in both. */
export function read(sheet, us) {
  const look = lookup(sheet), told = (text) => (text ? text.split(BOTH).map(look).join(BOTH) : text);
  const name = (thing) => ({ ...thing, name: look(thing.name) }), words = (thing) => ({ ...thing, words: told(thing.words), ...('why' in thing && { why: told(thing.why) }) });
  const both = us ? ({ words: said, why }) => ({ words: bothDegrees(said), why: bothDegrees(why) }) : () => ({});
  return {
    ...sheet, steps: each(sheet.steps, (step) => reworded(step, look, told, us)), stations: sheet.stations.map(name), blocks: sheet.blocks.map(name), portions: sheet.portions.map(name),
    parts: sheet.parts?.map(name), skills: sheet.skills?.map(name), marks: sheet.marks.map(words), hazards: sheet.hazards.map(words).map((one) => ({ ...one, ...both(one) })),
    people: sheet.people.map((person) => ({ ...person, role: t(person.role) })),
    records: each(sheet.records, (record) => ({ ...record, label: look(record.label), instrument_name: t(record.instrument_name), how: t(record.how) })),
    graph: sheet.graph.map((figure) => ({ ...figure, says: look(figure.says) })), checks: sheet.checks.map((check) => ({ ...check, say: look(check.say), then: t(check.then ?? '') })),
    pass_reasons: sheet.pass_reasons.map(t), burn: { ...sheet.burn, lines: sheet.burn.lines.map(told), source: t(sheet.burn.source) },
    picture: { ...sheet.picture, reading_end: t(sheet.picture.reading_end) },
  };
}
