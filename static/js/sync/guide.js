// The pages of the guide and the voice lie in the app's own tree, and the worker keeps them with the rest.

/** Where a file of the app's tree is. */
export const placeOf = (name) => new URL(`../../${name}`, import.meta.url).href;

/** A file of the tree; null where it is neither on the phone nor to be had. */
async function fileOf(name) {
  try {
    const answer = await fetch(placeOf(name));
    return answer.ok && !answer.redirected ? answer : null;
  } catch {
    return null;
  }
}

/** A page of the guide as text; null where it is not to be had. */
export const guideText = async (name) => (await fileOf(`guide/${name}.html`))?.text() ?? null;

/** The bytes of a recording; null where it is not to be had. */
export const recordingOf = async (language, name) => (await fileOf(`voice/${language}/${name}.mp3`))?.arrayBuffer() ?? null;
