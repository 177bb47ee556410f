// Talking to the desk, and putting what it answers into the page.

export const desk = {}; // the one desk of the page, told in `desk.js`
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

// Work that is asked for again and again, done once at a time: of what is asked for meanwhile, the last is done.
export function latest(work) {
  let wanted, busy;
  const all = async () => {
    try { for (let now; (now = wanted); await work(...now)) wanted = null; } finally { busy = null; }
  };
  return (...given) => {
    wanted = given;
    return (busy ??= all());
  };
}

// Puts new content into a part of the page. What stays the same stays the node that it was, with its place on the
// screen, its focus, and what was opened or chosen in it.
export function fill(id, html) {
  const part = at(id), focus = part.contains(document.activeElement) && document.activeElement.id;
  if (part.filled === html) return;
  part.filled = html;
  const fresh = part.cloneNode(false);
  fresh.innerHTML = html;
  grow(part, fresh);
  if (focus && !part.contains(document.activeElement)) at(focus)?.focus({ preventScroll: true });
}

// The children of `part` become like those of `fresh`: known by their names, else by where they stand.
function grow(part, fresh) {
  const known = new Map([...part.children].filter(({ id }) => id).map((child) => [child.id, child]));
  let next = part.firstChild;
  for (const child of [...fresh.childNodes]) {
    const same = child.id ? known.get(child.id) : next?.id ? null : next;
    if (same?.nodeName !== child.nodeName) part.insertBefore(child, next);
    else {
      if (same === next) next = next.nextSibling;
      else part.insertBefore(same, next);
      if (!same.isEqualNode(child)) become(same, child);
    }
  }
  while (next) {
    const gone = next;
    next = next.nextSibling;
    gone.remove();
  }
}

const OWN = ["open", "style", "tabindex"]; // which the page itself sets
function become(node, fresh) {
  if (node.nodeType === Node.TEXT_NODE) { node.data = fresh.data; return; }
  for (const name of [...node.getAttributeNames(), ...fresh.getAttributeNames()]) {
    const value = fresh.getAttribute(name);
    if (OWN.includes(name) || node.getAttribute(name) === value) continue;
    if (value === null) node.removeAttribute(name);
    else node.setAttribute(name, value);
    if (name === "value") node.value = value;
  }
  if (node.type === "checkbox") node.checked = fresh.checked;
  grow(node, fresh);
}
