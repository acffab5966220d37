// Lines of several devices as chains: runs of each device's own numbers without a gap.

/** `[{device, seq, line}]` → `[{device, from_seq, entries}]`, by device and number. Of two with one number each gets a chain of its own. */
export function chainsOf(entries) {
  const twice = [], chains = [];
  const inOrder = [...entries].sort((a, b) => (a.device < b.device ? -1 : a.device > b.device ? 1 : a.seq - b.seq));
  for (const entry of inOrder) {
    const last = chains.at(-1), next = last ? last.from_seq + last.entries.length : 0;
    if (last?.device === entry.device && entry.seq === next) last.entries.push(entry);
    else if (last?.device === entry.device && entry.seq < next) twice.push(entry);
    else chains.push({ device: entry.device, from_seq: entry.seq, entries: [entry] });
  }
  return twice.length ? [...chains, ...chainsOf(twice)] : chains;
}

/** A line with the number it bears. */
export function numbered(line) {
  const { device, seq } = JSON.parse(line);
  return { device, seq, line };
}
