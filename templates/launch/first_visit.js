// Whether this phone finds the shop, and trusts it; and if not, which step is missing.

const { base, plain, name, fingerprint } = document.body.dataset;
const KEY = 'fetched', PATIENCE_MS = 8000;
const list = document.getElementById('tried'), again = document.getElementById('again'), open = document.getElementById('open');

/** Where the browser keeps nothing, the phone is taken for one that never fetched it. */
function remembered(value) {
  try {
    if (value) localStorage.setItem(KEY, value);
    return localStorage.getItem(KEY);
  } catch { return null; }
}

for (const link of document.querySelectorAll('ol a.file')) link.addEventListener('click', () => remembered(fingerprint));

const asked = (address, options = {}) => fetch(address, { ...options, cache: 'no-store', signal: AbortSignal.timeout(PATIENCE_MS) });

const WORDS = {
  name: `This phone can’t find the name ${name}. Is it on the shop’s own Wi-Fi, not on the guests’? Android before 13 does not find names that end in .local: see docs/phones.md.`,
  server: 'The shop’s computer is here, but its server does not answer. Tell the office.',
  missing: 'This phone has not fetched the certificate yet. Begin with step 1.',
  untrusted: 'The certificate was fetched here, but the phone does not trust it yet. iPhone: the switch in step 4. Android: installed as a CA certificate, in step 2.',
  other: 'This phone fetched another certificate before: the shop’s computer was replaced, or it has a new one. Compare the pairs above, then do the steps again.',
};

/** What is wrong, or nothing. */
async function trouble() {
  const here = await asked(`${plain}/alive`).then((answer) => answer.json(), () => null);
  if (!here) return 'name';
  if (!here.server) return 'server';
  // Without CORS the answer can’t be read: that there is one says that the certificate was taken.
  const trusted = await asked(`${base}/floor/manifest.webmanifest`, { mode: 'no-cors' }).then(() => true, () => false);
  if (trusted) return null;
  const before = remembered();
  return !before ? 'missing' : before === fingerprint ? 'untrusted' : 'other';
}

async function look() {
  list.textContent = 'Trying …';
  const found = await trouble();
  list.dataset.found = found ?? 'trusted';
  list.textContent = found ? WORDS[found] : `This phone finds ${name} and trusts it. Open it now: it says there whether it keeps Kettleside.`;
  list.className = found ? 'wrong' : 'right';
  open.hidden = Boolean(found);
}

again.addEventListener('click', look);
// Back from the phone’s settings, it is tried again by itself.
document.addEventListener('visibilitychange', () => { if (!document.hidden) look(); });
look();
