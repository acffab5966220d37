// Words in the reader's language. English as it stands in the source, until a catalogue is laid over it.

let words = null;

/** Words of a language by their English, `''` its own settings; null for English. */
export const readIn = (catalogue) => { words = catalogue; };

/** What stands between whole and part of a number. */
export const point = () => words?.[''].point ?? '.';

/** A name inside a sentence: English begins it small, other languages leave it. */
export const within = (name) => (words ? name : name.toLowerCase());

const joined = (parts, given) => parts.reduce((all, part, i) => all + given[i - 1] + part);
const named = (parts) => parts.reduce((all, part, i) => `${all}{${i - 1}}${part}`);
const filled = (text, given) => text.replace(/\{(\d)\}/g, (_, n) => given[n]);

/** t`Take off at ${mark}`, looked up as `Take off at {0}`; t(text) for one that is known only here: words nobody translated stand as they are. */
export function t(parts, ...given) {
  if (typeof parts === 'string') return words?.[parts] ?? parts;
  const found = words?.[named(parts)];
  return found === undefined ? joined(parts, given) : filled(found, given);
}
