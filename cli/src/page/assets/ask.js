// Questions to the program. While one is being answered only the newest of those that follow is kept: a slider asks faster than
// anyone can look.

async function post(address, body) {
  const answer = await fetch(address, {
    method: "POST",
    headers: { "content-type": "application/json" },
    body: JSON.stringify(body),
  });
  if (!answer.ok) throw new Error(await answer.text());
  return answer.json();
}

export function tick(part, stage) {
  return post("/stage", { part, stage });
}

/** A question that is asked again and again: `show` gets each answer, `fail` what went wrong. */
export function asker(address, show, fail) {
  let busy = false;
  let next = null;
  return async function ask(body) {
    next = body;
    if (busy) return;
    busy = true;
    while (next) {
      const now = next;
      next = null;
      try {
        show(await post(address, now), now);
      } catch (error) {
        fail(error);
      }
    }
    busy = false;
  };
}

/** Calls `read` each time the model's file was read again. */
export function onNews(read, lost) {
  const events = new EventSource("/news");
  events.addEventListener("read", read);
  events.addEventListener("open", () => lost(false));
  events.addEventListener("error", () => lost(true));
}
