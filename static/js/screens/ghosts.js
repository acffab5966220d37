// What water and wet sleeves do to a screen: one touch twice, two touches at once. Neither is a press.

const TWICE_MS = 400, TOGETHER_MS = 120;
// Figures are typed faster than that, and what they make stands there to be looked at.
const TYPED = '.pad button, .stepper button, .step';

const controlOf = (target) => target.closest?.('button, a[href]') ?? null;

class Touches {
  constructor() { Object.assign(this, { down: new Map(), lifted: new Map() }); }

  /** A second touch of a control, or a touch elsewhere at the same moment: then the other is none either. */
  begin(event) {
    const control = controlOf(event.target), at = performance.now();
    const others = [...this.down.values()].filter((other) => at - other.at < TOGETHER_MS && other.control !== control);
    for (const other of others) this.callOff(other, event);
    const again = control && !control.matches(TYPED) && at - (this.lifted.get(control) ?? -TWICE_MS) < TWICE_MS;
    const ghost = others.length > 0 || Boolean(again);
    this.down.set(event.pointerId, { at, control, target: event.target, id: event.pointerId, ghost });
    if (ghost) event.stopImmediatePropagation();
  }

  /** What has begun with the first of two is called off. */
  callOff(other) {
    if (!other.ghost) other.target.dispatchEvent(new PointerEvent('pointercancel', { bubbles: true, pointerId: other.id, pointerType: 'touch' }));
    other.ghost = true;
  }

  end(event) {
    const touch = this.down.get(event.pointerId);
    if (event.type === 'pointercancel' && !event.isTrusted) return;
    this.down.delete(event.pointerId);
    if (touch?.control) this.lifted = new Map([[touch.control, performance.now()]]);
    this.ghost = touch?.ghost ? touch.control : null;
    if (touch?.ghost) event.stopImmediatePropagation();
  }

  /** The click that a browser makes of such a touch; one without a place is a key's or a switch's. */
  click(event) {
    if (!event.detail || !this.ghost || controlOf(event.target) !== this.ghost) return;
    event.stopImmediatePropagation();
    event.preventDefault();
  }
}

/** From now on, for every touch of this page. */
export function keepOffGhosts() {
  const touches = new Touches(), touched = (does) => (event) => { if (event.pointerType === 'touch') does(event); };
  addEventListener('pointerdown', touched((event) => touches.begin(event)), { capture: true });
  for (const name of ['pointerup', 'pointercancel']) addEventListener(name, touched((event) => touches.end(event)), { capture: true });
  addEventListener('click', (event) => touches.click(event), { capture: true });
}
