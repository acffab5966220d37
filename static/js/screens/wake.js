// The screen stays on while the app is looked at.

export function stayAwake() {
  const ask = () => { if (!document.hidden) navigator.wakeLock?.request('screen').catch(() => {}); };
  addEventListener('pointerup', ask, { once: true });
  document.addEventListener('visibilitychange', ask);
  ask();
}
