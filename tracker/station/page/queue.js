// The queue: what was scanned, typed, photographed or filled in waits here until the
// station says that it is recorded. It has its id and its time from the moment it is
// added, is on this phone's disk before anything is shown, and leaves it on the
// station's answer alone. Sending it twice does nothing: the id is the same.

// PATIENCE is for how many ms another tab may be silent before this one sends
// in its place.
const PATIENCE = 4000;

// LONG is how many ms a photograph may hold up what comes after it.
const LONG = 15_000;

// makeQueue sends what keep holds by post(entry, photo), which resolves to {status,
// body, wait} of the station's answer or rejects where there was none. study() is the id of
// the study in hand. tell(news) passes on to the other tabs what happened here;
// heard(news) is what they told.
//
// held is a copy, by id, of what was added in this page and has no answer yet: a disk
// may be full, and a browser that wants room takes all of it away. alone is how many of
// these nobody else has. done are those answered in this page. late are the photographs
// that did not get through, with the count before which each is not tried again.
function makeQueue({ keep, clock, post, count, study = () => "", tell = () => {} }) {
  const tab = randomHex(8), watching = [], hearing = [], held = new Map(), done = new Set(), late = new Map();
  let link = "up", busy = null, again = false, notBefore = 0, highest = 0, alone = 0, holder = null, slow = null;
  let here = ""; // the study that is served, as far as known: those of another one wait for its station

  const elsewhere = ({ entry }) => Boolean(here && entry.study && entry.study !== here);

  // add keeps an entry, and its photograph, on this phone and resolves when it is
  // there. safe is false where it is in memory alone: the disk is full or there is none.
  async function add(entry, photo = null) {
    const stamp = clock.stamp();
    const record = { entry: { ...entry, study: study(), id: newID(), at: stamp.at }, stamp, photo: photo && await copied(photo) };
    const { n, safe } = await store(record);
    highest = Math.max(highest, n);
    await changed(); // who is told that it is kept sees it counted
    tell({ added: true });
    pump();
    return { ...record.entry, n, safe };
  }

  // copied is a photograph of our own: what a camera hands over is a file of its, which
  // may change or go.
  const copied = async (photo) => new Blob([await photo.arrayBuffer()], { type: photo.type });

  // store puts a record on the disk, without its photograph where that does not fit;
  // and in any case into memory. Where nothing fits, this tab sends: no other has it.
  async function store(record) {
    const bare = { ...record, photo: null, without: true };
    for (const one of record.photo ? [record, bare] : [record]) {
      try {
        const n = await keep.add(one, highest);
        held.set(record.entry.id, { ...record, n });
        return { n, safe: one === record && !keep.forgets };
      } catch { /* there is no room: with less, or in memory */ }
    }
    const n = ++highest;
    held.set(record.entry.id, { ...record, n });
    return { n, safe: false };
  }

  // waiting lists all that is here, oldest first.
  async function waiting() {
    const disk = (await keep.entries().catch((err) => { if (!held.size) throw err; return []; })).filter((r) => !done.has(r.entry.id));
    const own = (r) => held.get(r.entry.id);
    const all = disk.map((r) => ({ ...r, photo: r.photo ?? own(r)?.photo ?? null, loose: Boolean(keep.forgets || r.without) }));
    const only = await unanswered([...held.values()].filter((r) => !disk.some((d) => d.entry.id === r.entry.id)));
    alone = only.length + all.filter((r) => r.without && own(r)).length;
    return [...all, ...only.map((r) => ({ ...r, loose: true, only: true }))].sort((a, b) => a.n - b.n);
  }

  // unanswered leaves out, of those that are in memory alone, what another tab got the
  // answer of: it takes an entry off the disk in the moment in which it keeps the answer.
  async function unanswered(records) {
    const answers = records.length ? await keep.answers().catch(() => []) : [];
    const said = new Map(answers.map(({ answer }) => [answer.id, answer]));
    for (const { entry } of records) {
      if (!said.has(entry.id) || !held.delete(entry.id)) continue;
      for (const f of hearing) f(said.get(entry.id), entry);
    }
    return records.filter((r) => held.has(r.entry.id));
  }

  // pump sends all that waits, if no other tab does. While it runs, whoever calls it
  // has it look once more.
  function pump() {
    again = true;
    busy ??= Promise.resolve().then(sendAll).finally(() => { busy = null; });
    return busy;
  }

  async function sendAll() {
    try {
      while (again && count() >= notBefore) {
        again = false;
        await round();
      }
    } catch (err) {
      reached(err.link ?? "away");
    }
  }

  // round sends one after the other, oldest first. Without a station to compare the
  // clock with there is nobody to send to.
  async function round() {
    for (;;) {
      await clock.fresh();
      const record = next(await waiting());
      if (!record || !await mine()) return;
      await (record.photo ? photograph(record) : deliver(record));
      reached("up");
    }
  }

  // next is the oldest that can go. What comes after a photograph that takes long, or
  // did not get through, passes it, unless it means that one: each entry has its
  // stage and its time with it.
  function next(all) {
    const unsent = new Set(all.filter((r) => !r.refused).map((r) => r.entry.id));
    const ready = all.filter((r) => !r.refused && !elsewhere(r) && !unsent.has(r.entry.of) && !(slow && r.photo));
    return ready.find((r) => !late.has(r.entry.id)) ?? ready.find((r) => late.get(r.entry.id) <= count());
  }

  // photograph sends a record with a photograph. It waits for LONG at most: then the
  // photograph goes on beside what comes after it.
  async function photograph(record) {
    let timer;
    const long = new Promise((resolve) => { timer = setTimeout(resolve, LONG); });
    const sent = deliver(record).then(() => late.delete(record.entry.id), (err) => stuck(record, err));
    const told = sent.then(() => null, (err) => err);
    const over = await Promise.race([told.then((err) => ({ err })), long]);
    clearTimeout(timer);
    if (over?.err) throw over.err;
    if (over) return;
    slow = told.finally(() => { slow = null; changed(); pump(); });
    changed();
  }

  // stuck has what comes next pass a photograph that nobody could take, or not in time.
  function stuck({ entry }, err) {
    if (err.link !== "busy" && err.cause?.name !== "TimeoutError") throw err;
    const first = !late.has(entry.id);
    late.set(entry.id, Math.max(notBefore, count() + 1000));
    notBefore = 0;
    if (!first) throw err;
  }

  // deliver sends one entry and does what the answer says. It throws where the
  // station did not take it now, and it stays.
  async function deliver(record) {
    const { entry, n } = record;
    const reply = await post(await timed(record), record.photo);
    switch (meaning(reply, entry.id)) {
    case "answered":
      done.add(entry.id);
      held.delete(entry.id);
      await keep.answered(n, reply.body).catch(() => {}); // a full disk: the next page sends it once more
      answer(reply.body, entry);
      tell({ answer: reply.body, entry });
      return;
    case "elsewhere":
      served(reply.body.study);
      return;
    case "refused":
      await put(record, { error: reply.body.error, do: reply.body.do ?? "" });
      return;
    case "pair":
      throw Object.assign(new Error("not paired"), { link: "pair" });
    case "busy":
      notBefore = count() + Math.min(reply.wait ?? 0, 60) * 1000;
      throw Object.assign(new Error("busy"), { link: "busy" });
    }
    throw new Error("no station answers there");
  }

  // served takes note of the study that is served there.
  function served(id) {
    if (here === id) return;
    here = id;
    changed();
    pump();
  }

  // said is an entry as the station gets it, with what is known of its clock by now.
  const said = async ({ entry, n, stamp }) => {
    const kept = await keep.facts().catch(() => []);
    return { ...entry, n, clock: clockTold({ ...stamp, n }, [...kept, ...clock.known(stamp.epoch)]) };
  };

  // timed is said, after one more comparison where none came since: another tab's
  // stretch may have ended without one.
  async function timed(record) {
    const known = await said(record);
    if (known.clock.jump?.[1] !== null) return known;
    await clock.fresh(true);
    return said(record);
  }

  async function put({ loose, only, photo, ...record }, refused) {
    const own = held.get(record.entry.id);
    if (own) held.set(record.entry.id, { ...own, refused });
    await keep.put({ ...record, photo: record.without ? null : photo, refused }).catch((err) => { if (!only) throw err; });
    changed();
    tell({ added: true });
  }

  async function drop({ entry, n }) {
    await keep.drop(n).catch(() => {});
    held.delete(entry.id);
    tell({ dropped: entry.id });
  }

  // mine says whether this tab is the one that sends. Whoever sends counts up; a tab
  // that sees the same count for PATIENCE ms, by its own counter, takes over, and one
  // that holds something in memory does so at once.
  async function mine() {
    const now = count();
    const lease = await keep.swap("sender", (held) => {
      const silent = held && holder && holder.tab === held.tab && holder.beat === held.beat && now - holder.since > PATIENCE;
      return !held || held.tab === tab || held.tab === "" || silent || alone > 0 ? { tab, beat: (held?.beat ?? 0) + 1 } : held;
    }).catch(() => ({ tab, beat: 0 })); // no room to write even that: the ids see to it that nothing is doubled
    if (holder?.tab !== lease.tab || holder.beat !== lease.beat) holder = { ...lease, since: now };
    return lease.tab === tab;
  }

  // leave lets another tab send at once.
  const leave = () => keep.swap("sender", (held) => held?.tab === tab ? { tab: "", beat: held.beat + 1 } : held).catch(() => {});

  // reached keeps what is known of the way to the station.
  function reached(now) {
    if (link === now) return;
    link = now;
    changed();
  }

  async function changed() {
    const all = await waiting().catch(() => null); // the disk is gone: what was shown last stays
    if (!all) return;
    const refused = all.filter((r) => r.refused);
    const news = {
      kept: all.length - refused.length, elsewhere: all.filter(elsewhere).length, photos: all.filter((r) => r.photo).length,
      loose: all.filter((r) => r.loose).length, link, slow: Boolean(slow),
      refused: refused.map(({ entry, n, refused: { error, do: what } }) => ({ entry: { ...entry, n }, error, do: what })),
    };
    for (const f of watching) f(news);
  }

  const answer = (said, entry) => {
    changed();
    for (const f of hearing) f(said, entry);
  };

  // settle does something with an entry that was refused.
  const settle = async (id, how) => {
    const record = (await waiting()).find((r) => r.entry.id === id && r.refused);
    if (record) await how(record);
    await changed();
  };

  return {
    add, pump, leave, reached, served,
    beat: () => busy || slow ? mine() : null, // while a long photograph is under way
    on(f) { watching.push(f); changed(); },
    answers(f) { hearing.push(f); },
    heard(news) { // from another tab: an answer, or that something waits for whoever sends
      if (news.answer) held.delete(news.entry.id);
      if (news.dropped) held.delete(news.dropped);
      if (news.answer) return answer(news.answer, news.entry);
      changed();
      pump();
    },
    again: (id) => settle(id, (r) => put(r, undefined)).then(pump),
    drop: (id) => settle(id, drop),
    list: async () => (await waiting()).map((r) => ({ ...r.entry, n: r.n })),
    unsent: async () => Promise.all((await waiting()).map(async (r) => ({ entry: await said(r), photo: r.photo }))),
  };
}

// meaning says what a reply is for one entry. It is answered only if the answer
// names it, and refused only in the station's own words: whatever else answers at
// that address takes nothing out of the queue.
function meaning({ status, body }, id) {
  if (status === 200 && body?.id === id) return "answered";
  if (status === 409 && body?.study) return "elsewhere";
  if (status === 401) return "pair";
  if (status === 429 || status === 408 || status === 425 || status >= 500) return "busy";
  return status >= 400 && status !== 403 && body?.error ? "refused" : "away";
}

// newID makes a random UUID, version 4 of RFC 9562: crypto.randomUUID is not there
// on plain http.
function newID() {
  const hex = randomHex(16);
  const variant = (8 + (parseInt(hex[16], 16) & 3)).toString(16);
  return [hex.slice(0, 8), hex.slice(8, 12), "4" + hex.slice(13, 16), variant + hex.slice(17, 20), hex.slice(20)].join("-");
}
