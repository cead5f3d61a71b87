// One phone, its clock and the way to a station, all invented, against which the real
// scripts of the queue run: keep (on the browser's disk), clock, queue. A schedule is a
// row of random things that happen; what must be true of every schedule is at its end.

// dice is a small generator of random numbers (mulberry32, in the public domain), so
// that a schedule that fails can be played again.
function dice(seed) {
  const next = () => {
    seed = (seed + 0x6d2b79f5) | 0;
    let t = Math.imul(seed ^ (seed >>> 15), 1 | seed);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
  const below = (n) => Math.floor(next() * n);
  return { next, below, chance: (p) => next() < p, of: (list) => list[below(list.length)] };
}

const START = Date.UTC(2026, 5, 10, 8);

class World {
  constructor(seed) {
    this.dice = dice(seed);
    this.now = START;     // the true time, which is the station's
    this.off = 0;         // by what the phone's clock was set
    this.slept = 0;       // what its counter missed
    this.way = "up";      // to the station: up, down
    this.paired = true;
    this.log = new Map(); // what the station recorded, by id, in order
    this.refuses = new Set();
    this.shown = new Map(); // entries that the person saw kept, by id: the true time
    this.tried = new Map(); // all that were begun to be added
    this.unsure = [];
    this.pages = [];
    this.flying = new Map();
    this.faults = [];
    this.disturbed = false;
    this.trouble = [];
  }
  passes(ms) { this.now += ms; }
  wall() { return this.now + this.off + (this.now - START) * 2e-5; } // it runs off 1.7 s a day
  count() { return this.now - this.slept; }
}

class Dead extends Error {}

// A Page is one tab: it can end between any two things that it does.
class Page {
  constructor(world, keep) {
    this.world = world;
    this.steps = Infinity;
    const w = world, base = w.count();
    const alive = async (f) => {
      this.step();
      const r = await f();
      this.step();
      return r;
    };
    const kept = Object.fromEntries(Object.entries(keep).map(([k, f]) => [k, (...a) => alive(() => f(...a))]));
    const count = () => w.count() - base + 50;
    this.clock = makeClock({ wall: () => w.wall(), count, keep: kept, ask: () => alive(() => this.ask()) });
    this.queue = makeQueue({ keep: kept, clock: this.clock, count, post: (e, p) => alive(() => this.post(e, p)),
      tell: (news) => { for (const p of w.pages) if (p !== this && !p.dead) p.queue.heard(JSON.parse(JSON.stringify(news))); } });
    this.queue.on(() => {});
  }
  step() {
    if (this.steps-- <= 0) this.dead = true;
    if (this.dead) throw new Dead("the page is gone");
  }
  async ask() {
    const w = this.world;
    w.passes(w.dice.chance(0.1) ? w.dice.below(3000) : w.dice.below(300));
    if (w.way === "down") throw Object.assign(new Error("no network"), { link: "away" });
    if (!w.paired) throw Object.assign(new Error("who are you"), { link: "pair" });
    const now = w.now;
    w.passes(w.dice.below(300));
    return Math.floor(now);
  }
  async post(entry, photo) {
    const w = this.world;
    if (w.flying.size) w.faults.push("two tabs send at once: " + [...w.flying.values()].map((e) => e.n) + " and " + entry.n);
    w.flying.set(this, entry);
    try {
      await Promise.resolve();
      w.passes(w.dice.below(300));
      const trouble = w.way === "down" ? "lost" : w.trouble.shift();
      if (trouble === "lost") throw new Error("lost on the way");
      if (trouble === "busy") return { status: w.dice.of([429, 500, 503]), wait: w.dice.below(3), body: { error: "busy", do: "wait" } };
      if (trouble === "stranger") return { status: w.dice.of([200, 404, 403]), body: w.dice.of([null, { id: "another" }]) };
      if (!w.paired) return { status: 401, body: { error: "not paired", do: "pair" } };
      if (w.refuses.has(entry.line)) return { status: 400, body: { error: "cannot be read", do: "write it anew" } };
      const again = w.log.has(entry.id);
      if (!again) w.log.set(entry.id, { entry, photo: photo ? await photo.text() : null, order: w.log.size });
      if (trouble === "answer lost") throw new Error("lost on the way back");
      return { status: 200, body: { id: entry.id, state: "good", again } };
    } finally {
      w.flying.delete(this);
    }
  }
}

// play lets a schedule happen and returns what is wrong at its end, and what the
// station recorded with the true times.
async function play(seed, length, calm) {
  const w = new World(seed), d = w.dice, name = "schedule-" + seed;
  const disk = await diskKeep(name);
  const usable = () => w.pages.filter((p) => !p.dead);
  const quiet = async (f) => {
    try {
      await f();
    } catch (err) {
      if (!(err instanceof Dead)) w.faults.push(String(err.stack));
    }
  };
  const opened = () => { if (w.way === "up" && usable().length < 2) w.pages.push(new Page(w, disk)); }; // a page comes from the station
  const pump = () => quiet(() => Promise.all(usable().map((p) => p.queue.pump())));
  let number = 0;

  const things = {
    async add() {
      const page = d.of(usable());
      if (!page) return opened();
      const line = "entry " + ++number, photo = d.chance(0.25) ? new Blob(["picture of " + line]) : null;
      if (d.chance(0.05)) w.refuses.add(line);
      const truth = w.now;
      w.tried.set(line, truth);
      await quiet(async () => {
        const kept = await page.queue.add({ kind: "line", stage: "immersion", by: "Ann", line }, photo);
        if (!page.dead) w.shown.set(kept.id, { line, truth, photo: photo && "picture of " + line });
      });
      if (d.chance(0.7)) await pump();
    },
    cut() { w.way = "down"; },
    restore() { w.way = "up"; opened(); return pump(); },
    trouble() { w.trouble = Array.from({ length: 1 + d.below(3) }, () => d.of(["lost", "busy", "answer lost", "answer lost", "stranger", undefined])); return pump(); },
    kill() { const p = d.of(usable()); if (p) p.dead = true; opened(); },
    killSoon() { const p = d.of(usable()); if (p) p.steps = d.below(14); },
    tab() { opened(); },
    pass() { w.passes(d.below(d.of([1000, 60_000, 3_600_000]))); return pump(); },
    sleep() { const ms = 1000 + d.below(d.of([60_000, 8 * 3_600_000])); w.passes(ms); w.slept += ms; return d.chance(0.5) ? pump() : null; },
    set() { if (calm) return; w.disturbed = true; w.off += (d.chance(0.5) ? 1 : -1) * (1500 + d.below(d.of([10_000, 3_600_000]))); look(); return pump(); },
    setAsleep() { if (calm) return; w.disturbed = true; w.off += (d.chance(0.5) ? 1 : -1) * (1500 + d.below(3_600_000)); return things.sleep(); },
    // Its clock is set right by somebody, in sight of a page that lives on. What else
    // undoes a setting to the second, unseen, nobody can notice.
    network() { if (calm || !usable().length) return; for (const p of usable()) p.steps = Infinity; w.off = 0; look(); return pump(); },
    unpair() { w.paired = false; return pump(); },
    pair() { w.paired = true; return pump(); },
    again() { const p = d.of(usable()); return p && quiet(async () => { for (const e of (await p.queue.list())) await p.queue.again(e.id); }); },
  };
  const look = () => { for (const p of usable()) p.clock.stamp(); }; // it looks every few seconds
  const often = { add: 8, cut: 2, restore: 3, trouble: 2, kill: 1, killSoon: 2, tab: 1, pass: 3, sleep: 2, set: 1, setAsleep: 1, network: 0.5, unpair: 0.3, pair: 1, again: 0.3 };
  const bag = Object.entries(often).flatMap(([k, n]) => Array(Math.ceil(n * 4)).fill(k));

  opened();
  for (let i = 0; i < length; i++) await things[d.of(bag)]();

  // All is well again at the end: what was shown must arrive now.
  Object.assign(w, { way: "up", paired: true, trouble: [] });
  for (const p of w.pages) p.steps = Infinity;
  if (!usable().length) opened();
  for (let i = 0; i < 20; i++) { w.passes(5000); await pump(); }
  const left = await disk.entries();
  const faults = [...w.faults, ...judge(w, left)];
  indexedDB.deleteDatabase(name);
  return { seed, faults, recorded: [...w.log.values()].map(({ entry, photo }) => ({ entry, photo, truth: w.tried.get(entry.line) })) };
}

// judge says what is wrong: every entry that was shown is recorded once, with its
// photograph and a time that holds the truth, oldest first; only what was refused is left.
function judge(w, left) {
  const faults = [], lines = new Map(), say = (...a) => faults.push(a.join(" "));
  for (const { entry } of w.log.values()) {
    if (lines.has(entry.line)) say(entry.line, "is recorded twice");
    if (!w.tried.has(entry.line)) say(entry.line, "is nobody's");
    lines.set(entry.line, entry);
  }
  for (const [id, { line, photo }] of w.shown) {
    const got = w.log.get(id), waits = left.find((r) => r.entry.id === id);
    if (w.refuses.has(line) ? got || !waits?.refused : !got || waits) say(line, "shown:", got ? "recorded" : "not recorded", waits ? "and waits" : "");
    if (got && got.photo !== photo) say(line, "has the photograph", got.photo);
  }
  for (const r of left) if (!r.refused) say(r.entry.line, "still waits");
  let last = 0;
  for (const { entry, photo } of w.log.values()) {
    if (entry.n < last && !photo) say(entry.line, "came after a later one"); // a photograph that did not get through is passed
    last = Math.max(last, entry.n);
    const wrong = mistimed(entry, w.tried.get(entry.line));
    if (wrong) say(entry.line, wrong);
    if (!w.disturbed && !entry.clock.fact && entry.clock.jump[0] !== null) say(entry.line, "has no time, though its clock was compared before and after, and nobody set it");
  }
  return faults;
}

// mistimed says how a time is wrong: more off than half the round trip of the
// comparison, what no look can see, and what is taken for a clock that runs off.
function mistimed({ at, clock: { fact, jump } }, truth) {
  if (!!fact === !!jump) return "has a fact and a range, or neither";
  const [from, to] = jump ?? [at - (fact.shown - fact.at), at - (fact.shown - fact.at)];
  const slack = (fact ? fact.trip : 0) + 2000 + 5e-5 * (truth - START);
  if ((from ?? -Infinity) - slack <= truth && truth <= (to ?? Infinity) + slack) return "";
  return `was at ${truth - START} and is told at ${[from - START, to - START]}, ${fact ? "exactly" : "a range"}`;
}
