// Talking to the desk, and putting what it answers into the page.

export const at = (id) => document.getElementById(id);

export async function ask(path, given) {
  const how = given && { method: "POST", headers: { "content-type": "application/json" }, body: JSON.stringify(given) };
  try {
    const answer = await fetch(path, how);
    return { ...(await answer.json()), ok: answer.ok, status: answer.status };
  } catch {
    return { ok: false, error: "The desk does not answer.", mend: "Is it still running?" };
  }
}

export const told = ({ error = "That could not be done.", mend = "" }) => `${error} ${mend}`;

// Puts new content into a part of the page: what was opened or chosen there stays so, and the focus where it was.
// `then` is done before the focus is looked for, which has all styles settled.
export function fill(id, html, then = () => {}) {
  const part = at(id);
  if (part.filled === html) return then();
  const focus = part.contains(document.activeElement) && document.activeElement.id;
  const kept = [...part.querySelectorAll("details, select")].map(({ id, open, value }) => [id, { open, value }]);
  part.innerHTML = part.filled = html;
  for (const [id, state] of kept) Object.assign(at(id) ?? {}, state);
  then();
  if (focus) at(focus)?.focus({ preventScroll: true });
}
