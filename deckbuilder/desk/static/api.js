/* What the page asks of its server. A newer question of the same kind ends an older one. */
import { one, words } from "./dom.js";

/** An answer that says no: with a sentence, and the field that it is about. */
export class Refusal extends Error {
  constructor(answer, status) {
    super(answer.error ?? words("failed"));
    this.mistakes = answer.mistakes ?? (answer.where ? [answer] : []);
    this.status = status;
  }
}

const running = new Map();

/**
 * Send a request; null where a newer one of the same kind has taken its place.
 * @throws {Refusal} the server says no, or does not answer.
 */
export const send = async (path, { method = "GET", body = null, kind = null } = {}) => {
  const control = new AbortController();
  if (kind) {
    running.get(kind)?.abort();
    running.set(kind, control);
  }
  const json = body !== null && !(body instanceof Blob);
  try {
    const answer = await fetch(path, {
      method,
      signal: control.signal,
      headers: json ? { "Content-Type": "application/json" } : {},
      body: json ? JSON.stringify(body) : body,
    });
    const text = await answer.text();
    if (control.signal.aborted) return null;
    one(".closed").hidden = true;
    const read = text && answer.headers.get("Content-Type")?.includes("json") ? JSON.parse(text) : {};
    if (!answer.ok && !read.overtaken) throw new Refusal(read, answer.status);
    return read;
  } catch (error) {
    if (error instanceof Refusal) throw error;
    if (control.signal.aborted) return null;
    one(".closed").hidden = false;
    throw new Refusal({}, 0);
  }
};

/** Ask with a body; the path names the kind unless `kind` does. */
export const post = (path, body, kind = path) => send(path, { method: "POST", body, kind });

/** Ask about the notes of a recipe: where they have to be counted first, wait for it. */
export const count = async (path, body) => {
  let wait = false;
  for (;;) {
    const answer = await post(path, wait ? { ...body, wait } : body);
    if (!answer?.counting && !answer?.overtaken) return answer;
    wait = true;
  }
};
