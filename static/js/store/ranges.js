// Numbers the shop has named as kept, as [from, to] ranges, both ends included.

/** The ranges with one more, in order and joined. */
export function addRange(ranges, [from, to]) {
  const all = [...ranges, [from, to]].sort((a, b) => a[0] - b[0]);
  return all.reduce((joined, range) => {
    const last = joined.at(-1);
    if (last && range[0] <= last[1] + 1) last[1] = Math.max(last[1], range[1]);
    else joined.push([...range]);
    return joined;
  }, []);
}

/** Whether n is in one of the ranges. */
export const inRanges = (ranges, n) => ranges.some(([from, to]) => from <= n && n <= to);

/** The first number from 1 that no range holds. */
export const firstOutside = (ranges) => (ranges[0]?.[0] === 1 ? ranges[0][1] + 1 : 1);
