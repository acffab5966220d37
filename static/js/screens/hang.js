// A device that hangs on the wall: it shows the wall from its start, whatever was opened on it before.

const AWAY_MS = 120000, START = ['', '#/', '#/people'];
let touched = performance.now();

for (const kind of ['pointerdown', 'keydown']) addEventListener(kind, () => { touched = performance.now(); }, { capture: true });

export const onWall = ({ shelf }) => shelf.phone?.station === 'wall';

/** What shows the wall hangs on it: nobody presses there, and no boil is its own. */
export function hangHere({ shelf }) {
  const { station, batch, by } = shelf.record;
  if (station !== 'wall' || batch || by) shelf.setPhone({ station: 'wall', batch: '', by: '', for: '' });
}

export function takeDown({ shelf, go }) {
  shelf.setPhone({ station: '' });
  go('/');
}

/** Every second: back to the wall, at once from a start, else when nobody has touched it for a while. */
export function hang(ctx) {
  const { hash } = location, left = START.includes(hash) || performance.now() - touched > AWAY_MS;
  if (onWall(ctx) && hash !== '#/wall' && left) ctx.go('/wall');
}
