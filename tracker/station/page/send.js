// How the page speaks with the station, and the four that all of it shares: Link,
// Clock, Queue and State.

// SLOWEST is how many bytes a ms a photograph comes through at least.
const SLOWEST = 10;

const Link = (() => {
  // reach fetches, and rejects with link "away" where nobody answers in time.
  async function reach(path, options = {}, patience = 10_000) {
    try {
      return await fetch(path, { cache: "no-cache", redirect: "error", signal: AbortSignal.timeout?.(patience), ...options });
    } catch (cause) {
      throw Object.assign(new Error("the station does not answer", { cause }), { link: "away", do: "stay in reach of the workshop's network; nothing is lost" });
    }
  }

  // good is the response, or an error with the station's words for what to do.
  async function good(path, options) {
    const reply = await reach(path, options);
    if (reply.ok) return reply;
    const { error, do: what } = await words(reply);
    throw Object.assign(new Error(error), { error, do: what, status: reply.status, link: reply.status === 401 ? "pair" : "up" });
  }

  const words = async (reply) => ({ error: "the station answers " + reply.status, do: "", ...await reply.json().catch(() => ({})) });

  return {
    reach,
    json: async (path, options) => (await good(path, options)).json(),
    text: async (path, options) => (await good(path, options)).text(),
    // post hands an entry in and returns whatever answered; judging it is the queue's.
    async post(entry, photo) {
      const form = new FormData();
      form.append("entry", JSON.stringify(entry));
      if (photo) form.append("photo", photo, "photo");
      const patience = photo ? 120_000 + photo.size / SLOWEST : 20_000;
      const reply = await reach("/take", { method: "POST", body: form }, patience);
      return { status: reply.status, wait: Number(reply.headers.get("Retry-After")) || 0, body: await reply.json().catch(() => null) };
    },
  };
})();

// Keep is where all is kept: on this phone's disk, or in memory where there is none.
const Keep = diskKeep("soaktag").catch(() => ({ ...memoryKeep(), forgets: true }));

// kept calls a keep that is being opened.
const keptBy = (names) => Object.fromEntries(names.map((name) => [name, async (...a) => (await Keep)[name](...a)]));

const Clock = makeClock({
  wall: () => Date.now(), count: () => performance.now(), keep: keptBy(["fact"]),
  ask: async () => (await Link.json("/clock")).now,
});

const State = (() => {
  const watching = [];
  let state = null, live = false;

  function show(fresh, isLive) {
    [state, live] = [fresh, isLive];
    if (live) Queue.served(state.study.id);
    for (const f of watching) f(state);
  }

  // again fetches the state; offline the last one stays, which is kept for a reload too.
  async function again() {
    try {
      const fresh = await Link.json("/state");
      show(fresh, true);
      Queue.reached("up");
      await (await Keep).set("state", fresh).catch(() => {});
    } catch (err) {
      if (live) show(state, false);
      Queue.reached(err.link ?? "away");
    }
  }

  async function start() {
    const old = await (await Keep).get("state").catch(() => null);
    if (!state && old) show(old, false);
    await tick();
  }

  // listen has the state fetched at every change by anybody. The browser itself calls
  // again when it was cut off, but not when it was refused.
  let news = null;
  function listen() {
    news = new EventSource("/news");
    news.onerror = again;
    news.addEventListener("news", again);
  }

  // tick asks now and then where the news do not come. A tab that nobody looks at hangs
  // up: of the six lines that a browser has to a station each tab would hold one.
  async function tick() {
    if (document.hidden) return void news?.close();
    if (!live || news?.readyState !== EventSource.OPEN) await again();
    if (live && (news?.readyState ?? EventSource.CLOSED) === EventSource.CLOSED) listen();
  }

  async function pair(code, name) {
    const said = await Link.json("/pair", { method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify({ code, name }) });
    await (await Keep).set("phone", said.phone).catch(() => {});
    await tick();
    Queue.pump();
    return said;
  }

  return { get: () => state, live: () => live, on(f) { watching.push(f); if (state) f(state); }, again, start, tick, pair };
})();

const Queue = (() => {
  const channel = "BroadcastChannel" in self ? new BroadcastChannel("soaktag") : { postMessage() {} };
  const making = Keep.then((keep) => makeQueue({
    keep, clock: Clock, post: Link.post, count: () => performance.now(), study: () => State.get()?.study.id ?? "", tell: (news) => channel.postMessage(news),
  }));
  channel.onmessage = async ({ data }) => (await making).heard(data);
  const call = (name) => async (...a) => (await making)[name](...a);

  // What is said of this phone, while there is still time.
  const forgetful = "This window keeps nothing: what is not sent is lost when it is closed. Open the page in an ordinary window, not a private one.";
  const foreign = (n) => (n === 1 ? "1 entry is" : n + " entries are") + " of another study than the one served now: kept here until its station runs.";
  const full = "This phone has no room left: what is not sent is lost when this window is closed. Keep it open until all is at the station, or make room.";

  async function on(f) {
    const { forgets } = await Keep;
    (await making).on((news) => f({ ...news, online: news.link === "up" || news.link === "busy", paired: news.link !== "pair",
      warn: forgets ? forgetful : news.loose ? full : news.elsewhere ? foreign(news.elsewhere) : "" }));
  }

  // past are the last answers, for a page that was closed before it showed them.
  const past = async () => (await (await Keep).answers()).map(({ answer }) => answer);

  // start sends what is left of an earlier time, and goes on every few seconds, when
  // the network returns, and when somebody looks at the page again.
  function start() {
    const go = () => { Clock.stamp(); call("pump")(); State.tick(); };
    addEventListener("online", go);
    addEventListener("pageshow", go);
    document.addEventListener("visibilitychange", go);
    addEventListener("pagehide", call("leave"));
    setInterval(go, 3000);
    setInterval(call("beat"), 1000);
    navigator.storage?.persist?.().catch(() => {}); // a browser that grants it takes nothing away for room
    State.start();
    call("pump")();
  }

  // save makes a file of what is not sent, a line an entry, that soaktag import takes
  // on the study's machine. It stays here, too: sent later, it adds nothing.
  async function save() {
    const unsent = await call("unsent")(), state = State.get();
    const head = { schema: "unsent/1", phone: state?.phone ?? await (await Keep).get("phone"), study: state?.study?.title ?? "", saved: Date.now(), entries: unsent.length };
    const lines = [JSON.stringify(head), "\n"];
    for (const { entry, photo } of unsent) lines.push(JSON.stringify(photo ? { ...entry, photo: await base64(photo) } : entry), "\n");
    return new File(lines, "unsent.jsonl", { type: "application/jsonl" });
  }

  return { on, start, save, add: call("add"), answers: async (f) => (await making).answers(f), pump: call("pump"), reached: call("reached"), served: call("served"),
    past, list: call("list"), again: call("again"), drop: call("drop") };
})();

const base64 = (blob) => new Promise((resolve, reject) => {
  const reader = new FileReader();
  reader.onload = () => resolve(reader.result.slice(reader.result.indexOf(",") + 1));
  reader.onerror = () => reject(reader.error);
  reader.readAsDataURL(blob);
});
