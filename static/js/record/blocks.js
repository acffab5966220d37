// What each part weighs in the log: its share of what the section takes of its sugar; shop/record/blocks.py is the same.

const halfUp = (n, d) => Number((2n * n + d) / (2n * d));

/** Part → mass of all its copies [mg] in the log as now reckoned; null while that isn't known. */
export function partMasses({ parts }, { figures }) {
  const areas = new Map();
  for (const { portion, area_um2: area } of parts) areas.set(portion, (areas.get(portion) ?? 0) + area);
  return new Map(parts.map(({ id, portion, area_um2: area }) => {
    const used = figures[`${portion}_used`] ?? null;
    return [id, used === null ? null : halfUp(BigInt(used) * BigInt(area), BigInt(areas.get(portion)))];
  }));
}
