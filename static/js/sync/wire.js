// Requests to /sync/: bearer token, JSON only. A status alone is never success.

const PACK_FROM = 1024, PATIENCE_MS = 15000;

export class Refused extends Error {
  constructor(code, say) {
    super(say);
    this.code = code;
  }
}

async function packed(text) {
  if (text.length < PACK_FROM || !('CompressionStream' in globalThis)) return { body: text, headers: {} };
  const stream = new Blob([text]).stream().pipeThrough(new CompressionStream('gzip'));
  return { body: await new Response(stream).blob(), headers: { 'Content-Encoding': 'gzip' } };
}

const isJson = (answer) => /^application\/json(l?)\b/.test(answer.headers.get('Content-Type') ?? '');

/** A request; throws Refused for an error the server explains, TypeError for a network that is gone. */
export async function ask(path, options = {}) {
  return (await answerTo(path, options))?.text() ?? null;
}

/** The bytes of a file. */
export async function fetchBytes(path, token) {
  return (await answerTo(path, { token, asJson: false })).arrayBuffer();
}

async function answerTo(path, { token = '', message, bytes, asJson = true, patience = PATIENCE_MS }) {
  const { body, headers } = bytes ? { body: bytes, headers: {} } : message ? await packed(JSON.stringify(message)) : { headers: {} };
  const answer = await fetch(`/sync/${path}`, {
    method: message || bytes ? 'POST' : 'GET', body, redirect: 'error', cache: 'no-store', credentials: 'omit',
    headers: { ...headers, ...(token && { Authorization: `Bearer ${token}` }), ...(message && { 'Content-Type': 'application/json' }) },
    signal: AbortSignal.timeout(patience),
  });
  if (answer.status === 204) return null;
  if (answer.ok && !asJson) return answer;
  if (!isJson(answer)) throw new TypeError(`not JSON but ${answer.headers.get('Content-Type')}`);
  if (!answer.ok) {
    const { error, say } = await answer.json();
    throw new Refused(error, say);
  }
  return answer;
}
