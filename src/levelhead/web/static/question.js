// Talks to the app: what may be meant, and the answer as a piece of the page.

export const SETTING_PREFIX = "set.";

export async function findCandidates(text, side) {
  const query = new URLSearchParams({ text, side });
  const response = await fetch(`/candidates?${query}`).catch(() => null);
  return response?.ok ? response.json() : [];
}

// ends: {from, to}; form: the rest, settings under their prefix
export function questionOf(ends, form) {
  const question = { ...ends, settings: {} };
  for (const [name, text] of new FormData(form)) {
    if (name in ends || !text.trim()) continue;
    if (name.startsWith(SETTING_PREFIX)) question.settings[name.slice(SETTING_PREFIX.length)] = text;
    else question[name] = text;
  }
  return question;
}

// The same question as an address that can be kept, reloaded and gone back to.
export function addressOf(question) {
  const { settings, ...fields } = question;
  const query = new URLSearchParams(fields);
  for (const [control, text] of Object.entries(settings)) query.set(SETTING_PREFIX + control, text);
  return `/?${query}`;
}

// -> a piece of the page, an answer or a refusal; rejects when nobody answers
export async function ask(question, signal) {
  const response = await fetch("/ask", {
    method: "POST",
    headers: { "Content-Type": "application/json", Accept: "text/html" },
    body: JSON.stringify(question),
    signal,
  });
  if (!response.ok) throw new Error(`status ${response.status}`);
  return response.text();
}
