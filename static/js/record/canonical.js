// Canonical JSON (RFC 8785) for whole numbers, texts, lists and objects: nothing else is allowed.

export function canonical(value) {
  if (Array.isArray(value)) return `[${value.map(canonical).join(',')}]`;
  if (value && typeof value === 'object') {
    const pairs = Object.keys(value).sort().map((key) => `${JSON.stringify(key)}:${canonical(value[key])}`);
    return `{${pairs.join(',')}}`;
  }
  if (typeof value === 'number' && !Number.isSafeInteger(value)) throw new TypeError(`${value} is not a whole number that is safe to keep`);
  if (value === undefined) throw new TypeError('nothing stands where a value must stand');
  return JSON.stringify(value);
}
